//! What branch and bound is given and what it gives back.

use std::sync::atomic::AtomicBool;
use std::time::Instant;

/// What branch and bound is given besides the model.
pub(crate) struct Limits<'a> {
    /// The incumbent's objective, if there is one: only better points count.
    pub known: Option<f64>,
    /// Objectives of plans are a whole number of these above the model's
    /// constant; zero: unknown. Points of a relaxation may lie between.
    pub step: f64,
    /// Relative gap that is good enough.
    pub gap: f64,
    /// Stop after so many nodes.
    pub nodes: u64,
    pub end: Instant,
    pub stop: &'a AtomicBool,
}

/// What branch and bound found.
#[derive(Debug, Clone)]
pub(crate) struct TreeResult {
    /// The best point, if one better than the incumbent was found.
    pub values: Option<Vec<f64>>,
    /// No point has a lower objective; `None` if nothing is known, infinite if
    /// there is no point at all.
    pub bound: Option<f64>,
    /// The tree was searched to the end, the gap aside.
    pub complete: bool,
    /// The first relaxation's point, whole or not.
    pub relaxed: Option<Vec<f64>>,
    pub nodes: u64,
}
