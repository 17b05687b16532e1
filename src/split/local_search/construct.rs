//! Greedy construction from target counts: the heaviest first, each to whom it
//! burdens least.

use super::state::{Spot, State, Step, ends};
use crate::facts::KitIx;
use crate::load::Way;
use crate::options::Clock;

/// A target: so many of an item for some of the carriers, by a way; `second` is
/// the other end of a pair.
#[derive(Debug, Clone)]
pub(crate) struct Target {
    pub item: usize,
    pub count: u32,
    pub way: Way,
    pub carriers: Vec<KitIx>,
    pub second: Vec<KitIx>,
}

/// Places every unit of the targets; what fits nowhere without breaking a limit
/// still goes where it breaks the least, for the local search to repair.
pub(crate) fn build(state: &mut State, targets: &[Target], clock: &Clock) {
    let facts = state.facts;
    let mut order: Vec<&Target> = targets.iter().filter(|w| w.count > 0).collect();
    // Pairs first: they bind two people. Then by mass.
    order
        .sort_by_key(|w| (w.way != Way::Pair, std::cmp::Reverse(facts.items[w.item].mass), w.item));
    // Needs and wants depend on counts only, which are given: they are
    // evaluated once at the end.
    state.hold_parties();
    for target in order {
        for _ in 0..target.count {
            if clock.over() {
                state.refresh();
                return;
            }
            let spot = quick(state, target).or_else(|| careful(state, target));
            if let Some(spot) = spot {
                state.make(&[Step { item: target.item, from: None, to: Some(spot) }]);
            }
        }
    }
    state.refresh();
}

/// For a thing that no rule looks at: the least burdened of those who have
/// the room, the slots and the hands for it.
fn quick(state: &State, target: &Target) -> Option<Spot> {
    let facts = state.facts;
    let grouped = facts.rules.together.iter().any(|g| g.binary_search(&target.item).is_ok());
    if facts.ruled[target.item] || grouped {
        return None;
    }
    let may = |c: &&KitIx| facts.may(target.item, **c, target.way);
    if target.way == Way::Pair {
        let pair = facts.items[target.item].pair;
        let free = |c: &&KitIx, mass: u64| {
            let f = &facts.carriers[**c];
            state.on[**c].hands < f.hands
                && state.on[**c].pairs.is_empty()
                && state.most_mass(**c) >= f.burden + state.on[**c].mass + mass
        };
        let light = |c: &&KitIx| state.share(**c);
        let least = |a: &&KitIx, b: &&KitIx| light(a).total_cmp(&light(b));
        let first =
            target.carriers.iter().filter(may).filter(|c| free(c, pair[0])).min_by(least)?;
        let others = target.second.iter().filter(|c| *c != first).filter(may);
        let second = others.filter(|c| free(c, pair[1])).min_by(least)?;
        return Some(Spot::Pair(*first, *second));
    }
    let fits = |c: &&KitIx| state.fits(target.item, **c, target.way);
    let least = |a: &&KitIx, b: &&KitIx| state.share(**a).total_cmp(&state.share(**b));
    let best = target.carriers.iter().filter(may).filter(fits).min_by(least)?;
    Some(Spot::One(*best, target.way))
}

/// As the target says if that breaks nothing, else wherever it breaks the
/// least.
fn careful(state: &mut State, target: &Target) -> Option<Spot> {
    let asked = target_spots(state, target);
    let as_given = best(state, target.item, &asked).filter(|(_, worse)| !worse);
    let anywhere = |state: &mut State| {
        let party = state.facts.carriers[*target.carriers.first()?].party;
        let all = spots(state, target.item, party);
        best(state, target.item, &all)
    };
    as_given.or_else(|| anywhere(state)).map(|(spot, _)| spot)
}

/// The target's spots that the rules allow: a target is for a whole team.
fn target_spots(state: &State, target: &Target) -> Vec<Spot> {
    let Some(&any) = target.carriers.first() else { return Vec::new() };
    let all = spots(state, target.item, state.facts.carriers[any].party);
    let given = |s: &Spot| match *s {
        Spot::One(c, way) => way == target.way && target.carriers.contains(&c),
        Spot::Pair(..) => target.way == Way::Pair,
    };
    all.into_iter().filter(given).collect()
}

/// People from which on pairs are not tried all with all.
const LARGE: usize = 24;
const NEIGHBOURS: usize = 3;

/// Every spot that the item may take in the party; of pairs in a large party,
/// some.
pub(super) fn spots(state: &State, item: usize, party: usize) -> Vec<Spot> {
    let facts = state.facts;
    let here = &facts.by_party[party];
    let mut all = Vec::new();
    for &c in here {
        for way in Way::ALL.into_iter().filter(|w| *w != Way::Pair) {
            if facts.may(item, c, way) {
                all.push(Spot::One(c, way));
            }
        }
    }
    let ends: Vec<KitIx> =
        here.iter().copied().filter(|&c| facts.may(item, c, Way::Pair)).collect();
    let n = ends.len();
    for k in 0..n {
        // In a large party everybody pairs with a few neighbours only.
        let near = if n <= LARGE { k + 1..n } else { k + 1..k + 1 + NEIGHBOURS };
        for (a, b) in near.map(|j| (ends[k], ends[j % n])) {
            all.push(Spot::Pair(a, b));
            if !facts.items[item].pair_even {
                all.push(Spot::Pair(b, a));
            }
        }
    }
    all
}

/// The spot that breaks the least, then burdens the least; and whether it
/// breaks anything that was whole.
pub(super) fn best(state: &mut State, item: usize, spots: &[Spot]) -> Option<(Spot, bool)> {
    let share = |state: &State, spot: Spot| {
        let of = |c: KitIx| {
            let f = &state.facts.carriers[c];
            (f.burden + state.on[c].mass) as f64 / f.usable.max(1) as f64
        };
        let (a, b) = ends(spot);
        of(a).max(b.map_or(0.0, of))
    };
    let carriers =
        |state: &State| state.carrier_penalty + state.together_penalty.iter().sum::<i64>();
    let before = carriers(state);
    let mut found: Option<(i64, f64, Spot, bool)> = None;
    for &spot in spots {
        let step = [Step { item, from: None, to: Some(spot) }];
        state.make(&step);
        let worse = carriers(state) > before;
        let (penalty, share) = (state.penalty(), share(state, spot));
        state.undo(&step);
        let better = match &found {
            None => true,
            Some((p, s, ..)) => (penalty, share) < (*p, *s),
        };
        if better {
            found = Some((penalty, share, spot, worse));
        }
    }
    found.map(|(_, _, spot, worse)| (spot, worse))
}
