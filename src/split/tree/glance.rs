//! A glance at a program too large to climb: its relaxation, the bound that
//! the worth of its rows proves, and one dive for whole counts.

use super::node::Node;
use super::propagate::Propagator;
use super::relax::{Small, shrunk};
use crate::split::backend::{dual_bound, interior_within};
use crate::split::program::Model;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};
use std::time::Instant;

/// What a glance shows.
#[derive(Debug, Clone)]
pub(in crate::split) enum Glance {
    /// No point satisfies the rows.
    Infeasible,
    /// A point near the best, as far whole as the dive came, and a bound on
    /// every point's objective.
    Seen { values: Vec<f64>, bound: f64 },
    /// The solver could not say.
    Unknown,
}

/// The most relaxations of one dive.
const DIVES: usize = 30;
/// Relative gap of the relaxations: what is lost of the bound by it is less.
const TOLERANCE: f64 = 1e-5;
/// The most parts into which what is ripe is cut where all of it fails.
const FINEST: usize = 1_000;
/// A value so near to a whole one is taken for it.
const NEAR: f64 = 1e-3;

/// Narrows the columns by the rows, then solves what is left as a linear
/// program by an interior point method; dives as long as there is time.
pub(in crate::split) fn glance(model: &Model, end: Instant, stop: &AtomicBool) -> Glance {
    let rows = Propagator::new(model);
    let mut node = Node::root(model);
    if !rows.all(&mut node) {
        return Glance::Infeasible;
    }
    let from = Instant::now();
    let Some(small) = shrunk(model, &node) else { return Glance::Infeasible };
    let Some((mut values, bound)) = solved(&small, &node, end) else { return Glance::Unknown };
    let took = from.elapsed();
    let mut part = 1;
    for _ in 0..DIVES {
        // Not worth beginning where it will not end.
        let late = Instant::now() + took >= end;
        let mut next = node.clone();
        if late || stop.load(Relaxed) || !settle(model, &rows, &mut next, &values, part) {
            break;
        }
        let point = shrunk(model, &next).and_then(|small| solved(&small, &next, end));
        match point {
            Some((point, _)) => (node, values) = (next, point),
            // Too much at once.
            None if part < FINEST => part *= 4,
            None => break,
        }
    }
    Glance::Seen { values, bound }
}

/// The relaxation's point and its proven bound.
fn solved(small: &Small, node: &Node, end: Instant) -> Option<(Vec<f64>, f64)> {
    if small.model.columns.is_empty() {
        return Some((small.full(node, &[]), small.model.objective.constant));
    }
    let found =
        interior_within(&small.model, TOLERANCE, end.saturating_duration_since(Instant::now()))?;
    let (bound, _) = dual_bound(&small.model, &found.duals);
    // A point in the middle can be a little outside a box.
    let columns = small.model.columns.iter();
    let values: Vec<f64> =
        found.values.iter().zip(columns).map(|(v, c)| v.clamp(c.low, c.high)).collect();
    Some((small.full(node, &values), bound?))
}

/// Settles whole columns at or next to their values, the nearest first, the
/// rows narrowing the others after each: so many parts of what is ripe. False
/// if nothing is left to settle.
fn settle(model: &Model, rows: &Propagator, node: &mut Node, values: &[f64], part: usize) -> bool {
    let mut open: Vec<(f64, usize)> = (0..model.columns.len())
        .filter(|&c| model.columns[c].whole && !node.fixed(c))
        .map(|c| ((values[c] - values[c].round()).abs(), c))
        .collect();
    if open.is_empty() {
        return false;
    }
    open.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let near = open.iter().take_while(|o| o.0 <= NEAR).count();
    let most = (near.max(open.len() / 4).max(20) / part).max(1);
    for &(_, c) in open.iter().take(most) {
        if !node.fixed(c) {
            // What can be neither, the draft mends.
            rows.fix(node, c, values[c]);
        }
    }
    true
}
