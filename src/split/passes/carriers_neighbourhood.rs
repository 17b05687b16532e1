//! A large neighbourhood over carriers (Shaw 1998): two to four carriers put
//! down all they have, everybody else's load is fixed, and the sub-program of
//! those few is optimised by branch and bound. It keeps every rule and every
//! pin by itself.

use super::Passes;
use super::neighbourhood_rounds::{Base, NeighbourhoodRounds};
use super::values::objective;
use crate::backend::{self, Ask};
use crate::facts::KitIx;
use crate::load::{Bearer, GoalKind, GoalValue, Plan};
use crate::local_search::{self, Random};
use crate::pins::Pins;
use crate::program::{FixedRest, Program, step};

/// Rounds without improvement before the neighbourhood is left.
const IDLE_ROUNDS: u32 = 20;
/// In later turns of a goal up to so many times as many.
const MORE_ROUNDS: u64 = 4;
/// Node limit of one of them.
const NODES: u64 = 150;
/// With fewer units than this more carriers are freed.
const FEW_UNITS: u32 = 16;
/// The most kinds of what is left behind that a neighbourhood may take.
const MOST_LEFT: usize = 60;

impl Passes<'_, '_> {
    /// Improves the incumbent by optimising what a few carriers have.
    pub(super) fn carriers_neighbourhood(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
    ) {
        let mut random = Random::new(self.options.seed ^ 0x0f7e_e000 ^ (self.effort << 32));
        let time = self.clock.left().mul_f64(0.3);
        // Masses and shares are improved well by local search.
        let counted = !matches!(kind, GoalKind::Even | GoalKind::Lightest);
        let idle = IDLE_ROUNDS * if counted { self.effort.min(MORE_ROUNDS) as u32 } else { 1 };
        let of = NeighbourhoodRounds { name: "release", kind, pins, bound, idle, time };
        self.neighbourhood_rounds(
            &of,
            |passes, base, _| passes.freed(kind, &base.plan, &mut random),
            |passes, fixed_rest, base| passes.solve_carriers(fixed_rest, kind, pins, base),
        );
    }

    /// The plan in which the freed carriers have what is best for the goal.
    fn solve_carriers(
        &self,
        fixed_rest: FixedRest,
        kind: GoalKind,
        pins: &Pins,
        base: &Base,
    ) -> (Option<Plan>, u64) {
        let facts = self.facts;
        let freed: Vec<_> = fixed_rest.freed.iter().map(|&c| facts.carriers[c].ix).collect();
        let mut program = Program::around(facts, fixed_rest);
        program.pin(pins);
        program.set_objective(kind);
        let ask = Ask {
            known: Some(objective(base.known)),
            start: program.start(&base.plan),
            model: std::mem::take(&mut program.model),
            step: step(facts, kind),
            gap: 0.0,
            nodes: NODES,
            interior_dive: false,
            time: base.time,
        };
        let solved = backend::solve(ask, &self.clock);
        let Some(values) = solved.values else { return (None, solved.nodes) };
        let stands = |by: &Bearer| match by {
            Bearer::One { carrier, .. } => !freed.contains(carrier),
            Bearer::Pair { first, .. } => !freed.contains(first),
        };
        let mut all: Vec<_> =
            base.plan.placements().iter().copied().filter(|p| stands(&p.by)).collect();
        all.extend(program.plan(&values).placements());
        // What stays is assigned to the store's vehicles again.
        let state = local_search::read(facts, &Plan::new(all), pins.clone());
        (Some(local_search::write(&state)), solved.nodes)
    }

    /// Some carriers of one party, with preference for those that determine the
    /// goal.
    fn freed(&self, kind: GoalKind, plan: &Plan, random: &mut Random) -> Option<FixedRest> {
        let facts = self.facts;
        let state = local_search::read(facts, plan, Pins::default());
        let walks = |c: &KitIx| !facts.carriers[*c].store;
        let mut all: Vec<KitIx> = facts.kit().filter(walks).collect();
        random.shuffle(&mut all);
        let first = *all.iter().max_by(|a, b| {
            state
                .bottleneck_weight(kind, **a)
                .total_cmp(&state.bottleneck_weight(kind, **b))
                .then(b.cmp(a))
        })?;
        // Sometimes a random choice.
        let first = if random.below(3) == 0 { all[0] } else { first };
        let party = facts.carriers[first].party;
        let others = all.into_iter().filter(|c| *c != first && facts.carriers[*c].party == party);
        // Two to four; more of them where each has but a thing or two.
        let size = 2 + random.below(3);
        let (mut freed, mut units) = (Vec::new(), 0);
        for c in [first].into_iter().chain(others) {
            if freed.len() >= size && (units >= FEW_UNITS || freed.len() >= 2 * size) {
                break;
            }
            units += state.units_on(c);
            freed.push(c);
        }
        // Both carriers of a pair are freed together.
        for c in freed.clone() {
            freed.extend(state.partners(c));
        }
        freed.sort_unstable();
        freed.dedup();
        let useful = |i: &usize| facts.most_in(*i, party) > 0 && state.left(*i) > 0;
        let mut left: Vec<usize> = (0..facts.items.len()).filter(useful).collect();
        random.shuffle(&mut left);
        left.truncate(MOST_LEFT);
        Some(FixedRest::new(facts, plan, freed, &left))
    }
}
