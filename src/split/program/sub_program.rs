//! The sub-program of a large neighbourhood: a few carriers are free, what all
//! others bear is fixed.

use crate::facts::{Facts, KitIx};
use crate::load::{Bearer, Plan, Way};
use std::collections::BTreeMap;

/// What the fixed carriers bear.
#[derive(Debug, Clone)]
pub(crate) struct FixedRest {
    /// The freed carriers, as positions in `Facts::carriers`.
    pub freed: Vec<KitIx>,
    /// Items that may move; of all others the freed take none.
    pub(super) active: Vec<bool>,
    /// Units on fixed carriers, `[party][item]`.
    pub(super) counts: Vec<Vec<u32>>,
    /// Whether a party has nobody in the program.
    pub(super) idle: Vec<bool>,
    pub(super) misplaced: u64,
    pub(super) hands: u64,
    /// Units on fixed carriers that they had not by the plan before.
    pub(super) changes: u64,
    /// The peak share of the fixed carriers.
    pub(super) peak: f64,
    /// Per group of `together`: the parties where a fixed carrier has some of
    /// it.
    pub(super) together: Vec<Vec<usize>>,
}

impl FixedRest {
    /// Frees the carriers of `freed`; a pair's thing stays fixed unless both
    /// are freed. `active` are items that may be taken besides what they have.
    pub fn new(facts: &Facts, plan: &Plan, freed: Vec<KitIx>, active: &[usize]) -> Self {
        let (items, parties) = (facts.items.len(), facts.by_party.len());
        let mut mass: Vec<u64> = facts.carriers.iter().map(|f| f.burden).collect();
        let mut place = vec![None; facts.order.carriers().len()];
        facts.carriers.iter().enumerate().for_each(|(c, f)| place[f.ix.0] = Some(KitIx(c)));
        let mut fixed_rest = FixedRest {
            active: vec![false; items],
            counts: vec![vec![0; items]; parties],
            idle: vec![true; parties],
            misplaced: 0,
            hands: 0,
            changes: 0,
            peak: 0.0,
            together: vec![Vec::new(); facts.rules.together.len()],
            freed,
        };
        fixed_rest.freed.iter().for_each(|c| fixed_rest.idle[facts.carriers[*c].party] = false);
        active.iter().for_each(|i| fixed_rest.active[*i] = true);
        for p in plan.placements() {
            let (item, n) = (p.item.0, p.count);
            let (first, second) = match p.by {
                Bearer::One { carrier, .. } => (place[carrier.0], None),
                Bearer::Pair { first, second } => (place[first.0], place[second.0]),
            };
            let Some(first) = first.filter(|c| !facts.carriers[*c].store) else { continue };
            if fixed_rest.freed.contains(&first) {
                fixed_rest.active[item] = true;
                continue;
            }
            let party = facts.carriers[first].party;
            fixed_rest.counts[party][item] += n;
            for (end, c) in [Some(first), second].into_iter().flatten().enumerate() {
                let each = if second.is_some() {
                    facts.items[item].pair[end]
                } else {
                    facts.items[item].mass
                };
                mass[c.0] += each * u64::from(n);
            }
            let away = |c: KitIx| facts.misplaced(item, c);
            if away(first) && second.is_none_or(away) {
                fixed_rest.misplaced += u64::from(n);
            }
            fixed_rest.hands += u64::from(n)
                * match p.by {
                    Bearer::One { way: Way::Hand, .. } => u64::from(facts.items[item].hands),
                    Bearer::One { .. } => 0,
                    Bearer::Pair { .. } => 2,
                };
            for (g, items) in facts.rules.together.iter().enumerate() {
                if items.contains(&item) {
                    fixed_rest.together[g].push(party);
                }
            }
        }
        fixed_rest.changes = gained(facts, plan, &place, &fixed_rest.freed);
        let shares =
            facts.kit().filter(|c| facts.carriers[*c].even && !fixed_rest.freed.contains(c));
        let share = |c: KitIx| mass[c.0] as f64 / facts.carriers[c].limit.max(1) as f64;
        fixed_rest.peak = shares.map(share).fold(0.0, f64::max);
        fixed_rest
    }
}

