//! How good a state is for the goal at work.

use super::state::State;
use crate::load::GoalKind;
use std::cmp::Ordering;

/// Compared in this order; less is better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Score {
    /// Zero if every limit, need, rule and pin is kept.
    pub penalty: i64,
    /// The goal's value, negated where more is better.
    pub goal: f64,
    /// What makes the next step towards the goal easier.
    pub tie: f64,
}

impl Score {
    pub fn of(state: &State, kind: GoalKind) -> Score {
        let (goal, tie) = match kind {
            GoalKind::Wants => {
                let value: u64 = state.party_wants.iter().sum();
                (-(value as f64), state.carried as f64)
            }
            GoalKind::Lightest => (state.carried as f64, spread(state).1),
            GoalKind::Even => spread(state),
            counted => (state.counted(counted) as f64, spread(state).1),
        };
        Score { penalty: state.penalty(), goal, tie }
    }

    pub fn better_than(&self, other: &Score) -> bool {
        let by = |a: f64, b: f64| a.partial_cmp(&b).unwrap_or(Ordering::Equal);
        let order = self
            .penalty
            .cmp(&other.penalty)
            .then(by(self.goal, other.goal))
            // Sums of squares carry rounding: a step must gain more than that.
            .then(by(self.tie, other.tie - other.tie.abs() * 1e-9));
        order == Ordering::Less
    }
}

/// The peak share, and the sum over carriers of load²/limit, which falls when
/// load moves from a fuller to an emptier carrier.
fn spread(state: &State) -> (f64, f64) {
    let mut peak = 0.0f64;
    let mut sum = 0.0;
    for (f, b) in state.facts.carriers.iter().zip(&state.on).filter(|(f, _)| f.even) {
        let load = (f.burden + b.mass) as f64;
        let share = load / f.limit.max(1) as f64;
        peak = peak.max(share);
        sum += load * share;
    }
    (peak, sum)
}
