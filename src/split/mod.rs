//! The optimiser: from a move order to a plan that passed the audit. Knows no
//! file format and no terminal.
#![doc = ""]
#![doc = include_str!("optimiser.md")]
#![doc = ""]
#![doc = include_str!("bounds.md")]
#![deny(missing_docs, unnameable_types)]

// So that `crate::load` is the domain here as everywhere.
use tumpline_core::{load, quantity};

mod answer;
mod audit;
mod backend;
mod bounds;
#[cfg_attr(
    feature = "highs",
    allow(dead_code, unused_imports, reason = "HiGHS has its own branch and bound")
)]
mod branch_and_bound;
mod column_generation;
mod conflict_search;
mod facts;
mod fault;
mod findings;
mod local_search;
mod options;
mod passes;
mod pins;
mod precheck;
mod program;

pub use answer::{Answer, GoalResult, Origin, Outcome, Planned, Reason, Stage, Status, Stop};
pub use audit::audit;
pub use backend::SOLVER_THREAD;
pub use fault::{Fault, FaultKind, FaultValue};
pub use findings::{CarrierFinding, Findings, Left, Line, MetBy, NeedFinding, SupplyFinding};
pub use options::{Options, Progress, Watch};
pub use passes::{split, split_within};

// So that unit tests share the made-up moves of the integration tests.
#[cfg(test)]
extern crate self as tumpline;
#[cfg(test)]
use crate as split;
#[cfg(test)]
#[path = "../../tests/common"]
mod common {
    #![allow(dead_code, reason = "shared by tests of several packages")]

    pub mod cases;
    pub mod enumerate;
    pub mod random_move;
}
