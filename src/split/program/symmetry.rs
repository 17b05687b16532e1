//! Symmetry breaking over interchangeable people: of all the plans that only
//! swap their names, the program keeps one representative at least.
//!
//! Order such people by the first thing, in a fixed order of things, that they
//! carry. Then the first thing can only be with the first of them, the second
//! with the first two, and so on: the k-th person has nothing that comes
//! before the k-th unit.

use super::teams::Team;
use crate::facts::{Facts, KitIx};
use crate::load::Way;
use std::cmp::Reverse;

/// Per single carrier, as its place among those like it: which items it need
/// never carry, `[team][item]`.
pub(super) fn spared(facts: &Facts, teams: &[Team]) -> Vec<Vec<bool>> {
    let mut spared = vec![vec![false; facts.items.len()]; teams.len()];
    let mut order: Vec<usize> = (0..facts.items.len()).collect();
    order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
    for t in 0..teams.len() {
        if teams[t].size() != 1 || teams[t].store {
            continue;
        }
        let before = (0..t)
            .filter(|&u| teams[u].size() == 1)
            .filter(|&u| alike(facts, teams[u].members[0], teams[t].members[0]))
            .count() as u64;
        let mut units = 0u64;
        for &i in &order {
            // A pair's thing can be the first of both its bearers.
            let pair = facts.by_party[teams[t].party].iter().any(|&c| facts.may(i, c, Way::Pair));
            units += u64::from(facts.items[i].held) * if pair { 2 } else { 1 };
            if before < units {
                break;
            }
            spared[t][i] = true;
        }
    }
    spared
}

fn alike(facts: &Facts, a: KitIx, b: KitIx) -> bool {
    let (f, g) = (&facts.carriers[a], &facts.carriers[b]);
    f.party == g.party
        && f.person == g.person
        && (f.burden, f.usable, f.limit, f.room) == (g.burden, g.usable, g.limit, g.room)
        && (f.slots, f.hands, f.even) == (g.slots, g.hands, g.even)
        && facts.before.as_ref().is_none_or(|before| before.on[a.0] == before.on[b.0])
        && facts.rules.are_alike(a, b)
        && (0..facts.items.len()).all(|i| {
            facts.misplaced(i, a) == facts.misplaced(i, b)
                && Way::ALL.into_iter().all(|w| facts.may(i, a, w) == facts.may(i, b, w))
        })
}
