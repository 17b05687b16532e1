//! A plan under change: counts, loads and every running sum that a change
//! touches, so that trying one costs little.

use super::penalty;
use crate::facts::{BeforeFact, Facts};
use crate::load::Way;
use crate::pins::Pins;

/// Where a unit of an item is: with a kit carrier by a way, or between two
/// (`a` bears the first share). Without a spot it is left or in the store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Spot {
    One(usize, Way),
    Pair(usize, usize),
}

/// Units of an item with a carrier by a way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Entry {
    pub item: usize,
    pub way: Way,
    pub count: u32,
}

/// One unit of an item moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Step {
    pub item: usize,
    pub from: Option<Spot>,
    pub to: Option<Spot>,
}

/// Running sums of one carrier.
#[derive(Debug, Clone, Default)]
pub(super) struct Bearing {
    pub entries: Vec<Entry>,
    /// The pairs it is in: position is of no meaning.
    pub pairs: Vec<(usize, usize, usize)>,
    /// mg of kit.
    pub mass: u64,
    /// mL in the pack or on the bed.
    pub bulk: u64,
    pub slots: [u32; 4],
    pub hands: u32,
    /// Over its limits.
    pub penalty: i64,
    /// Against rules on what is on one carrier.
    pub broken: i64,
    /// mg that the kit may weigh more, at worst.
    pub deviation: u64,
}

#[derive(Clone)]
pub(crate) struct State<'f, 'o> {
    pub facts: &'f Facts<'o>,
    pub pins: Pins,
    pub(super) on: Vec<Bearing>,
    /// Loose units of each item in each party outside the store.
    pub(super) loose: Vec<Vec<u32>>,
    /// Units of each item outside the store.
    pub(super) outside: Vec<u32>,
    /// mg and mL outside the store.
    pub(super) carried: u64,
    pub(super) carried_bulk: u64,
    pub(super) misplaced: u64,
    pub(super) hands: u64,
    /// Units that changed hands from the plan before.
    pub(super) changes: i64,
    /// Per party: what its needs, wants and requirements lack.
    pub(super) party_penalty: Vec<i64>,
    /// What makes that up: per need without supplies, per party for those
    /// with, per party and requirement.
    pub(super) need_penalty: Vec<i64>,
    pub(super) bring_penalty: Vec<i64>,
    pub(super) supply_penalty: Vec<i64>,
    pub(super) require_penalty: Vec<Vec<i64>>,
    pub(super) party_wants: Vec<u64>,
    pub(super) want_value: Vec<u64>,
    pub(super) carrier_penalty: i64,
    /// Per group of `together` and party.
    pub(super) together_penalty: Vec<i64>,
    /// Parties are not reckoned with every step, but by `refresh`.
    held: bool,
}

impl<'f, 'o> State<'f, 'o> {
    /// Nothing is taken.
    pub fn new(facts: &'f Facts<'o>, pins: Pins) -> Self {
        let parties = facts.by_party.len();
        let put_down = |before: &BeforeFact| {
            let items = facts.items.iter().zip(&before.stayed);
            items.map(|(f, stayed)| i64::from(f.held - stayed)).sum()
        };
        let mut state = State {
            facts,
            pins,
            on: vec![Bearing::default(); facts.carriers.len()],
            loose: vec![vec![0; facts.items.len()]; parties],
            outside: vec![0; facts.items.len()],
            carried: 0,
            carried_bulk: 0,
            misplaced: 0,
            hands: 0,
            changes: facts.before.as_ref().map_or(0, put_down),
            party_penalty: vec![0; parties],
            need_penalty: vec![0; facts.order.needs().len()],
            bring_penalty: vec![0; facts.order.brings().len()],
            supply_penalty: vec![0; parties],
            require_penalty: vec![vec![0; facts.requires.len()]; parties],
            party_wants: vec![0; parties],
            want_value: vec![0; facts.order.wants().len()],
            carrier_penalty: 0,
            together_penalty: vec![0; facts.together.len() * parties],
            held: false,
        };
        state.refresh();
        state
    }

    /// Leaves parties as reckoned, for many steps, until `refresh`.
    pub fn hold_parties(&mut self) {
        self.held = true;
    }

