//! A program for a few carriers only: what all others bear stands as it is.

use crate::load::{Bearer, Plan, Way};
use crate::split::facts::Facts;

/// What the carriers that are left out of a program bear.
#[derive(Debug, Clone)]
pub(in crate::split) struct Standing {
    /// Kit carriers that the program is for.
    pub freed: Vec<usize>,
    /// Items that may move; of all others the freed take none.
    pub(super) active: Vec<bool>,
    /// Units that stand, `[party][item]`.
    pub(super) counts: Vec<Vec<u32>>,
    /// Whether a party has nobody in the program.
    pub(super) idle: Vec<bool>,
    pub(super) misplaced: u64,
    pub(super) hands: u64,
    /// The largest share of those that stand.
    pub(super) peak: f64,
    /// Per group of `together`: the parties where some of it stands.
    pub(super) together: Vec<Vec<usize>>,
}

impl Standing {
    /// Frees the carriers of `freed`; a pair's thing stands unless both are
    /// freed. `active` are items that may be taken besides what they have.
    pub fn new(facts: &Facts, plan: &Plan, freed: Vec<usize>, active: &[usize]) -> Self {
        let (items, parties) = (facts.items.len(), facts.by_party.len());
        let mut mass: Vec<u64> = facts.carriers.iter().map(|f| f.burden).collect();
        let mut place = vec![usize::MAX; facts.order.carriers.len()];
        facts.carriers.iter().enumerate().for_each(|(c, f)| place[f.ix.0] = c);
        let mut standing = Standing {
            active: vec![false; items],
            counts: vec![vec![0; items]; parties],
            idle: vec![true; parties],
            misplaced: 0,
            hands: 0,
            peak: 0.0,
            together: vec![Vec::new(); facts.together.len()],
            freed,
        };
        standing.freed.iter().for_each(|c| standing.idle[facts.carriers[*c].party] = false);
        active.iter().for_each(|i| standing.active[*i] = true);
        for p in plan.placements() {
            let (item, n) = (p.item.0, p.count);
            let (first, second) = match p.by {
                Bearer::One { carrier, .. } => (place[carrier.0], None),
                Bearer::Pair { first, second } => (place[first.0], Some(place[second.0])),
            };
            if first == usize::MAX || facts.carriers[first].store {
                continue;
            }
            if standing.freed.contains(&first) {
                standing.active[item] = true;
                continue;
            }
            let party = facts.carriers[first].party;
            standing.counts[party][item] += n;
            for (end, c) in [Some(first), second].into_iter().flatten().enumerate() {
                let each = if second.is_some() {
                    facts.items[item].pair[end]
                } else {
                    facts.items[item].mass
                };
                mass[c] += each * u64::from(n);
            }
            let away = |c: usize| facts.misplaced(item, c);
            if away(first) && second.is_none_or(away) {
                standing.misplaced += u64::from(n);
            }
            standing.hands += u64::from(n)
                * match p.by {
                    Bearer::One { way: Way::Hand, .. } => u64::from(facts.items[item].hands),
                    Bearer::One { .. } => 0,
                    Bearer::Pair { .. } => 2,
                };
            for (g, items) in facts.together.iter().enumerate() {
                if items.contains(&item) {
                    standing.together[g].push(party);
                }
            }
        }
        let shares =
            (0..mass.len()).filter(|c| facts.carriers[*c].even && !standing.freed.contains(c));
        let share = |c: usize| mass[c] as f64 / facts.carriers[c].limit.max(1) as f64;
        standing.peak = shares.map(share).fold(0.0, f64::max);
        standing
    }
}
