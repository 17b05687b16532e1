//! A first plan from wished counts: the heaviest first, each to whom it
//! burdens least.

use super::state::{Spot, State, Step, ends};
use crate::load::Way;
use crate::split::facts::Facts;

/// So many of an item for some of the carriers, by a way; `second` is the
/// other end of a pair.
#[derive(Debug, Clone)]
pub(in crate::split) struct Wish {
    pub item: usize,
    pub count: u32,
    pub way: Way,
    pub carriers: Vec<usize>,
    pub second: Vec<usize>,
}

/// Places every wished unit; what fits nowhere without breaking a limit still
/// goes where it breaks the least, for the search to mend.
pub(in crate::split) fn build(state: &mut State, wishes: &[Wish]) {
    let facts = state.facts;
    let mut order: Vec<&Wish> = wishes.iter().filter(|w| w.count > 0).collect();
    // Pairs first: they bind two people. Then by mass.
    order
        .sort_by_key(|w| (w.way != Way::Pair, std::cmp::Reverse(facts.items[w.item].mass), w.item));
    for wish in order {
        for _ in 0..wish.count {
            let asked = wished_spots(facts, wish);
            let spot = best(state, wish.item, &asked).filter(|(_, worse)| !worse).or_else(|| {
                let party = facts.carriers[*wish.carriers.first()?].party;
                best(state, wish.item, &spots(state, wish.item, party))
            });
            if let Some((spot, _)) = spot {
                state.make(&[Step { item: wish.item, from: None, to: Some(spot) }]);
            }
        }
    }
}

/// The wished spots that the rules allow: a wish is for a whole team.
fn wished_spots(facts: &Facts, wish: &Wish) -> Vec<Spot> {
    let may = |c: &usize| facts.may(wish.item, *c, wish.way);
    let first = || wish.carriers.iter().copied().filter(may);
    if wish.way != Way::Pair {
        return first().map(|c| Spot::One(c, wish.way)).collect();
    }
    let second = || wish.second.iter().copied().filter(may);
    let ends = first().flat_map(|a| second().map(move |b| (a, b)));
    ends.filter(|(a, b)| a != b).map(|(a, b)| Spot::Pair(a, b)).collect()
}

/// Every spot that the item may take in the party.
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
    let ends: Vec<usize> =
        here.iter().copied().filter(|&c| facts.may(item, c, Way::Pair)).collect();
    for (k, &a) in ends.iter().enumerate() {
        for &b in &ends[k + 1..] {
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
fn best(state: &mut State, item: usize, spots: &[Spot]) -> Option<(Spot, bool)> {
    let share = |state: &State, spot: Spot| {
        let of = |c: usize| {
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
