//! The state of a local search: counts, loads and every running sum that a step
//! touches, so that trying one costs little.

use crate::facts::{BeforeFact, Facts, KitIx};
use crate::load::{GoalKind, Way};
use crate::pins::Pins;
use std::ops::{Index, IndexMut};

/// Where a unit of an item is: with a kit carrier by a way, or between two
/// (`a` bears the first share). Without a spot it is left or in the store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Spot {
    One(KitIx, Way),
    Pair(KitIx, KitIx),
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
    pub pairs: Vec<(usize, KitIx, KitIx)>,
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

impl Index<KitIx> for Vec<Bearing> {
    type Output = Bearing;

    fn index(&self, c: KitIx) -> &Bearing {
        &self.as_slice()[c.0]
    }
}
impl IndexMut<KitIx> for Vec<Bearing> {
    fn index_mut(&mut self, c: KitIx) -> &mut Bearing {
        &mut self.as_mut_slice()[c.0]
    }
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
    /// Penalties of parties are updated by `refresh` only, not with every step.
    pub(super) held: bool,
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
            together_penalty: vec![0; facts.rules.together.len() * parties],
            held: false,
        };
        state.refresh();
        state
    }

    /// Every carrier that can have something on it.
    pub(super) fn all_on(&self) -> impl Iterator<Item = KitIx> + use<> {
        (0..self.on.len()).map(KitIx)
    }

    pub fn party_of(&self, spot: Spot) -> usize {
        self.facts.carriers[ends(spot).0].party
    }

    /// mg that the carrier may bear, pins and all.
    pub(super) fn most_mass(&self, c: KitIx) -> u64 {
        let f = &self.facts.carriers[c];
        self.pins.even.as_ref().map_or(f.usable, |caps| f.usable.min(caps[c.0]))
    }

    /// Load against what the carrier may bear.
    pub(super) fn share(&self, c: KitIx) -> f64 {
        let f = &self.facts.carriers[c];
        (f.burden + self.on[c].mass) as f64 / f.usable.max(1) as f64
    }

    /// Whether one more of the item keeps every limit of the carrier.
    pub(super) fn fits(&self, item: usize, c: KitIx, way: Way) -> bool {
        self.bears_more(c, item) && self.has_place(item, c, way)
    }

    /// What a goal that counts something is at.
    pub fn counted(&self, kind: GoalKind) -> i64 {
        match kind {
            GoalKind::Keeper => self.misplaced as i64,
            GoalKind::Hands => self.hands as i64,
            GoalKind::Changes => self.changes,
            GoalKind::Wants | GoalKind::Lightest | GoalKind::Even => 0,
        }
    }

    /// Whether room, slots and hands of the carrier take one more, its mass
    /// aside.
    pub(super) fn has_place(&self, item: usize, c: KitIx, way: Way) -> bool {
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
    pub(super) fn way_to(&self, item: usize, c: KitIx, liked: Option<Way>) -> Option<Way> {
        let may = |w: &Way| *w != Way::Pair && self.facts.may(item, c, *w);
        let ways = || liked.into_iter().chain(Way::ALL).filter(may);
        ways().find(|w| self.has_place(item, c, *w)).or_else(|| ways().next())
    }

    /// Whether somebody bears more than the limit and the pins allow.
    pub(super) fn is_overloaded(&self) -> bool {
        let over = |c: KitIx| {
            let f = &self.facts.carriers[c];
            !f.store
                && (f.burden + self.on[c].mass > self.most_mass(c) || self.worst_load(c) > f.usable)
        };
        self.all_on().any(over)
    }

    /// Units of the item that nobody outside the store has.
    pub fn left(&self, item: usize) -> u32 {
        self.facts.items[item].held.saturating_sub(self.outside[item])
    }

    /// Units of the item on the carrier, a pair's thing on both.
    pub(super) fn count_on(&self, item: usize, c: KitIx) -> u32 {
        let b = &self.on[c];
        let alone: u32 = b.entries.iter().filter(|e| e.item == item).map(|e| e.count).sum();
        alone + b.pairs.iter().filter(|p| p.0 == item).count() as u32
    }

    /// Every unit outside the store with its spot, pairs once, in order.
    pub fn placed(&self) -> impl Iterator<Item = (usize, Spot, u32)> + '_ {
        self.all_on().zip(&self.on).flat_map(|(c, b)| {
            let alone = b.entries.iter().map(move |e| (e.item, Spot::One(c, e.way), e.count));
            let pairs = b.pairs.iter().filter(move |p| p.1 == c);
            alone.chain(pairs.map(|&(i, a, b)| (i, Spot::Pair(a, b), 1)))
        })
    }
}

pub(super) fn ends(spot: Spot) -> (KitIx, Option<KitIx>) {
    match spot {
        Spot::One(c, _) => (c, None),
        Spot::Pair(a, b) => (a, Some(b)),
    }
}
