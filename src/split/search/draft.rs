//! A draft: how many of each item each party has, before anybody carries
//! anything. Needs, supplies, requirements and wants look at counts alone, so
//! they are settled here, on running sums, and the units placed afterwards.

use super::State;
use crate::load::GoalKind;
use crate::split::facts::Facts;
use crate::split::pins::Pins;
use std::cmp::Reverse;

/// Units by party and item.
pub(in crate::split) type Counts = Vec<Vec<u32>>;

/// Counts that keep every need as far as the draft finds out how: from
/// `wished` counts, or from none. With a goal of wants the parties are filled
/// up, else only to the wants that are pinned.
pub(in crate::split) fn draft(
    facts: &Facts,
    pins: &Pins,
    kind: GoalKind,
    wished: Option<&Counts>,
) -> Counts {
    let mut draft = Draft::new(facts, pins.clone());
    if let Some(wished) = wished {
        draft.take(wished);
    }
    draft.mend();
    draft.prune();
    let wanted = if kind == GoalKind::Wants { u64::MAX } else { pins.wants.unwrap_or(0) };
    draft.fill(wanted);
    draft.trim(wanted);
    draft.state.loose
}

pub(super) struct Draft<'f, 'o> {
    pub state: State<'f, 'o>,
    /// mg and mL that each party may still take.
    mass: Vec<i128>,
    room: Vec<i128>,
}

impl<'f, 'o> Draft<'f, 'o> {
    fn new(facts: &'f Facts<'o>, pins: Pins) -> Self {
        let state = State::new(facts, pins);
        let here = |p: usize| facts.by_party[p].iter();
        let spare = |c: &usize| {
            i128::from(state.most_mass(*c)) - i128::from(facts.carriers[*c].burden)
        };
        let mass = (0..facts.by_party.len()).map(|p| here(p).map(spare).sum()).collect();
        let room = |c: &usize| facts.carriers[*c].room.map_or(1 << 80, i128::from);
        let room = (0..facts.by_party.len()).map(|p| here(p).map(room).sum()).collect();
        Draft { state, mass, room }
    }

    pub fn add(&mut self, item: usize, party: usize) {
        self.state.tally(item, party, true);
        self.mass[party] -= i128::from(self.state.facts.items[item].mass);
        self.room[party] -= i128::from(self.state.facts.items[item].bulk);
    }

    pub fn remove(&mut self, item: usize, party: usize) {
        self.state.tally(item, party, false);
        self.mass[party] += i128::from(self.state.facts.items[item].mass);
        self.room[party] += i128::from(self.state.facts.items[item].bulk);
    }

    pub fn fits(&self, party: usize) -> bool {
        self.mass[party] >= 0 && self.room[party] >= 0
    }

    fn wants(&self) -> u64 {
        self.state.party_wants.iter().sum()
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

    /// Puts down, the heaviest first, whatever nothing in its party misses.
    fn prune(&mut self) {
        let facts = self.state.facts;
        let mut order: Vec<usize> = (0..facts.items.len()).collect();
        order.sort_by_key(|&i| (Reverse(facts.items[i].mass), i));
        for p in self.parties() {
            for &i in &order {
                let fixed = facts.fixed.iter().filter(|f| f.0 == i);
                let fixed = fixed.filter(|f| facts.carriers[f.2].party == p);
                let least: u32 = fixed.map(|f| f.1).sum();
                while self.state.loose[p][i] > least {
                    let before = (self.lacks(p), self.state.party_wants[p]);
                    self.remove(i, p);
                    if self.lacks(p) > before.0 || self.state.party_wants[p] < before.1 {
                        self.add(i, p);
                        break;
                    }
                }
            }
        }
    }

    /// Takes wants, those worth most for their mass first, until they come to
    /// `wanted` or nothing more fits.
    fn fill(&mut self, wanted: u64) {
        let facts = self.state.facts;
        let mut order: Vec<usize> = (0..facts.order.wants.len()).collect();
        let worth = |w: usize| {
            let want = &facts.order.wants[w];
            f64::from(want.value) / facts.items[want.item.0].mass.max(1) as f64
        };
        order.sort_by(|&a, &b| worth(b).total_cmp(&worth(a)).then(a.cmp(&b)));
        for w in order {
            let want = &facts.order.wants[w];
            let (i, p) = (want.item.0, want.party.0);
            if Some(p) == facts.store() {
                continue;
            }
            while self.wants() < wanted
                && self.state.left(i) > 0
                && self.state.loose[p][i] < facts.most_in(i, p)
                && super::penalty::there(&self.state, i, p) < want.up_to.into()
            {
                if !self.with_requirements(i, p) {
                    break;
                }
            }
        }
    }

    /// Puts down wants while more than `wanted` is taken: the most mass first.
    fn trim(&mut self, wanted: u64) {
        let facts = self.state.facts;
        let mut order: Vec<usize> = (0..facts.order.wants.len()).collect();
        order.sort_by_key(|&w| (Reverse(facts.items[facts.order.wants[w].item.0].mass), w));
        for w in order {
            let want = &facts.order.wants[w];
            let (i, p) = (want.item.0, want.party.0);
            while self.wants() >= wanted.saturating_add(want.value.into())
                && Some(p) != facts.store()
                && self.state.loose[p][i] > 0
            {
                let lacked = self.lacks(p);
                self.remove(i, p);
                if self.lacks(p) > lacked || self.wants() < wanted {
                    self.add(i, p);
                    break;
                }
            }
        }
    }

    /// One more of the item with all that it requires, if that fits.
    fn with_requirements(&mut self, item: usize, party: usize) -> bool {
        let lacked = self.lacks(party);
        let mut added = vec![item];
        self.add(item, party);
        self.requirements(party, &mut added);
        if self.fits(party) && self.lacks(party) <= lacked {
            return true;
        }
        added.into_iter().rev().for_each(|i| self.remove(i, party));
        false
    }
}
