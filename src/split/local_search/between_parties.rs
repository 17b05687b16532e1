//! Neighbourhoods between parties.

use super::construct::spots;
use super::iterated_search::IteratedSearch;
use super::state::{Spot, State, Step};
use crate::facts::KitIx;
use crate::load::{GoalKind, Way};

/// The most exchanges tried with other parties from one unit in one sweep.
const ACROSS: u64 = 200;
/// The most spots tried in another party.
const HANDED: usize = 8;

impl IteratedSearch<'_, '_, '_> {
    /// To another party, one that lacks something.
    pub(super) fn hand_over(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        let facts = self.walk.state.facts;
        if self.walk.score.penalty == 0 {
            return false;
        }
        let lacks = |s: &State, p: usize| {
            p != party && s.party_penalty[p] > 0 && s.loose[p][item] < facts.useful[p][item]
        };
        let others: Vec<usize> = (0..facts.by_party.len())
            .filter(|p| Some(*p) != facts.store() && lacks(self.walk.state, *p))
            .collect();
        for other in others {
            let mut places = spots(self.walk.state, item, other);
            places
                .retain(|s| matches!(*s, Spot::One(c, way) if self.walk.state.fits(item, c, way)));
            self.walk.random.shuffle(&mut places);
            for to in places.into_iter().take(HANDED) {
                if self.done() {
                    return false;
                }
                if self.attempt(&[Step { item, from: Some(spot), to: Some(to) }]) {
                    return true;
                }
            }
        }
        false
    }

    /// To another party, alone or for a thing of theirs: for `even`, where one
    /// party's people bear more than another's.
    pub(super) fn across(&mut self, item: usize, spot: Spot, party: usize) -> bool {
        let Spot::One(c, _) = spot else { return false };
        if self.walk.kind != GoalKind::Even
            || self.walk.score.penalty > 0
            || !self.hurts(item, spot)
        {
            return false;
        }
        let facts = self.walk.state.facts;
        let foot = |d: &KitIx| facts.carriers[*d].party != party && !facts.carriers[*d].store;
        let mut others: Vec<KitIx> = facts.kit().filter(foot).collect();
        self.walk.random.shuffle(&mut others);
        let mut tries = ACROSS;
        for d in others {
            let Some(to) = self.walk.state.way_to(item, d, None).map(|w| Spot::One(d, w)) else {
                continue;
            };
            let give = Step { item, from: Some(spot), to: Some(to) };
            if self.attempt(&[give]) {
                return true;
            }
            let mut theirs: Vec<(usize, Way)> =
                self.walk.state.on[d].entries.iter().map(|e| (e.item, e.way)).collect();
            self.walk.random.shuffle(&mut theirs);
            for (other, other_way) in theirs {
                if self.done() || tries == 0 {
                    return false;
                }
                // Only a lighter thing is worth having for it.
                let Some(back) = self.walk.state.way_to(other, c, None) else { continue };
                if facts.items[other].mass >= facts.items[item].mass {
                    continue;
                }
                tries -= 1;
                let from = Some(Spot::One(d, other_way));
                let take = Step { item: other, from, to: Some(Spot::One(c, back)) };
                if self.attempt(&[give, take]) {
                    return true;
                }
            }
        }
        false
    }
}
