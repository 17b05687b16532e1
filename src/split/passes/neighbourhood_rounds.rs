//! Rounds of large-neighbourhood search: in each, a few neighbourhoods of the
//! incumbent are optimised in parallel.

use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::load::{GoalKind, GoalValue, Plan};
use crate::pins::Pins;
use std::time::Duration;

/// Neighbourhoods of one round, a thread each.
const AT_ONCE: usize = 2;

/// What the rounds are for, and when they end.
pub(super) struct NeighbourhoodRounds<'p> {
    pub name: &'static str,
    pub kind: GoalKind,
    pub pins: &'p Pins,
    pub bound: Option<GoalValue>,
    /// Rounds without improvement before they end.
    pub idle: u32,
    pub time: Duration,
}

/// What every neighbourhood of a round starts from.
pub(super) struct Base {
    pub plan: Plan,
    pub known: GoalValue,
    /// What is left of the time.
    pub time: Duration,
}

impl Passes<'_, '_> {
    /// Improves the incumbent. `pick` chooses a neighbourhood, given the round;
    /// `settle` optimises it: a plan, if there may be a better one, and the
    /// nodes spent.
    pub(super) fn neighbourhood_rounds<T: Send>(
        &mut self,
        of: &NeighbourhoodRounds,
        mut pick: impl FnMut(&Self, &Base, u32) -> Option<T>,
        settle: impl Fn(&Self, T, &Base) -> (Option<Plan>, u64) + Sync,
    ) {
        let NeighbourhoodRounds { name, kind, pins, bound, .. } = *of;
        let from = self.clock.elapsed();
        self.stage = name;
        let (mut idle, mut rounds, mut gains, mut nodes) = (0, 0u32, 0u32, 0);
        while idle < of.idle && !self.near(kind, bound) && !self.clock.over() {
            let time = (from + of.time).saturating_sub(self.clock.elapsed());
            let Some(best) = self.best.as_ref().filter(|_| time > Duration::ZERO) else { break };
            let base = Base { plan: best.plan.clone(), known: best.value(kind), time };
            let tasks: Vec<T> = (0..AT_ONCE).filter_map(|_| pick(self, &base, rounds)).collect();
            if tasks.is_empty() {
                break;
            }
            let passes = &*self;
            let found: Vec<(Option<Plan>, u64)> = std::thread::scope(|scope| {
                let (settle, base) = (&settle, &base);
                let running: Vec<_> = tasks
                    .into_iter()
                    .map(|t| scope.spawn(move || settle(passes, t, base)))
                    .collect();
                running.into_iter().map(|r| r.join().unwrap_or((None, 0))).collect()
            });
            rounds += 1;
            idle += 1;
            for (plan, n) in found {
                nodes += n;
                let Some(plan) = plan else { continue };
                let findings = audit(self.facts.order, &plan);
                let before = self.best.as_ref().map(|b| b.value(kind));
                if findings.faults.is_empty() {
                    self.offer(Incumbent { plan, findings }, kind, pins);
                }
                if self.best.as_ref().map(|b| b.value(kind)) != before {
                    (idle, gains) = (0, gains + 1);
                }
            }
        }
        self.nodes += nodes;
        let value = self.best.as_ref().map_or(0.0, |b| b.value(kind).number());
        let note = format!("value {value}; {rounds} rounds, {gains} gains, {nodes} nodes");
        self.note(name, kind, note, self.clock.elapsed().saturating_sub(from));
    }
}