/// Units that carriers outside the store, the freed aside, have over what they
/// had by the plan before.
fn gained(facts: &Facts, plan: &Plan, place: &[Option<KitIx>], freed: &[KitIx]) -> u64 {
    let Some(before) = &facts.before else { return 0 };
    let mut on: BTreeMap<(KitIx, usize), u32> = BTreeMap::new();
    for p in plan.placements() {
        let (first, second) = match p.by {
            Bearer::One { carrier, .. } => (carrier, None),
            Bearer::Pair { first, second } => (first, Some(second)),
        };
        for c in [Some(first), second].into_iter().flatten().filter_map(|c| place[c.0]) {
            if !facts.carriers[c].store && !freed.contains(&c) {
                *on.entry((c, p.item.0)).or_insert(0) += p.count;
            }
        }
    }
    let more = on.iter().map(|(&(c, item), n)| n.saturating_sub(before.on[c.0][item]));
    more.map(u64::from).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::audit::audit;
    use crate::backend::{Ask, solve};
    use crate::load::{GoalKind, MoveOrder};
    use crate::options::{Clock, Watch};
    use crate::program::{Program, singles, step};
    use std::time::Duration;
    use tumpline_kit::read_move_text;

    /// A relay crew with a choice of masts, wants, duties, a pair's thing and
    /// rules; two parties and a store.
    fn relay() -> MoveOrder {
        let text = "\
move: made up
equipment:
  - {id: set, mass: 9 kg, carry: [pair, back], keeper: operator, requires: {lead: 1}}
  - {id: lead, mass: 1 kg, held: 3, carry: [back, belt]}
  - {id: mast, mass: 7 kg, carry: [shoulder, hand]}
  - {id: whip, mass: 2 kg, held: 2, carry: [hand, back], keeper: operator}
  - {id: lamp, mass: 2 kg, held: 4, carry: [hand, chest]}
  - {id: tarp, mass: 3 kg, held: 2, carry: [back]}
carriers:
  people:
    - {id: ann, limit: 14 kg, worn: 2 kg, duties: [operator]}
    - {id: bo, limit: 12 kg, worn: 2 kg}
    - {id: cy, limit: 13 kg, worn: 1 kg}
    - {id: di, limit: 11 kg, worn: 1 kg, duties: [operator]}
  vehicles:
    - {id: van, payload: 900 kg}
    - {id: car, payload: 400 kg}
parties:
  ridge: {travel: foot, who: [ann, bo, cy]}
  post: {travel: foot, who: [di]}
  road: {travel: vehicle, who: [van, car]}
stays-with: road
needs:
  ridge:
    - {need: relay, all: [set, {any: [mast, whip]}]}
  post:
    - {need: light, all: [{lamp: 1}, whip]}
wants:
  ridge: {lamp: {value: 3, up-to: 3}, tarp: 4}
  post: {tarp: 2}
rules:
  - {together: [lead, tarp]}
  - {apart: [mast, lamp]}
";
        read_move_text("made-up.move.yaml", text).unwrap_or_else(|d| panic!("{d:?}")).order
    }

    fn best(facts: &Facts, mut program: Program, kind: GoalKind) -> (f64, Plan) {
        program.set_objective(kind);
        let model = program.model.clone();
        let ask = Ask {
            known: None,
            start: Vec::new(),
            step: step(facts, kind),
            gap: 0.0,
            nodes: 20_000,
            time: Duration::from_secs(60),
            interior_dive: false,
            model,
        };
        let solved = solve(ask, &Clock::new(Duration::from_secs(60), &Watch::default()));
        let values = solved.values.expect("a point");
        assert!(solved.best, "{kind:?}");
        (program.model.objective.value(&values), program.plan(&values))
    }

    /// Around the optimal plan nothing better is found, and nothing worse: what
    /// is fixed is counted in every goal.
    #[test]
    fn around_the_best_plan_the_best_is_found_again() {
        let order = relay();
        let facts = Facts::new(&order);
        let all: Vec<usize> = (0..facts.items.len()).collect();
        for kind in GoalKind::ALL {
            let (value, plan) = best(&facts, Program::new(&facts, singles(&facts)), kind);
            assert!(audit(&order, &plan).faults.is_empty(), "{kind:?}");
            for freed in [vec![0, 1, 2, 3], vec![0, 1], vec![1, 2, 3], vec![3], vec![0, 1, 2]] {
                let freed: Vec<KitIx> = freed.into_iter().map(KitIx).collect();
                let pairs = plan.placements().iter().any(|p| match p.by {
                    Bearer::Pair { first, second } => {
                        let at =
                            |ix| facts.carriers.iter().position(|f| f.ix == ix).map(KitIx).unwrap();
                        freed.contains(&at(first)) != freed.contains(&at(second))
                    }
                    Bearer::One { .. } => false,
                });
                if pairs {
                    continue;
                }
                let fixed_rest = FixedRest::new(&facts, &plan, freed.clone(), &all);
                let (again, _) = best(&facts, Program::around(&facts, fixed_rest), kind);
                assert!((again - value).abs() < 1e-6, "{kind:?} {freed:?}: {again} {value}");
            }
        }
    }

    /// What can only stay is wanted where it stays, up to a number.
    #[test]
    fn what_nobody_can_take_counts_no_more_than_is_wanted() {
        let text = "\
move: made up
equipment: [{id: drum, mass: 2 kg, held: 5, carry: [back]}]
carriers:
  people: [{id: ann, limit: 9 kg}]
  vehicles: [{id: van, payload: 90 kg}]
parties:
  ridge: {travel: foot, who: [ann]}
  road: {travel: vehicle, who: [van]}
stays-with: road
wants:
  road: {drum: {value: 7, up-to: 2}}
rules: [{keep-off: drum, from: ann}]
";
        let order = read_move_text("made-up.move.yaml", text).unwrap().order;
        let facts = Facts::new(&order);
        let (value, _) = best(&facts, Program::new(&facts, singles(&facts)), GoalKind::Wants);
        assert_eq!(value, -14.0);
    }
}
