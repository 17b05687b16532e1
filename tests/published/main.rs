//! Published values, each with its source, and quantities over their full range.

#[path = "../common/mod.rs"]
mod common;

mod load_share;
mod published;
mod quantities;
mod rates;
