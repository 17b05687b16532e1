//! The counts-only relaxation: how many of each item each party has, without
//! any ways.
//!
//! Weaker than the coarse program and far smaller: for moves whose coarse
//! program is too large to solve. A party's people and its vehicles share their
//! limits of mass; what slots, hands and pairs take off the packs is allowed
//! for as if each took the bulkiest thing that may go there. Rules on who
//! carries what are dropped, but for what is fixed.

use super::build::{HAIR, Program, kg};
use super::model::Affine;
use super::teams::{TeamIx, coarse};
use crate::facts::{Facts, KitIx};
use crate::load::Way;

impl<'f, 'o> Program<'f, 'o> {
    /// All columns, limits and needs; no objective yet.
    pub fn counts_only(facts: &'f Facts<'o>) -> Self {
        let mut program = Program { counts_only: true, ..Self::blank(facts, coarse(facts)) };
        program.counts_only_totals();
        program.hauled();
        program.held();
        program.counts_only_limits();
        program.need_rows();
        program.bring_rows();
        program.require_rows();
        program
    }

    fn counts_only_totals(&mut self) {
        let facts = self.facts;
        for i in (0..facts.items.len()).filter(|&i| facts.items[i].held > 0) {
            for party in (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store()) {
                let asked = u64::from(facts.most_in(i, party));
                if asked == 0 {
                    continue;
                }
                let most = asked.min(self.most_by_party(i, party));
                let least = facts.fixed_in(i, party);
                let total = self.model.whole(most.max(least));
                self.model.columns[total].low = least as f64;
                self.by_item[i].2.push(self.totals.len());
                self.totals.push((i, party, total));
            }
        }
    }

    /// The most units that the party's people and vehicles could take.
    fn most_by_party(&self, i: usize, party: usize) -> u64 {
        let teams = self.all_teams().filter(|&t| self.teams[t].party == party);
        let of = |t: TeamIx| {
            let alone = Way::ALL.into_iter().filter(|w| *w != Way::Pair);
            let alone = alone.filter(|w| self.teams[t].may(self.facts, i, *w));
            let alone = alone.map(|w| self.most_by_way(i, t, w)).fold(0, u64::saturating_add);
            let pairs = self.teams[t].may(self.facts, i, Way::Pair) && self.hands(t) > 0;
            alone.saturating_add(if pairs { u64::from(self.teams[t].size() / 2) } else { 0 })
        };
        teams.map(of).fold(0, u64::saturating_add)
    }

    /// Where people and vehicles go together: kg on the vehicles.
    fn hauled(&mut self) {
        for t in self.all_teams() {
            let team = &self.teams[t];
            let mixed = self.teams.iter().any(|u| u.party == team.party && u.people(self.facts));
            if !team.store && !team.people(self.facts) && mixed {
                self.hauled[t.0] = Some(self.model.real(0.0, self.spare(t)));
            }
        }
    }

    /// kg of kit that the team may bear, slightly widened.
    fn spare(&self, t: TeamIx) -> f64 {
        let members = self.teams[t].members.iter().map(|&c| &self.facts.carriers[c]);
        members.map(|f| f.usable.saturating_sub(f.burden) as f64).sum::<f64>() / 1e6 + HAIR
    }

    /// kg of kit on the team.
    pub(super) fn counts_only_mass(&self, t: TeamIx) -> Affine {
        let mut sum = Affine::default();
        if let Some(hauled) = self.hauled[t.0] {
            sum.add(hauled, 1.0);
            return sum;
        }
        let party = self.teams[t].party;
        for &(i, _, col) in self.totals.iter().filter(|(_, p, _)| *p == party) {
            sum.add(col, kg(self.facts.items[i].mass));
        }
        for u in self.all_teams().filter(|&u| self.teams[u].party == party) {
            if let Some(hauled) = self.hauled[u.0] {
                sum.add(hauled, -1.0);
            }
        }
        sum
    }

    fn counts_only_limits(&mut self) {
        for t in self.all_teams() {
            let over = |c: &KitIx| self.facts.carriers[*c].usable < self.facts.carriers[*c].burden;
            let over = self.teams[t].members.iter().any(over);
            let cap = if over { -1.0 } else { self.spare(t) };
            let mass = self.kit_mass(t);
            self.model.at_most(&mass, cap);
            if self.rest == Some(t) {
                let beds = self.teams[t].members.iter().map(|&c| self.facts.carriers[c].room);
                self.room(t, beds.sum());
            }
        }
        for party in (0..self.facts.by_party.len()).filter(|p| Some(*p) != self.facts.store()) {
            self.counts_only_room(party);
        }
    }

    /// Litres in packs and on beds, and what could go past them.
    fn counts_only_room(&mut self, party: usize) {
        let facts = self.facts;
        let here = &facts.by_party[party];
        let rooms: Option<u64> = here.iter().map(|&c| facts.carriers[c].room).sum();
        let Some(rooms) = rooms else { return };
        let mine: Vec<_> = self.totals.iter().filter(|(_, p, _)| *p == party).copied().collect();
        let mut past = 0f64;
        for &c in here.iter().filter(|&&c| facts.carriers[c].person) {
            let f = &facts.carriers[c];
            let bulkiest = |way: Way, each: &dyn Fn(usize) -> u64| {
                let may = mine.iter().filter(|(i, ..)| facts.may(*i, c, way));
                may.map(|(i, ..)| each(*i)).max().unwrap_or(0) as f64
            };
            for way in [Way::Chest, Way::Shoulder, Way::Belt] {
                let most = bulkiest(way, &|i| facts.items[i].bulk);
                if most > 0.0 {
                    past += most * f64::from(f.slots[way as usize]);
                }
            }
            let by_hand = bulkiest(Way::Hand, &|i| {
                facts.items[i].bulk.div_ceil(u64::from(facts.items[i].hands.max(1)))
            });
            let by_pair = bulkiest(Way::Pair, &|i| facts.items[i].bulk.div_ceil(2));
            past += by_hand.max(by_pair) * f64::from(f.hands);
        }
        let mut sum = Affine::default();
        for (i, _, col) in mine {
            sum.add(col, facts.items[i].bulk as f64 / 1e3);
        }
        self.model.at_most(&sum, (rooms as f64 + past) / 1e3 + 0.5e-3);
    }
}
