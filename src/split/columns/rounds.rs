//! Rounds of column generation: solve the master, price, add what is worth
//! more than the master thinks, and keep the best bound on the way.

use super::bound::{Lagrangian, lagrangian};
use super::master::Master;
use super::pricing::{Priced, Prices, price};
use crate::split::backend::{Interior, interior_by};
use crate::split::facts::Facts;
use crate::split::options::Clock;

/// What may be spent, counted and never timed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    pub rounds: u32,
    /// Steps of pricing.
    pub steps: u64,
}

/// The best bound, and what it was reckoned at.
#[derive(Debug, Clone)]
pub(super) struct Bounded {
    pub lagrangian: Lagrangian,
    pub prices: Prices,
    pub priced: Vec<Priced>,
}

/// How the rounds ended.
#[derive(Debug, Clone, Default)]
pub(super) struct Rounds {
    pub best: Option<Bounded>,
    /// The last master's point.
    pub point: Option<Interior>,
    pub rounds: u32,
    pub steps: u64,
}

impl Rounds {
    pub fn bound(&self) -> f64 {
        self.best.as_ref().map_or(f64::NEG_INFINITY, |b| b.lagrangian.bound)
    }
}

/// A load must be worth so much more than its class charges, as a part of it.
const WORTH: f64 = 1e-7;

/// Generates loads until none is worth adding, or `enough` says so of the best
/// bound and the master's own value, or the effort is spent.
pub(super) fn generate(
    facts: &Facts,
    master: &mut Master,
    effort: &mut Effort,
    clock: &Clock,
    enough: impl Fn(f64, f64) -> bool,
) -> Rounds {
    let mut rounds = Rounds::default();
    while effort.rounds > 0 && effort.steps > 0 && !clock.over() {
        let Some(point) = interior_by(&master.model, clock) else { break };
        effort.rounds -= 1;
        rounds.rounds += 1;
        let worth: Vec<f64> = master.links.iter().map(|r| -point.duals[*r]).collect();
        let prices = Prices::new(master.classes, &worth);
        let (priced, steps) = price(facts, master.classes, &prices);
        effort.steps = effort.steps.saturating_sub(steps);
        rounds.steps += steps;
        let mut added = false;
        for (k, p) in priced.iter().enumerate() {
            let charge = -point.duals[master.class_row(k)];
            let value = p.value as f64 * prices.unit;
            if value > charge + WORTH * (1.0 + charge.abs()) {
                added |= master.add(k, p.load.clone());
            }
        }
        let found = lagrangian(&master.parts(), &point.duals, &prices, &priced);
        if let Some(lagrangian) = found.filter(|l| l.bound > rounds.bound()) {
            rounds.best = Some(Bounded { lagrangian, prices, priced });
        }
        let value = point.objective;
        rounds.point = Some(point);
        if !added || enough(rounds.bound(), value) {
            break;
        }
    }
    rounds
}
