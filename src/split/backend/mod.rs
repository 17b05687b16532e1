//! Solvers behind one interface.
//!
//! The default build uses our own branch and bound, with a dual simplex method
//! of our own or microlp (through good_lp) for the linear relaxations; feature
//! `highs` hands the whole program to HiGHS.

mod dual_bound;
#[cfg(feature = "highs")]
mod highs;
mod interior;
mod linear;
mod simplex;
mod watchdog;

pub(super) use dual_bound::{dual_bound, safe_bound};
pub(super) use interior::{Interior, interior, interior_within};
pub(super) use linear::{Relaxed, relax};
pub(super) use simplex::{Ended, Simplex, activity};
pub use watchdog::SOLVER_THREAD;
pub(super) use watchdog::{interior_by, solve};

use super::program::Model;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// What a solve is given.
#[derive(Debug, Clone)]
pub(super) struct Ask {
    pub model: Model,
    /// The incumbent's objective, if there is one: only better points count.
    pub known: Option<f64>,
    /// Values of some columns of the incumbent; helper columns are not among
    /// them. Our own branch and bound needs no more than the objective.
    #[cfg_attr(not(feature = "highs"), expect(dead_code, reason = "HiGHS takes it"))]
    pub start: Vec<(usize, f64)>,
    /// Objectives of plans differ by whole multiples of this; zero: unknown.
    pub step: f64,
    /// Stop at this relative gap.
    pub gap: f64,
    /// Stop after so many nodes.
    pub nodes: u64,
    pub time: Duration,
    /// Solve the relaxation by an interior point method and dive from it; no
    /// branching.
    pub interior_dive: bool,
}

/// The result. Values are only the solver's word: check them exactly.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solved {
    /// The best point found; none if nothing better than the incumbent was.
    pub values: Option<Vec<f64>>,
    /// The root relaxation's point, whole or not, where it is known.
    pub relaxed: Option<Vec<f64>>,
    /// No point has a lower objective.
    pub bound: Option<f64>,
    /// The point, or the incumbent if there is no point, is optimal.
    pub best: bool,
    /// No point exists at all, the incumbent aside.
    pub infeasible: bool,
    /// The time ran out.
    pub cut_short: bool,
    pub nodes: u64,
}

impl Solved {
    pub const NOTHING: Solved = Solved {
        values: None,
        relaxed: None,
        bound: None,
        best: false,
        infeasible: false,
        cut_short: true,
        nodes: 0,
    };
}

/// The solver that this build uses.
pub(super) const NAME: &str = if cfg!(feature = "highs") { "HiGHS" } else { "tree" };

fn solve_here(ask: Ask, stop: &AtomicBool) -> Solved {
    if ask.interior_dive {
        return dive_from_interior(&ask.model, std::time::Instant::now() + ask.time, stop);
    }
    #[cfg(feature = "highs")]
    {
        let _ = stop;
        highs::solve(ask)
    }
    #[cfg(not(feature = "highs"))]
    solve_by_tree(ask, stop)
}

/// The relaxation's point, after the dive, and the bound that its duals prove.
fn dive_from_interior(model: &Model, end: std::time::Instant, stop: &AtomicBool) -> Solved {
    use super::branch_and_bound::{InteriorDive, interior_dive};
    match interior_dive(model, end, stop) {
        InteriorDive::Infeasible => {
            Solved { infeasible: true, cut_short: false, ..Solved::NOTHING }
        }
        InteriorDive::Point { values, bound } => Solved {
            relaxed: Some(values),
            bound: Some(bound),
            cut_short: false,
            nodes: 1,
            ..Solved::NOTHING
        },
        InteriorDive::Unknown => Solved { cut_short: false, ..Solved::NOTHING },
    }
}

#[cfg(not(feature = "highs"))]
fn solve_by_tree(ask: Ask, stop: &AtomicBool) -> Solved {
    use super::branch_and_bound::{Limits, solve_tree};
    let limits = Limits {
        known: ask.known,
        step: ask.step,
        gap: ask.gap,
        nodes: ask.nodes,
        end: std::time::Instant::now() + ask.time,
        stop,
    };
    as_solved(solve_tree(&ask.model, &limits), &ask)
}

/// The result of branch and bound, as any solver's.
#[cfg(not(feature = "highs"))]
fn as_solved(found: super::branch_and_bound::TreeResult, ask: &Ask) -> Solved {
    let value = found.values.as_ref().map(|v| ask.model.objective.value(v)).or(ask.known);
    let met = |v: f64, b: f64| b >= v - 1e-9 * (1.0 + v.abs());
    Solved {
        best: found.complete && value.zip(found.bound).is_some_and(|(v, b)| met(v, b)),
        // A node that was given up could hold a point: then the bound is finite
        // or unknown, and nothing is proven.
        infeasible: found.complete && value.is_none() && found.bound == Some(f64::INFINITY),
        cut_short: !found.complete && found.nodes < ask.nodes,
        values: found.values,
        relaxed: found.relaxed,
        bound: found.bound.filter(|b| b.is_finite()),
        nodes: found.nodes,
    }
}

#[cfg(all(test, not(feature = "highs")))]
mod tests {
    use super::super::branch_and_bound::TreeResult;
    use super::*;

    /// The result of a tree searched to the end without a point.
    fn empty(bound: Option<f64>, known: Option<f64>) -> Solved {
        let time = Duration::from_secs(1);
        let (model, start) = (Model::default(), Vec::new());
        let interior_dive = false;
        let ask = Ask { model, known, start, step: 0.0, gap: 0.0, nodes: 10, time, interior_dive };
        as_solved(TreeResult { values: None, bound, complete: true, relaxed: None, nodes: 3 }, &ask)
    }

    #[test]
    fn a_node_given_up_is_no_proof() {
        assert!(empty(Some(f64::INFINITY), None).infeasible);
        // The linear solver failed at some node.
        for bound in [None, Some(4.0)] {
            let solved = empty(bound, None);
            assert!(!solved.infeasible && !solved.best, "{bound:?}");
            assert!(!empty(bound, Some(5.0)).best, "{bound:?}");
        }
        assert!(empty(Some(5.0), Some(5.0)).best);
    }
}
