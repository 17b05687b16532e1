//! Changes a plan to other counts: surplus goes from whoever is fullest, what
//! is short comes to whoever has the room; all else stays where it is.

use super::construct::{best, spots};
use super::party_counts::Counts;
use super::place::free_spot;
use super::state::{Spot, State, Step, ends};
use crate::load::GoalKind;
use std::cmp::Reverse;

/// Makes the counts of every party outside the store those of `counts`.
pub(crate) fn adjust_counts(state: &mut State, counts: &Counts, kind: GoalKind) {
    let facts = state.facts;
    let store = facts.store();
    let mut short: Vec<(usize, usize)> = Vec::new();
    state.hold_parties();
    for party in (0..facts.by_party.len()).filter(|p| Some(*p) != store) {
        for (item, &asked) in counts[party].iter().enumerate() {
            let have = state.loose[party][item];
            (have..asked).for_each(|_| short.push((item, party)));
            for _ in asked..have {
                let Some(from) = fullest(state, item, party) else { break };
                state.make(&[Step { item, from: Some(from), to: None }]);
            }
        }
    }
    short.sort_by_key(|&(item, party)| (Reverse(facts.items[item].mass), item, party));
    for (item, party) in short {
        let free = free_spot(state, item, party, kind);
        let to = free.or_else(|| {
            let all = spots(state, item, party);
            best(state, item, &all).map(|(spot, _)| spot)
        });
        if let Some(to) = to {
            state.make(&[Step { item, from: None, to: Some(to) }]);
        }
    }
    state.refresh();
}

/// Where one of the item weighs most on whoever has it.
fn fullest(state: &State, item: usize, party: usize) -> Option<Spot> {
    let mut found: Option<(f64, Spot)> = None;
    for &c in &state.facts.by_party[party] {
        let alone = state.on[c].entries.iter().filter(|e| e.item == item);
        let alone = alone.map(|e| Spot::One(c, e.way));
        let pairs = state.on[c].pairs.iter().filter(|p| p.0 == item && p.1 == c);
        for spot in alone.chain(pairs.map(|&(_, a, b)| Spot::Pair(a, b))) {
            let (a, b) = ends(spot);
            let share = b.map_or(state.share(a), |b| state.share(a).max(state.share(b)));
            if found.as_ref().is_none_or(|(s, _)| share > *s) {
                found = Some((share, spot));
            }
        }
    }
    found.map(|(_, spot)| spot)
}
