//! Rounds of cuts at the root.

use super::cuts::cuts;
use super::limits::Limits;
use super::node::Node;
use super::node_relaxation::NodeRelaxation;
use super::propagate::Propagator;
use super::warm_start::WarmSimplex;
use crate::program::{Model, Row};
use std::sync::atomic::Ordering::Relaxed;
use std::time::Instant;

/// Adds cuts until the bound stops moving; returns the number of rounds.
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
        // Cuts that are slack at the point only slow what follows.
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
