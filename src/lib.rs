//! Who carries what: split a field crew's kit between people and vehicles.
//!
//! | module | what it holds |
//! |---|---|
//! | [`quantity`] | masses, volumes, lengths, times: exact in, exact out |
//! | [`kit`] | reading kit files: equipment, carriers, moves, and their faults |
//! | [`load`] | the domain: items, carriers, parties, needs, rules, plans |
//! | [`split`] | the optimiser and the audit |
//! | [`ask`] | questions around a plan: each one moves a little changed, split anew |
//! | [`report`] | an answer as a table, JSON, CSV, Markdown or a sheet for paper |
//! | [`cli`] | the command line: one file a command |
//!
//! Imports run downwards only: `cli → report → ask → split → load → quantity`, and
//! `report → kit → load`.

pub mod ask;
pub mod cli;
pub mod report;

pub use tumpline_core::{load, quantity, text};
pub use tumpline_kit as kit;
pub use tumpline_split as split;

// So that unit tests share the made-up move of the integration tests.
#[cfg(test)]
extern crate self as tumpline;
#[cfg(test)]
#[path = "../tests/common"]
mod common {
    #![allow(dead_code, reason = "shared by tests of several packages")]

    pub mod cases;
    pub mod random_move;
    pub mod repacked;
}
#[cfg(test)]
#[path = "../tests/fixture/mod.rs"]
mod fixture;
