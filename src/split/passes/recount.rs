//! Counts anew: a looser program in which most counts are held as in the best
//! plan, and the rest settled whole. Half the time those are freed in which the
//! relaxation and the plan differ (Danna, Rothberg and Le Pape 2005), else some
//! at random. It finds what no exchange of a few things leads to: another mast,
//! other batteries, other wants in another party.

use super::search::QUICK_TRIES;
use super::solves::totals;
use super::values::objective;
use super::{Best, Passes};
use crate::load::{GoalKind, GoalValue, Plan};
use crate::split::audit::audit;
use crate::split::backend::{self, Ask};
use crate::split::pins::Pins;
use crate::split::program::{Program, step};
use crate::split::search::{self, Budget, Random};
use std::time::Duration;

/// Rounds without a gain before it is given up.
const IDLE_ROUNDS: u32 = 6;
/// Neighbourhoods of one round: a core each.
const AT_ONCE: u64 = 2;
/// Nodes for one of them.
const NODES: u64 = 120;
/// The most counts that one of them frees.
const MOST_FREED: usize = 160;

impl Passes<'_, '_> {
    /// Improves the best plan by settling some of its counts anew.
    pub(super) fn recount(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        relaxed: &[(usize, usize, f64)],
        time: Duration,
    ) {
        if self.best.is_none() || relaxed.is_empty() {
            return;
        }
        let from = self.clock.elapsed();
        self.stage = "recount";
        let mut program = self.looser_program("coarse program", &self.coarse);
        program.pin(pins);
        program.aim(kind);
        let mut random = Random::new(self.options.seed ^ 0x2ec0_0000);
        let (mut idle, mut rounds, mut gains, mut nodes) = (0, 0u32, 0u32, 0);
        while idle < IDLE_ROUNDS && !self.near(kind, bound) && !self.clock.over() {
            let left = (from + time).saturating_sub(self.clock.elapsed());
            let Some(best) = self.best.as_ref().filter(|_| left > Duration::ZERO) else { break };
            let known = best.value(kind);
            let plan = best.plan.clone();
            let counts = self.counts_of_plan(&best.plan);
            let tasks: Vec<(Program, u64)> = (0..AT_ONCE)
                .map(|_| {
                    let mut program = program.clone();
                    let freed = freed(relaxed, &counts, rounds, &mut random);
                    for (k, &(item, party, _)) in relaxed.iter().enumerate() {
                        if !freed[k] {
                            program.hold(item, party, counts[party][item]);
                        }
                    }
                    (program, random.next())
                })
                .collect();
            let solve = |(program, seed)| {
                self.settle_counts(program, kind, pins, (&plan, known), seed, left)
            };
            let found: Vec<(Option<Plan>, u64)> = std::thread::scope(|scope| {
                let solve = &solve;
                let running: Vec<_> =
                    tasks.into_iter().map(|t| scope.spawn(move || solve(t))).collect();
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
                    self.offer(Best { plan, findings }, kind, pins);
                }
                if self.best.as_ref().map(|b| b.value(kind)) != before {
                    (idle, gains) = (0, gains + 1);
                }
            }
        }
        self.nodes += nodes;
        let value = self.best.as_ref().map_or(0.0, |b| b.value(kind).number());
        let note = format!("value {value}; {rounds} rounds, {gains} gains, {nodes} nodes");
        self.note("recount", kind, note, self.clock.elapsed().saturating_sub(from));
    }

    /// The plan of the best counts that the program has.
    fn settle_counts(
        &self,
        program: Program,
        kind: GoalKind,
        pins: &Pins,
        (plan, known): (&Plan, GoalValue),
        seed: u64,
        time: Duration,
    ) -> (Option<Plan>, u64) {
        let facts = self.facts;
        let ask = Ask {
            model: program.model.clone(),
            known: Some(objective(known)),
            start: Vec::new(),
            step: step(facts, kind),
            gap: 0.0,
            nodes: NODES,
            time,
            glance: false,
        };
        let solved = backend::solve(ask, &self.clock);
        let Some(values) = solved.values else { return (None, solved.nodes) };
        let mut state = search::read(facts, plan, pins.clone());
        search::adjust(&mut state, &totals(&program, &values), kind);
        // As good as the program says, or for `even` as can be.
        let enough = program.model.objective.value(&values);
        let enough = if kind == GoalKind::Lightest { enough * 1e6 + 0.5 } else { enough + 1e-6 };
        let budget = Budget { tries: QUICK_TRIES, target: f64::NEG_INFINITY, seed };
        let enough = if kind == GoalKind::Even { f64::NEG_INFINITY } else { enough };
        search::polish(&mut state, kind, &budget, enough, &self.clock);
        (Some(search::write(&state)), solved.nodes)
    }
}

/// Which counts are freed.
fn freed(
    relaxed: &[(usize, usize, f64)],
    counts: &[Vec<u32>],
    round: u32,
    random: &mut Random,
) -> Vec<bool> {
    let differs = |&(item, party, value): &(usize, usize, f64)| {
        (value - f64::from(counts[party][item])).abs() > 0.1
    };
    let mut order: Vec<usize> = (0..relaxed.len()).collect();
    random.shuffle(&mut order);
    let some = (relaxed.len() / 4).clamp(1, MOST_FREED);
    let mut freed = vec![false; relaxed.len()];
    let mut left = MOST_FREED;
    if round.is_multiple_of(2) {
        for &k in order.iter().filter(|k| differs(&relaxed[**k])).take(left * 3 / 4) {
            freed[k] = true;
            left -= 1;
        }
        left = left.min(some / 2);
    } else {
        left = some;
    }
    // All that parties have of an item, so that it can go from one to another.
    for k in order {
        if left == 0 {
            break;
        }
        let item = relaxed[k].0;
        for (j, other) in relaxed.iter().enumerate() {
            if other.0 == item && !freed[j] {
                freed[j] = true;
                left = left.saturating_sub(1);
            }
        }
    }
    freed
}
