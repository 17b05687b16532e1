//! What a condition on the plan costs: each goal with it and without it.

use crate::load::{GoalKind, GoalValue};
use crate::split::{Answer, Outcome};

/// What a plan was made to bear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Condition {
    /// Weights may be off ([`Tolerance`](crate::load::Tolerance)).
    Tolerance,
    /// Somebody may drop out.
    Survives,
}

/// The goals of the plan with the condition and of that without it.
#[derive(Debug, Clone)]
pub struct Price {
    /// What was asked for.
    pub of: Condition,
    /// In the order of the move's goals.
    pub goals: Vec<Paid>,
    /// Whether both plans are proven best: then the price is exact.
    pub exact: bool,
}

/// One goal. Goals come in their order, so that one after the first that
/// costs something may well gain.
#[derive(Debug, Clone, Copy)]
pub struct Paid {
    /// Which goal.
    pub goal: GoalKind,
    /// Its value with the condition.
    pub with: GoalValue,
    /// Its value without.
    pub without: GoalValue,
}

/// Whether the condition costs something of this goal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cost {
    /// The goal is worse with the condition.
    Costs,
    /// It is as good.
    Nothing,
    /// It is better, a goal before it being worse.
    Gains,
}

impl Paid {
    /// Which of the two values is better.
    pub fn cost(&self) -> Cost {
        use GoalValue::{Count, Mass, Points, Share};
        let order = match (self.with, self.without) {
            (Points(a), Points(b)) => b.cmp(&a),
            (Count(a), Count(b)) => a.cmp(&b),
            (Mass(a), Mass(b)) => a.cmp(&b),
            (Share(a), Share(b)) => a.cmp(&b),
            _ => std::cmp::Ordering::Equal,
        };
        match order {
            std::cmp::Ordering::Greater => Cost::Costs,
            std::cmp::Ordering::Equal => Cost::Nothing,
            std::cmp::Ordering::Less => Cost::Gains,
        }
    }
}

impl Price {
    /// `None` if either has no plan.
    pub fn new(of: Condition, with: &Answer, without: &Answer) -> Option<Self> {
        let (Outcome::Plan(a), Outcome::Plan(b)) = (&with.outcome, &without.outcome) else {
            return None;
        };
        let goals = a.goals.iter().zip(&b.goals);
        let paid = goals.map(|(x, y)| Paid { goal: x.goal, with: x.value, without: y.value });
        let exact = [a, b].iter().all(|p| p.goals.iter().all(|g| g.proven()));
        Some(Price { of, goals: paid.collect(), exact })
    }
}
