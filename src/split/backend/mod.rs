//! Solvers behind one door.

#[cfg(feature = "highs")]
mod highs;
#[cfg_attr(feature = "highs", allow(dead_code))]
mod microlp;
mod watchdog;

pub(super) use watchdog::solve;

use super::program::Model;
use std::time::Duration;

/// What a solve is given.
#[derive(Debug, Clone)]
pub(super) struct Ask {
    pub model: Model,
    /// Values of some columns of a feasible point; helper columns may miss.
    pub start: Vec<(usize, f64)>,
    /// Stop at this relative gap.
    pub gap: f64,
    pub time: Duration,
}

/// What came of it. Values are the solver's word: check them exactly.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Solved {
    /// The best possible.
    Best {
        values: Vec<f64>,
        objective: f64,
    },
    /// A point, and if known a bound that no point passes.
    Point {
        values: Vec<f64>,
        bound: Option<f64>,
    },
    Infeasible,
    /// Nothing came in the time given, or the solver broke down.
    Nothing,
}

/// The solver that this build uses.
pub(super) const NAME: &str = if cfg!(feature = "highs") { "HiGHS" } else { "microlp" };

fn solve_here(ask: Ask) -> Solved {
    #[cfg(feature = "highs")]
    return highs::solve(ask);
    #[cfg(not(feature = "highs"))]
    return microlp::solve(ask);
}
