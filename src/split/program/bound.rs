//! From a solver's bound on an objective to a bound on a goal: rounded up to
//! the next value that a plan could have.

use crate::bounds::{Loads, gcd, mass_step};
use crate::facts::Facts;
use crate::load::{GoalKind, GoalValue, Measure, Share};
use crate::quantity::Mass;

/// Objectives of plans differ by whole multiples of this; zero: unknown.
pub(crate) fn step(facts: &Facts, kind: GoalKind) -> f64 {
    match kind.measure() {
        Measure::Points => {
            let values = facts.order.wants().iter().map(|w| u64::from(w.value));
            values.fold(0, gcd).max(1) as f64
        }
        Measure::Mass => mass_step(facts) as f64 / 1e6,
        Measure::Share => 0.0,
        Measure::Count => 1.0,
    }
}

/// The bound on a goal. `exact` if it is the objective of a whole point, with
/// no more than rounding in it; else it is a relaxation's, and is lowered by a
/// solver's tolerance first.
pub(crate) fn bound_value(facts: &Facts, kind: GoalKind, bound: f64, exact: bool) -> GoalValue {
    let up = |v: f64| (v - 1e-6).ceil().max(0.0) as u64;
    match kind.measure() {
        Measure::Points => GoalValue::Points((-bound + 1e-6).floor().max(0.0) as u64),
        Measure::Count => GoalValue::Count(up(bound)),
        Measure::Mass => {
            let off = if exact { 0.01 } else { 1.0 };
            let step = mass_step(facts) as f64;
            let steps = ((bound * 1e6 - off) / step).ceil().max(0.0);
            GoalValue::Mass(Mass::from_mg((steps * step) as u64))
        }
        Measure::Share => {
            let off = if exact { 1e-12 } else { 1e-9 };
            GoalValue::Share(next_share(facts, bound - off))
        }
    }
}

/// The least share that some carrier can have at or above `share`: its load is
/// what it bears before any kit and a sum of masses.
fn next_share(facts: &Facts, share: f64) -> Share {
    let loads = Loads::new(facts);
    let even = facts.carriers.iter().filter(|c| c.even);
    let next = even.map(|c| {
        let kit = share * c.limit as f64 - c.burden as f64;
        // Slightly less, for floating-point error.
        let kit = (kit - kit.abs() * 1e-12 - 1e-3).ceil().max(0.0) as u64;
        let load = c.burden.saturating_add(loads.least(kit));
        Share { load: Mass::from_mg(load), limit: Mass::from_mg(c.limit) }
    });
    next.min().unwrap_or(Share::ZERO)
}
