//! A large neighbourhood over counts: a relaxation in which most counts are
//! fixed at the incumbent's, and the others optimised. Every second round frees
//! those in which the linear relaxation and the incumbent differ
//! (relaxation-induced neighbourhood search: Danna, Rothberg and Le Pape 2005),
//! the rounds between frees some at random. It finds what no exchange of a few
//! things leads to: another mast, other batteries, other wants in another
//! party.

use super::Passes;
use super::counts::totals;
use super::local_search::QUICK_TRIES;
use super::neighbourhood_rounds::{Base, NeighbourhoodRounds};
use super::values::objective;
use crate::backend::{self, Ask};
use crate::load::{GoalKind, GoalValue, Plan};
use crate::local_search::{self, Budget, Random};
use crate::pins::Pins;
use crate::program::{Program, step};
use std::time::Duration;

/// Rounds without improvement before the neighbourhood is left.
const IDLE_ROUNDS: u32 = 6;
/// Node limit of one of them.
const NODES: u64 = 120;
/// The most counts that one neighbourhood frees.
const MOST_FREED: usize = 160;
/// The same in a large move, where more counts depend on each other.
const MOST_FREED_OF_MANY: usize = 600;
/// Tries for a plan of such counts.
const LARGE_TRIES: u64 = 20_000;
/// With more counts than this a round takes long and seldom gains: one without
/// improvement ends it.
const VERY_MANY: usize = 10_000;

impl Passes<'_, '_> {
    /// Improves the incumbent by optimising some of its counts.
    pub(super) fn counts_neighbourhood(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        relaxed: &[(usize, usize, f64)],
        time: Duration,
    ) {
        if relaxed.is_empty() {
            return;
        }
        let mut program = self.relaxed_program("coarse program", &self.coarse);
        program.pin(pins);
        program.set_objective(kind);
        let mut random = Random::new(self.options.seed ^ 0x2ec0_0000 ^ (self.effort << 32));
        let idle = if relaxed.len() > VERY_MANY { 1 } else { IDLE_ROUNDS };
        let of = NeighbourhoodRounds { name: "recount", kind, pins, bound, idle, time };
        self.neighbourhood_rounds(
            &of,
            |passes, base, round| {
                let counts = passes.counts_of_plan(&base.plan);
                let mut program = program.clone();
                let most = if passes.large { MOST_FREED_OF_MANY } else { MOST_FREED };
                let freed = freed(relaxed, &counts, round, most, &mut random);
                for (&(item, party, _), freed) in relaxed.iter().zip(freed) {
                    if !freed {
                        program.fix_count(item, party, counts[party][item]);
                    }
                }
                Some((program, random.next()))
            },
            |passes, (program, seed), base| passes.settle_counts(program, kind, pins, seed, base),
        );
    }

    /// The plan with the best counts that the program has, made by local
    /// search.
    fn settle_counts(
        &self,
        program: Program,
        kind: GoalKind,
        pins: &Pins,
        seed: u64,
        base: &Base,
    ) -> (Option<Plan>, u64) {
        let facts = self.facts;
        let ask = Ask {
            model: program.model.clone(),
            known: Some(objective(base.known)),
            start: Vec::new(),
            step: step(facts, kind),
            gap: 0.0,
            nodes: NODES,
            time: base.time,
            interior_dive: false,
        };
        let solved = backend::solve(ask, &self.clock);
        let Some(values) = solved.values else { return (None, solved.nodes) };
        let mut state = local_search::read(facts, &base.plan, pins.clone());
        local_search::adjust_counts(&mut state, &totals(&program, &values), kind);
        // As good as the program's value, or for `even` as good as can be.
        let worth = program.model.objective.value(&values);
        let enough = match kind {
            GoalKind::Even if self.large => worth * (1.0 + self.asked_gap() / 8.0),
            GoalKind::Even => f64::NEG_INFINITY,
            GoalKind::Lightest => worth * 1e6 + 0.5,
            _ => worth + 1e-6,
        };
        let target = if self.large { enough } else { f64::NEG_INFINITY };
        let tries = if self.large { LARGE_TRIES } else { QUICK_TRIES };
        let budget = Budget { tries, target, seed };
        local_search::polish(&mut state, kind, &budget, enough, &self.clock);
        (Some(local_search::write(&state)), solved.nodes)
    }
}

/// Which counts are freed.
fn freed(
    relaxed: &[(usize, usize, f64)],
    counts: &[Vec<u32>],
    round: u32,
    most: usize,
    random: &mut Random,
) -> Vec<bool> {
    let differs = |&(item, party, value): &(usize, usize, f64)| {
        (value - f64::from(counts[party][item])).abs() > 0.1
    };
    let mut order: Vec<usize> = (0..relaxed.len()).collect();
    random.shuffle(&mut order);
    let some = (relaxed.len() / 4).clamp(1, most);
    let mut freed = vec![false; relaxed.len()];
    let mut left = most;
    if round.is_multiple_of(2) {
        for &k in order.iter().filter(|k| differs(&relaxed[**k])).take(left * 3 / 4) {
            freed[k] = true;
            left -= 1;
        }
        left = left.min(some / 2);
    } else {
        left = some;
    }
    // All parties' counts of an item, so that it can go from one to another.
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
