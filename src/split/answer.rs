//! What the optimiser answers, and what is known of it.

use super::findings::Findings;
use crate::load::{GoalKind, GoalValue, Place, Plan};
use std::time::Duration;

/// The answer to a move order.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Whether there is a plan.
    pub outcome: Outcome,
    /// What stopped the search early, if anything did.
    pub stopped: Option<Stop>,
    /// How long it took.
    pub elapsed: Duration,
    /// What each stage did, in order, for those who want to know.
    pub stages: Vec<Stage>,
    /// Per goal that had its turn: what its value and its bound come from.
    pub origins: Vec<Origin>,
}

/// Which stages a goal's value and bound come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Origin {
    /// Which goal.
    pub goal: GoalKind,
    /// The stage that found the plan.
    pub found_by: &'static str,
    /// When it found it, in seconds from the start.
    pub found_at: f64,
    /// The stage that proved the bound.
    pub bound_by: &'static str,
    /// When it proved it, in seconds from the start.
    pub bound_at: f64,
    /// Branch-and-bound nodes for this goal.
    pub nodes: u64,
    /// Seconds that the goal took, a first plan for all of them aside.
    pub seconds: f64,
}

/// Four outcomes that never blur: a plan (how good it is, is in
/// [`Planned::status`]), no plan exists, or none was found in the time given.
#[derive(Debug, Clone)]
pub enum Outcome {
    /// A plan that passed the audit.
    Plan(Box<Planned>),
    /// Proven: no plan exists, and why.
    NoPlan(Reason),
    /// None was found in the time given; one may exist.
    NoneFound,
}

/// A plan that passed the audit.
#[derive(Debug, Clone)]
pub struct Planned {
    /// Who carries what.
    pub plan: Plan,
    /// What the audit found of it; no faults.
    pub findings: Findings,
    /// In the order of the move's goals.
    pub goals: Vec<GoalResult>,
    /// How good it is known to be.
    pub status: Status,
}

/// How good a plan is known to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Every goal, in its order, is proven to be the best possible.
    ProvenBest,
    /// Every goal is proven, or within the gap that was asked for.
    WithinGap,
    /// Some goal is further from its bound than was asked for.
    Feasible,
}

/// Why the search ended before it had what was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// The time was over.
    Deadline,
    /// Somebody asked it to stop.
    Interrupt,
    /// Nothing more to try: the solver could not settle it.
    Unsettled,
}

/// The value of a goal, and the bound that no plan can pass, given what the
/// goals before it reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoalResult {
    /// Which goal.
    pub goal: GoalKind,
    /// What the plan has.
    pub value: GoalValue,
    /// The best that was reached: never worse than the value, and better only
    /// where later goals used what this one may give up (`Goal::give`). What is
    /// proven, and the gap, are of this.
    pub reached: GoalValue,
    /// What no plan passes.
    pub bound: GoalValue,
}

impl GoalResult {
    /// Whether nothing better than `reached` is possible.
    pub fn proven(&self) -> bool {
        match (self.reached, self.bound) {
            (GoalValue::Points(v), GoalValue::Points(b)) => v >= b,
            (GoalValue::Mass(v), GoalValue::Mass(b)) => v <= b,
            (GoalValue::Share(v), GoalValue::Share(b)) => v <= b,
            (GoalValue::Count(v), GoalValue::Count(b)) => v <= b,
            _ => false,
        }
    }
    /// `100 · |reached − bound| / max(|reached|, |bound|)`, in percent; 0 if
    /// proven.
    pub fn gap_percent(&self) -> f64 {
        if self.proven() {
            return 0.0;
        }
        let (v, b) = (self.reached.number(), self.bound.number());
        let scale = v.abs().max(b.abs());
        if scale == 0.0 { 0.0 } else { 100.0 * (v - b).abs() / scale }
    }
}

/// Why no plan exists, as people say it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// One or two sentences, without a full stop at the end.
    pub text: String,
    /// Where the cause was written, if it is one place.
    pub place: Option<Place>,
}

/// What a stage of the search did.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// What it is called; may change from release to release.
    pub name: &'static str,
    /// For which goal; `None` for a first plan of all.
    pub goal: Option<GoalKind>,
    /// What came of it, in words.
    pub note: String,
    /// How long it took.
    pub seconds: f64,
}
