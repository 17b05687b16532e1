//! A draft: how many of each item each party has, before anybody carries
//! anything. Needs, supplies, requirements and wants look at counts alone, so
//! they are settled here, on running sums, and the units placed afterwards.

use super::State;
use crate::split::facts::Facts;
use crate::split::options::Clock;
use crate::split::pins::Pins;
use std::cmp::Reverse;

/// Units by party and item.
pub(in crate::split) type Counts = Vec<Vec<u32>>;

/// What a draft comes to.
pub(in crate::split) struct Drafted {
    /// What the needs ask for, as far as the draft finds out how.
    pub core: Counts,
    /// With all that was wished beside, and what that requires.
    pub full: Counts,
}

impl Drafted {
    /// Of a plan that is there already: to be placed anew.
    pub fn of(counts: Counts) -> Self {
        Drafted { full: counts.clone(), core: counts }
    }
}

/// Counts from `wished` ones, or from none.
pub(in crate::split) fn draft(facts: &Facts, wished: Option<&Counts>, clock: &Clock) -> Drafted {
    let mut draft = Draft::new(facts, clock.clone());
    if let Some(wished) = wished {
        draft.take(wished);
    }
    draft.mend();
    let full = draft.state.loose.clone();
    draft.prune();
    // What was put down can be what somebody else lacks.
    draft.mend();
    Drafted { core: draft.state.loose, full }
}

/// The most units that one draft adds and removes, all in all.
const MOST_CHANGES: u64 = 600_000;

pub(super) struct Draft<'f, 'o> {
    pub state: State<'f, 'o>,
    /// What was added (true) and removed, to take it back.
    log: Vec<(usize, usize, bool)>,
    /// What a party is to do without for now: (item, party).
    pub banned: Option<(usize, usize)>,
    /// Changes that may still be made.
    left: u64,
    clock: Clock,
}

impl<'f, 'o> Draft<'f, 'o> {
    fn new(facts: &'f Facts<'o>, clock: Clock) -> Self {
        let state = State::new(facts, Pins::default());
        Draft { state, log: Vec::new(), banned: None, left: MOST_CHANGES, clock }
    }

    /// Whether to leave it at that.
    pub fn done(&self) -> bool {
        self.left == 0 || self.clock.over()
    }

    pub fn add(&mut self, item: usize, party: usize) {
        self.left = self.left.saturating_sub(1);
        self.state.tally(item, party, true);
        self.log.push((item, party, true));
    }

    pub fn remove(&mut self, item: usize, party: usize) {
        self.left = self.left.saturating_sub(1);
        self.state.tally(item, party, false);
        self.log.push((item, party, false));
    }

    /// A point to come back to.
    pub fn mark(&self) -> usize {
        self.log.len()
    }

    pub fn back_to(&mut self, mark: usize) {
        while self.log.len() > mark {
            let Some((item, party, added)) = self.log.pop() else { return };
            self.state.tally(item, party, !added);
        }
    }

    /// What the party and the store lack.
    pub fn lacks(&self, party: usize) -> i64 {
        let store = self.state.facts.store().map_or(0, |s| self.state.party_penalty[s]);
        self.state.party_penalty[party] + store
    }

    pub fn parties(&self) -> impl Iterator<Item = usize> + use<> {
        let store = self.state.facts.store();
        (0..self.state.facts.by_party.len()).filter(move |p| Some(*p) != store)
    }

    fn take(&mut self, wished: &Counts) {
        for p in self.parties() {
            for (i, &n) in wished[p].iter().enumerate() {
                let n = n.min(self.state.facts.most_in(i, p)).min(self.state.left(i));
                (0..n).for_each(|_| self.add(i, p));
            }
        }
    }

    /// Puts down, the heaviest first, whatever no need in its party misses.
    fn prune(&mut self) {
        let facts = self.state.facts;
        let mut order: Vec<usize> = (0..facts.items.len()).collect();
        order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
        for p in self.parties() {
            for &i in &order {
                if self.done() {
                    return;
                }
                let least = self.fixed(i, p);
                while self.state.loose[p][i] > least {
                    let before = self.lacks(p);
                    let mark = self.mark();
                    self.remove(i, p);
                    if self.lacks(p) > before {
                        self.back_to(mark);
                        break;
                    }
                }
            }
        }
    }

    /// Units that rules fix to carriers of the party.
    fn fixed(&self, item: usize, party: usize) -> u32 {
        let facts = self.state.facts;
        let here = facts.fixed.iter().filter(|f| f.0 == item);
        here.filter(|f| facts.carriers[f.2].party == party).map(|f| f.1).sum()
    }
}
