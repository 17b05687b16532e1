//! Goal values: which is better, trivial bounds, and how programs and the local
//! search see them.

use crate::facts::Facts;
use crate::load::{GoalKind, GoalValue, Measure, Share};
use crate::quantity::Mass;

/// A bound that holds for every plan of the move.
pub(super) fn trivial(kind: GoalKind, facts: &Facts) -> GoalValue {
    match kind.measure() {
        Measure::Points => {
            let most = facts.order.wants().iter().map(|w| u64::from(w.value) * u64::from(w.up_to));
            GoalValue::Points(most.fold(0, u64::saturating_add))
        }
        Measure::Mass => GoalValue::Mass(Mass::ZERO),
        Measure::Share => {
            let even = facts.carriers.iter().filter(|c| c.even);
            let share = even
                .map(|c| Share { load: Mass::from_mg(c.burden), limit: Mass::from_mg(c.limit) });
            GoalValue::Share(share.max().unwrap_or(Share::ZERO))
        }
        Measure::Count => GoalValue::Count(0),
    }
}

/// Whether `a` is better than `b`.
pub(crate) fn better(a: GoalValue, b: GoalValue) -> bool {
    match (a, b) {
        (GoalValue::Points(a), GoalValue::Points(b)) => a > b,
        (GoalValue::Mass(a), GoalValue::Mass(b)) => a < b,
        (GoalValue::Share(a), GoalValue::Share(b)) => a < b,
        (GoalValue::Count(a), GoalValue::Count(b)) => a < b,
        _ => {
            debug_assert!(false, "values of two kinds of goal");
            false
        }
    }
}

/// The tighter of two bounds.
pub(super) fn tighter(a: GoalValue, b: GoalValue) -> GoalValue {
    if better(a, b) { b } else { a }
}

/// A bound never passes a value that was reached: where a solver's rounding
/// makes it seem so, they are equal.
pub(super) fn at_best(value: GoalValue, bound: GoalValue) -> GoalValue {
    if better(value, bound) { value } else { bound }
}

/// A value that a relaxation reached, relaxed by more than a solver's
/// tolerance, to pin that relaxation itself.
pub(super) fn with_tolerance(value: GoalValue) -> GoalValue {
    match value {
        GoalValue::Mass(m) => GoalValue::Mass(Mass::from_mg(m.mg() + 2)),
        GoalValue::Share(s) => {
            let load = Mass::from_mg(s.load.mg() + s.load.mg() / 1_000);
            GoalValue::Share(Share { load, limit: s.limit })
        }
        same => same,
    }
}

/// The value as the objective that programs minimise.
pub(super) fn objective(value: GoalValue) -> f64 {
    match value {
        GoalValue::Points(n) => -(n as f64),
        GoalValue::Mass(m) => m.mg() as f64 / 1e6,
        GoalValue::Share(s) => s.ratio(),
        GoalValue::Count(n) => n as f64,
    }
}

/// The value as the search scores it.
pub(super) fn score(value: GoalValue) -> f64 {
    match value {
        GoalValue::Mass(m) => m.mg() as f64,
        other => objective(other),
    }
}
