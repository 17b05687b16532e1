//! Rounds of column generation: solve the master, price, add the loads of
//! positive reduced value, and keep the best Lagrangian bound on the way.
//!
//! Dual stabilisation: the master's duals oscillate from round to round;
//! pricing between them and those of the best bound so far converges far sooner
//! (Wentges 1997). The first stability centre is the duals of loads in parts.

use super::ix::ClassIx;
use super::lagrangian::{Lagrangian, lagrangian};
use super::master::Master;
use super::pricing::{Priced, Prices, price, spread};
use crate::backend::{Interior, interior_by};
use crate::facts::Facts;
use crate::options::Clock;

/// The work limits, counted and never timed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    pub rounds: u32,
    /// Steps of pricing.
    pub steps: u64,
}

/// The best bound, and the prices it was computed at.
#[derive(Debug, Clone)]
pub(super) struct Bounded {
    pub lagrangian: Lagrangian,
    pub prices: Prices,
    pub priced: Vec<Priced>,
    /// Duals of the base's rows.
    pub duals: Vec<f64>,
}

/// How the rounds ended.
#[derive(Debug, Clone, Default)]
pub(super) struct Generation {
    pub best: Option<Bounded>,
    /// The last master's point.
    pub point: Option<Interior>,
    pub rounds: u32,
}

impl Generation {
    pub fn bound(&self) -> f64 {
        self.best.as_ref().map_or(f64::NEG_INFINITY, |b| b.lagrangian.bound)
    }
}

/// The reduced value at which a load is added, relative to what its class
/// charges.
const WORTH: f64 = 1e-7;
/// The weight of the stability centre, tried in turn until a load is worth
/// adding.
const PARTS: [f64; 3] = [0.8, 0.4, 0.0];

/// The bound at the duals of loads in parts.
pub(super) fn first(
    facts: &Facts,
    master: &Master,
    effort: &mut Effort,
    clock: &Clock,
) -> Generation {
    let mut rounds = Generation::default();
    if let Some(point) = interior_by(&master.in_parts(facts), clock) {
        step(facts, master, effort, &mut rounds, &point.duals, clock);
    }
    rounds
}

/// Generates loads until none has a positive reduced value, or `enough` says so
/// of the best bound and the master's own value, or the work limit is reached.
/// `steady` stabilises the duals, for the bound: where some loads are fixed
/// already, the best bound is no guide.
pub(super) fn generate(
    facts: &Facts,
    master: &mut Master,
    effort: &mut Effort,
    clock: &Clock,
    steady: bool,
    enough: impl Fn(f64, f64) -> bool,
) -> Generation {
    let mut rounds = Generation::default();
    let parts: &[f64] = if steady { &PARTS } else { &[0.0] };
    if steady {
        rounds = first(facts, master, effort, clock);
        let first = rounds.best.iter().flat_map(|b| b.priced.iter().enumerate());
        first.for_each(|(k, p)| {
            master.add(ClassIx(k), p.load.clone());
        });
    }
    while effort.rounds > 0 && effort.steps > 0 && !clock.over() {
        let Some(point) = interior_by(&master.model, clock) else { break };
        effort.rounds -= 1;
        rounds.rounds += 1;
        let mut added = false;
        for &part in parts {
            let duals = between(&rounds, &point.duals, part);
            let Some(priced) = step(facts, master, effort, &mut rounds, &duals, clock) else {
                break;
            };
            let each = priced.into_iter().enumerate().map(|(k, p)| (ClassIx(k), p.load));
            for (k, load) in each.chain(spread(facts, master.classes, &master.prices(&duals))) {
                if master.worth(&point.duals, k, &load) > WORTH {
                    added |= master.add(k, load);
                }
            }
            if added || rounds.best.is_none() {
                break;
            }
        }
        let value = point.objective;
        rounds.point = Some(point);
        if !added || enough(rounds.bound(), value) {
            break;
        }
    }
    rounds
}

/// Duals between the stability centre and these.
fn between(rounds: &Generation, duals: &[f64], part: f64) -> Vec<f64> {
    let Some(best) = &rounds.best else { return duals.to_vec() };
    best.duals.iter().zip(duals).map(|(a, b)| a * part + b * (1.0 - part)).collect()
}

/// Prices at these duals, and keeps the bound if it is the best; nothing if the
/// time is over.
fn step(
    facts: &Facts,
    master: &Master,
    effort: &mut Effort,
    rounds: &mut Generation,
    duals: &[f64],
    clock: &Clock,
) -> Option<Vec<Priced>> {
    let prices = master.prices(duals);
    let (priced, steps) = price(facts, master.classes, &prices, clock)?;
    effort.steps = effort.steps.saturating_sub(steps);
    let found = lagrangian(&master.parts(), duals, &prices, &priced);
    if let Some(lagrangian) = found.filter(|l| l.bound > rounds.bound()) {
        let duals = duals[..master.base.rows.len()].to_vec();
        rounds.best = Some(Bounded { lagrangian, prices, priced: priced.clone(), duals });
    }
    Some(priced)
}