    /// Reckons everything anew.
    pub fn refresh(&mut self) {
        self.held = false;
        for p in 0..self.party_penalty.len() {
            self.refresh_party(p);
        }
        for w in 0..self.want_value.len() {
            self.refresh_want(w);
        }
        for g in 0..self.facts.together.len() {
            for p in 0..self.party_penalty.len() {
                self.refresh_together(g, p);
            }
        }
        self.carrier_penalty = 0;
        for c in 0..self.on.len() {
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
                    all.into_iter().flatten().for_each(|p| self.touch(p, s.item));
                }
            }
        }
        for g in 0..self.facts.together.len() {
            if steps.iter().any(|s| self.facts.together[g].binary_search(&s.item).is_ok()) {
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

    fn refresh_carrier(&mut self, c: usize, ruled: bool) {
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

    pub fn party_of(&self, spot: Spot) -> usize {
        self.facts.carriers[ends(spot).0].party
    }

    /// mg that the carrier may bear, pins and all.
    pub(super) fn most_mass(&self, c: usize) -> u64 {
        let f = &self.facts.carriers[c];
        self.pins.even.as_ref().map_or(f.usable, |caps| f.usable.min(caps[c]))
    }

    /// Load against what the carrier may bear.
    pub(super) fn share(&self, c: usize) -> f64 {
        let f = &self.facts.carriers[c];
        (f.burden + self.on[c].mass) as f64 / f.usable.max(1) as f64
    }

    /// Whether one more of the item keeps every limit of the carrier.
    pub(super) fn fits(&self, item: usize, c: usize, way: Way) -> bool {
        self.bears_more(c, item) && self.has_place(item, c, way)
    }

    /// Whether room, slots and hands of the carrier take one more, its mass
    /// aside.
    pub(super) fn has_place(&self, item: usize, c: usize, way: Way) -> bool {
        let (i, f, b) = (&self.facts.items[item], &self.facts.carriers[c], &self.on[c]);
        let room = f.room.is_none_or(|r| b.bulk + i.bulk <= r);
        match way {
            Way::Bed => room,
            Way::Back => room && b.slots[way as usize] < f.slots[way as usize],
            Way::Hand => b.hands + i.hands <= f.hands,
            Way::Pair => false,
            _ => b.slots[way as usize] < f.slots[way as usize],
        }
    }

    /// The way by which the carrier would take the item alone: the one it likes
    /// if there is place, else any with place, else any at all.
    pub(super) fn way_to(&self, item: usize, c: usize, liked: Option<Way>) -> Option<Way> {
        let may = |w: &Way| *w != Way::Pair && self.facts.may(item, c, *w);
        let ways = || liked.into_iter().chain(Way::ALL).filter(may);
        ways().find(|w| self.has_place(item, c, *w)).or_else(|| ways().next())
    }

    /// Whether somebody bears more than the limit and the pins allow.
    pub(super) fn is_overloaded(&self) -> bool {
        let over = |c: usize| {
            let f = &self.facts.carriers[c];
            !f.store
                && (f.burden + self.on[c].mass > self.most_mass(c) || self.worst_load(c) > f.usable)
        };
        (0..self.on.len()).any(over)
    }

    /// Units of the item that nobody outside the store has.
    pub fn left(&self, item: usize) -> u32 {
        self.facts.items[item].held.saturating_sub(self.outside[item])
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
        let more = |c: &usize| self.count_on(item, *c) > before.on[*c][item];
        let gained = [Some(a), b].into_iter().flatten().filter(more).count();
        // With one less outside, the store would have one more.
        let held = self.facts.items[item].held;
        let kept = self.outside[item] <= held && held - self.outside[item] >= before.stayed[item];
        gained as i64 - i64::from(kept)
    }

    /// Units of the item on the carrier, a pair's thing on both.
    pub(super) fn count_on(&self, item: usize, c: usize) -> u32 {
        let b = &self.on[c];
        let alone: u32 = b.entries.iter().filter(|e| e.item == item).map(|e| e.count).sum();
        alone + b.pairs.iter().filter(|p| p.0 == item).count() as u32
    }

    pub(super) fn penalty(&self) -> i64 {
        self.carrier_penalty
            + self.party_penalty.iter().sum::<i64>()
            + self.together_penalty.iter().sum::<i64>()
            + penalty::whole(self)
    }

    /// Every unit outside the store with its spot, pairs once, in order.
    pub fn placed(&self) -> impl Iterator<Item = (usize, Spot, u32)> + '_ {
        self.on.iter().enumerate().flat_map(|(c, b)| {
            let alone = b.entries.iter().map(move |e| (e.item, Spot::One(c, e.way), e.count));
            let pairs = b.pairs.iter().filter(move |p| p.1 == c);
            alone.chain(pairs.map(|&(i, a, b)| (i, Spot::Pair(a, b), 1)))
        })
    }
}

pub(super) fn ends(spot: Spot) -> (usize, Option<usize>) {
    match spot {
        Spot::One(c, _) => (c, None),
        Spot::Pair(a, b) => (a, Some(b)),
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
