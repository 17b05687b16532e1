//! Published values, each with its source, and quantities over their full range.

mod load_share;
mod published;
mod quantities;
mod rates;
