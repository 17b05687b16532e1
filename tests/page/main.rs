//! The load sheet: its page, and the script in it.

#[path = "../common/mod.rs"]
mod common;
#[path = "../fixture/mod.rs"]
mod fixture;

mod fault_words;
mod live;
mod live_audit;
mod live_hand;
mod markup;
mod sheet;
mod sheet_command;
