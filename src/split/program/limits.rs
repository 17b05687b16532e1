//! Limits of mass, room, slots and hands as rows.

use super::build::{HAIR, MG, ML, Program, kg};
use super::model::Affine;
use super::teams::TeamIx;
use crate::load::Way;

impl Program<'_, '_> {
    /// kg of kit on the team.
    pub(super) fn kit_mass(&self, t: TeamIx) -> Affine {
        let mass = |i: usize| kg(self.facts.items[i].mass);
        let mut sum = Affine::default();
        if self.rest == Some(t) {
            for i in 0..self.facts.items.len() {
                sum.add_scaled(&self.loose(i, self.teams[t].party), mass(i));
            }
            return sum;
        }
        if self.counts_only {
            return self.counts_only_mass(t);
        }
        let party = self.teams[t].party;
        let only = self.teams.iter().filter(|u| u.party == party).count() == 1;
        if self.loose_ways && only {
            // Cuts work on integer columns. A pair's two shares make the whole,
            // rounding aside.
            for &(i, _, col) in self.totals.iter().filter(|(_, p, _)| *p == party) {
                sum.add(col, mass(i));
            }
            return sum;
        }
        for a in self.alone_of_team(t) {
            sum.add(a.col, mass(a.item));
        }
        for b in self.between_of_team(t) {
            let ends = self.facts.items[b.item].pair;
            for (end, team) in [b.first, b.second].into_iter().enumerate() {
                if team == t {
                    sum.add(b.col, kg(ends[end]));
                }
            }
        }
        sum
    }

    pub(super) fn limits(&mut self) {
        for t in self.all_teams() {
            let team = self.teams[t].clone();
            let facts = self.facts;
            let each = || team.members.iter().map(|&c| &facts.carriers[c]);
            // A carrier over its limit before any kit rules every plan out,
            // also where its lump could hide it.
            let spare = each().map(|f| f.usable as f64 - f.burden as f64);
            let over = spare.clone().any(|s| s < 0.0);
            let cap = if over { -1.0 } else { spare.sum::<f64>() / 1e6 + HAIR };
            let mass = self.kit_mass(t);
            self.model.at_most_in(MG, &mass, cap);
            self.uncertain(t, &mass, cap);
            self.room(t, each().map(|f| f.room).sum());
            if !team.people(facts) {
                continue;
            }
            for way in [Way::Back, Way::Chest, Way::Shoulder, Way::Belt] {
                let slots = each().map(|f| f.slots[way as usize]).fold(0, u32::saturating_add);
                if slots < u32::MAX {
                    self.slots(t, way, slots);
                }
            }
            self.hand_rows(t);
        }
    }

    pub(super) fn room(&mut self, t: TeamIx, room: Option<u64>) {
        let Some(room) = room else { return };
        let facts = self.facts;
        let litres = |i: usize| facts.items[i].bulk as f64 / 1e3;
        let mut sum = Affine::default();
        if self.rest == Some(t) {
            for i in 0..facts.items.len() {
                sum.add_scaled(&self.loose(i, self.teams[t].party), litres(i));
            }
        } else {
            for a in self.alone_of_team(t).filter(|a| matches!(a.way, Way::Back | Way::Bed)) {
                sum.add(a.col, litres(a.item));
            }
        }
        self.model.at_most_in(ML, &sum, room as f64 / 1e3 + 0.5e-3);
    }

    fn slots(&mut self, t: TeamIx, way: Way, slots: u32) {
        let mut sum = Affine::default();
        for a in self.alone_of_team(t).filter(|a| a.way == way) {
            sum.add(a.col, 1.0);
        }
        self.model.at_most(&sum, f64::from(slots));
    }

    fn hand_rows(&mut self, t: TeamIx) {
        let mut hands = Affine::default();
        let mut pairs = Affine::default();
        for a in self.alone_of_team(t).filter(|a| a.way == Way::Hand) {
            hands.add(a.col, f64::from(self.facts.items[a.item].hands));
        }
        for b in self.between_of_team(t) {
            let ends = if b.first == b.second { 2.0 } else { 1.0 };
            hands.add(b.col, ends);
            pairs.add(b.col, ends);
        }
        let free = self.hands(t) as f64;
        self.model.at_most(&hands, free);
        self.model.at_most(&pairs, f64::from(self.teams[t].size()));
    }
}
