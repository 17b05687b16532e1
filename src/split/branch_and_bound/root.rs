//! What is done once, at the root: cuts, and trying each column at either end.

use super::cuts::cuts;
use super::node::{BranchOn, Node};
use super::node_relaxation::NodeRelaxation;
use super::propagate::Propagator;
use super::tree::{Limits, Tree};
use super::warm_start::WarmSimplex;
use crate::program::{Model, Row};
use std::sync::atomic::Ordering::Relaxed;
use std::time::Instant;

/// Adds cuts to the root until they stop telling; returns the rounds.
pub(super) fn strengthen(model: &mut Model, limits: &Limits) -> u64 {
    const ROUNDS: u64 = 12;
    let mut last = f64::NEG_INFINITY;
    let own = model.rows.len();
    for round in 0..ROUNDS {
        if limits.stop.load(Relaxed) || Instant::now() >= limits.end {
            return round;
        }
        let mut root = Node::root(model);
        let mut rows = Propagator::new(model);
        if let Some(known) = limits.known {
            rows.cutoff = known - model.objective.constant;
        }
        if !rows.all(&mut root) {
            return round;
        }
        let relaxed = WarmSimplex::new(model).relax(&mut root, f64::INFINITY, &mut Vec::new());
        let NodeRelaxation::Point { objective, values } = relaxed else {
            return round;
        };
        // Cuts that the point no longer touches only slow what follows.
        let slack =
            |r: &Row| r.terms.iter().map(|(c, k)| k * values[*c]).sum::<f64>() > r.low + 1e-6;
        let mut kept: Vec<_> = model.rows.drain(own..).filter(|r| !slack(r)).collect();
        let stale = objective < last + 1e-4 * (1.0 + objective.abs());
        last = objective;
        if stale && round > 2 {
            model.rows.append(&mut kept);
            return round + 1;
        }
        let new = cuts(model, &root, &values);
        let none = new.is_empty();
        model.rows.append(&mut kept);
        model.rows.extend(new);
        if none {
            return round + 1;
        }
    }
    ROUNDS
}

impl Tree<'_, '_> {
    /// Tries each narrow column at either end; an end that cannot be is cut
    /// off for good. False if nothing is left.
    pub(super) fn probe(&mut self, root: &mut Node) -> bool {
        for round in 0..2 {
            let mut moved = false;
            for c in 0..self.model.columns.len() {
                if self.over() {
                    return true;
                }
                if !self.model.columns[c].whole || root.fixed(c) {
                    continue;
                }
                let (low, high) = (root.low[c], root.high[c]);
                let mut down = root.child(BranchOn::Column(c), low, false);
                let mut up = root.child(BranchOn::Column(c), low + 1.0, true);
                let can_down = self.rows.after(&mut down, c);
                let can_up = self.rows.after(&mut up, c);
                let other = match (can_down, can_up) {
                    (false, false) => return false,
                    (true, true) => {
                        moved |= hull(root, &down, &up);
                        continue;
                    }
                    (true, false) => down,
                    (false, true) => up,
                };
                moved = true;
                debug_assert!(other.low[c] >= low && other.high[c] <= high);
                let depth = root.depth;
                *root = other;
                root.depth = depth;
            }
            if !moved || round == 1 {
                break;
            }
        }
        true
    }
}

/// What holds on either side holds.
fn hull(root: &mut Node, a: &Node, b: &Node) -> bool {
    let mut moved = false;
    for c in 0..root.low.len() {
        let (low, high) = (a.low[c].min(b.low[c]), a.high[c].max(b.high[c]));
        if low > root.low[c] + 0.5 {
            root.low[c] = low;
            moved = true;
        }
        if high < root.high[c] - 0.5 {
            root.high[c] = high;
            moved = true;
        }
    }
    moved
}
