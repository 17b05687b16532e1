//! Who carries what: split a field crew's kit between people and vehicles.
//!
//! | module | what it holds |
//! |---|---|
//! | [`quantity`] | masses, volumes, lengths, times: exact in, exact out |
//! | [`kit`] | reading kit files: equipment, carriers, moves, and their faults |
//! | [`load`] | the domain: items, carriers, parties, needs, rules, plans |
//! | [`split`] | the optimiser and the audit |
//! | [`ask`] | questions around a plan: each one moves a little changed, split again |
//! | [`report`] | an answer as a table, JSON, CSV, Markdown or a sheet for paper |
//! | [`cli`] | the command line: one file a command |
//!
//!
//! From a text to a table; the move is invented:
//!
//! ```
//! use tumpline::kit::read_move_text;
//! use tumpline::report::{Format, Style, render};
//! use tumpline::split::{Options, Outcome, Status, Watch, split};
//!
//! let read = read_move_text("lamp.move.yaml", "
//! move: Lamp to the pass
//! equipment:
//!   - {id: lamp, mass: 8 kg, carry: [pair]}
//!   - {id: cloth, mass: 1200 g, held: 2}
//! carriers:
//!   people:
//!     - {id: ann, limit: 12 kg, worn: 3 kg}
//!     - {id: bo, limit: 12 kg, worn: 3.5 kg}
//! parties:
//!   pass: {travel: foot, who: [ann, bo]}
//! needs:
//!   pass:
//!     - {need: lamp lit, item: lamp}
//! wants:
//!   pass: {cloth: 3}
//! ")?;
//! let answer = split(&read.order, &Options::default(), &Watch::default());
//! let Outcome::Plan(planned) = &answer.outcome else { panic!("no plan") };
//! assert_eq!(planned.status, Status::ProvenBest);
//!
//! let table = render(&read.order, &answer, Format::Table, &Style::default());
//! // What is worn, a cloth, and half of the lamp: 3 + 1.2 + 4 kg.
//! assert!(table.contains("ann         8.20 of 12.00 kg"), "{table}");
//! # Ok::<(), tumpline::kit::Diagnostics>(())
//! ```
//!
//! Instead of a text, [`kit::read_move`] reads files, and [`load::MoveOrder::new`] takes
//! what code has made. Questions around a plan are in [`ask`].
//!
//! Imports run downwards only: `cli → report → ask → split → load → quantity`, and
//! `report → kit → load`.

#![deny(missing_docs, unnameable_types)]

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
