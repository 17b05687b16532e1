//! Making and undoing steps: the running sums and penalties that change with
//! them, and only those.

use super::penalty;
use super::state::{Entry, Spot, State, Step, ends};
use crate::facts::KitIx;
use crate::load::Way;

impl State<'_, '_> {
    /// Leaves the parties' penalties as they are, for many steps, until
    /// `refresh`.
    pub fn hold_parties(&mut self) {
        self.held = true;
    }

    /// Recomputes every sum and penalty.
    pub fn refresh(&mut self) {
        self.held = false;
        for p in 0..self.party_penalty.len() {
            self.refresh_party(p);
        }
        for w in 0..self.want_value.len() {
            self.refresh_want(w);
        }
        for g in 0..self.facts.rules.together.len() {
            for p in 0..self.party_penalty.len() {
                self.refresh_together(g, p);
            }
        }
        self.carrier_penalty = 0;
        for c in self.all_on() {
            self.on[c].deviation = self.deviation(c, None);
            self.on[c].penalty = penalty::carrier(self, c);
            self.on[c].broken = penalty::rules(self, c);
            self.carrier_penalty += self.on[c].penalty + self.on[c].broken;
        }
    }

    fn refresh_together(&mut self, g: usize, p: usize) {
        let at = g * self.party_penalty.len() + p;
        self.together_penalty[at] = penalty::together(self, g, p);
    }

    /// Makes the steps. Steps must be possible: a unit is where it leaves from.
    pub fn make(&mut self, steps: &[Step]) {
        for s in steps {
            if let Some(spot) = s.from {
                self.shift(s.item, spot, false);
            }
            if let Some(spot) = s.to {
                self.shift(s.item, spot, true);
            }
        }
        if !self.held {
            for s in steps {
                let at = |spot: Option<Spot>| spot.map(|s| self.party_of(s));
                let (a, b) = (at(s.from), at(s.to));
                if a != b {
                    // What is taken is missed from the store.
                    let all = [a, b, self.facts.store()];
                    all.into_iter().flatten().for_each(|p| self.refresh_dependents(p, s.item));
                }
            }
        }
        for g in 0..self.facts.rules.together.len() {
            if steps.iter().any(|s| self.facts.rules.together[g].binary_search(&s.item).is_ok()) {
                for p in 0..self.party_penalty.len() {
                    self.refresh_together(g, p);
                }
            }
        }
        let ruled = steps.iter().any(|s| self.facts.ruled[s.item]);
        for s in steps {
            for spot in [s.from, s.to].into_iter().flatten() {
                let (a, b) = ends(spot);
                self.refresh_carrier(a, ruled);
                if let Some(b) = b {
                    self.refresh_carrier(b, ruled);
                }
            }
        }
    }

    /// Takes the steps back.
    pub fn undo(&mut self, steps: &[Step]) {
        let back: Vec<Step> =
            steps.iter().rev().map(|s| Step { item: s.item, from: s.to, to: s.from }).collect();
        self.make(&back);
    }

    fn refresh_carrier(&mut self, c: KitIx, ruled: bool) {
        self.on[c].deviation = self.deviation(c, None);
        let now = penalty::carrier(self, c);
        self.carrier_penalty += now - self.on[c].penalty;
        self.on[c].penalty = now;
        if ruled {
            let now = penalty::rules(self, c);
            self.carrier_penalty += now - self.on[c].broken;
            self.on[c].broken = now;
        }
    }

    fn shift(&mut self, item: usize, spot: Spot, add: bool) {
        let f = &self.facts.items[item];
        let party = self.party_of(spot);
        let sum = |v: &mut u64, by: u64| if add { *v += by } else { *v -= by };
        let small = |v: &mut u32, by: u32| if add { *v += by } else { *v -= by };
        if !add {
            self.changes -= self.changed_by(item, spot);
        }
        small(&mut self.loose[party][item], 1);
        small(&mut self.outside[item], 1);
        sum(&mut self.carried, f.mass);
        sum(&mut self.carried_bulk, f.bulk);
        match spot {
            Spot::One(c, way) => {
                let b = &mut self.on[c];
                sum(&mut b.mass, f.mass);
                match way {
                    Way::Back | Way::Bed => sum(&mut b.bulk, f.bulk),
                    _ => {}
                }
                match way {
                    Way::Hand => {
                        small(&mut b.hands, f.hands);
                        sum(&mut self.hands, u64::from(f.hands));
                    }
                    Way::Bed | Way::Pair => {}
                    _ => small(&mut b.slots[way as usize], 1),
                }
                if self.facts.misplaced(item, c) {
                    sum(&mut self.misplaced, 1);
                }
                change_entry(&mut b.entries, item, way, add);
            }
            Spot::Pair(a, b) => {
                for (end, c) in [a, b].into_iter().enumerate() {
                    let bearing = &mut self.on[c];
                    sum(&mut bearing.mass, f.pair[end]);
                    small(&mut bearing.hands, 1);
                    let key = (item, a, b);
                    if add {
                        bearing.pairs.push(key);
                    } else if let Some(at) = bearing.pairs.iter().position(|p| *p == key) {
                        bearing.pairs.swap_remove(at);
                    }
                }
                sum(&mut self.hands, 2);
                if self.facts.misplaced(item, a) && self.facts.misplaced(item, b) {
                    sum(&mut self.misplaced, 1);
                }
            }
        }
        if add {
            self.changes += self.changed_by(item, spot);
        }
    }

    /// What the last unit of the item at the spot adds to the changes: one for
    /// each bearer who had not so many, less one if the store had it.
    fn changed_by(&self, item: usize, spot: Spot) -> i64 {
        let Some(before) = &self.facts.before else { return 0 };
        let (a, b) = ends(spot);
        let more = |c: &KitIx| self.count_on(item, *c) > before.on[c.0][item];
        let gained = [Some(a), b].into_iter().flatten().filter(more).count();
        // With one less outside, the store would have one more.
        let held = self.facts.items[item].held;
        let kept = self.outside[item] <= held && held - self.outside[item] >= before.stayed[item];
        gained as i64 - i64::from(kept)
    }

    pub(super) fn penalty(&self) -> i64 {
        self.carrier_penalty
            + self.party_penalty.iter().sum::<i64>()
            + self.together_penalty.iter().sum::<i64>()
            + penalty::whole(self)
    }
}

fn change_entry(entries: &mut Vec<Entry>, item: usize, way: Way, add: bool) {
    let at = entries.iter().position(|e| e.item == item && e.way == way);
    match (at, add) {
        (Some(k), true) => entries[k].count += 1,
        (None, true) => entries.push(Entry { item, way, count: 1 }),
        (Some(k), false) if entries[k].count > 1 => entries[k].count -= 1,
        (Some(k), false) => {
            entries.swap_remove(k);
        }
        (None, false) => debug_assert!(false, "a unit leaves where it is not"),
    }
}
