//! The catalogue: every item, and what is inside what.

use super::item::Item;
use super::ix::{ItemIx, SupplyIx};
use super::need::Supply;
use crate::quantity::{Mass, Percent};
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fmt;
use std::ops::Index;

/// All items and supplies of a kit.
#[derive(Debug, Clone, Default)]
pub struct Catalogue {
    items: Vec<Item>,
    supplies: Vec<Supply>,
    by_id: BTreeMap<String, ItemIx>,
    /// Per item: itself once, and all its contents at any depth, by index.
    inside: Vec<Vec<(ItemIx, u32)>>,
}

impl Catalogue {
    /// The catalogue of these items and supplies. The reader diagnoses what is wrong
    /// with their places before it comes here.
    ///
    /// # Errors
    /// The first supply or item that is at odds with the others or with itself.
    pub fn new(items: Vec<Item>, supplies: Vec<Supply>) -> Result<Self, BrokenCatalogue> {
        let mut ids = BTreeSet::new();
        if let Some(s) = supplies.iter().position(|s| !ids.insert(&s.id)) {
            return Err(BrokenCatalogue::SameSupply(SupplyIx(s)));
        }
        let mut by_id = BTreeMap::new();
        for (i, item) in items.iter().enumerate() {
            let item_ix = ItemIx(i);
            if by_id.insert(item.id.clone(), item_ix).is_some() {
                return Err(BrokenCatalogue::SameId(item_ix));
            }
            sound(item_ix, item, items.len(), &supplies)?;
        }
        let inside = inside(&items)?;
        Ok(Self { items, supplies, by_id, inside })
    }

    /// The same with other masses; what comes out for an item is the mass of one.
    #[must_use]
    pub fn with_masses(mut self, mut mass: impl FnMut(ItemIx, &Item) -> Mass) -> Self {
        for (i, item) in self.items.iter_mut().enumerate() {
            item.mass = mass(ItemIx(i), item);
        }
        self
    }
    /// The same with other counts held; what comes out for an item is how many loose
    /// ones there are.
    #[must_use]
    pub fn with_held(mut self, mut held: impl FnMut(ItemIx, &Item) -> u32) -> Self {
        for (i, item) in self.items.iter_mut().enumerate() {
            item.held = held(ItemIx(i), item);
        }
        self
    }
    /// The same with the items changed, to whatever makes a catalogue.
    ///
    /// # Errors
    /// As of [`Catalogue::new`].
    pub fn changed(
        &self,
        change: impl FnOnce(&mut Vec<Item>),
    ) -> Result<Catalogue, BrokenCatalogue> {
        let mut items = self.items.clone();
        change(&mut items);
        Catalogue::new(items, self.supplies.clone())
    }

    /// How many items there are, those known only as contents included.
    pub fn len(&self) -> usize {
        self.items.len()
    }
    /// Whether there is no item.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }
    /// The items in their order, each with its place.
    pub fn items(&self) -> impl Iterator<Item = (ItemIx, &Item)> {
        self.items.iter().enumerate().map(|(i, item)| (ItemIx(i), item))
    }
    /// The item with this id.
    pub fn find(&self, id: &str) -> Option<ItemIx> {
        self.by_id.get(id).copied()
    }
    /// The supplies in their order, each with its place.
    pub fn supplies(&self) -> impl Iterator<Item = (SupplyIx, &Supply)> {
        self.supplies.iter().enumerate().map(|(i, s)| (SupplyIx(i), s))
    }
    /// The supply at this place; a panic beyond the list.
    pub fn supply(&self, s: SupplyIx) -> &Supply {
        &self.supplies[s.0]
    }
    pub(super) fn get_supply(&self, s: SupplyIx) -> Option<&Supply> {
        self.supplies.get(s.0)
    }
    /// What is there when one of `item` is there: itself, and its contents at
    /// any depth, with their counts, by index.
    pub fn inside(&self, item: ItemIx) -> &[(ItemIx, u32)] {
        &self.inside[item.0]
    }
}

/// Why [`Catalogue::new`] refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum BrokenCatalogue {
    /// Another item before it has the same id.
    SameId(ItemIx),
    /// Another supply before it has the same id.
    SameSupply(SupplyIx),
    /// It contains or requires an item that is not there.
    NoItem(ItemIx),
    /// It supplies or uses a supply that is not there.
    NoSupply(ItemIx),
    /// It supplies or uses one supply twice, or an amount of another dimension.
    Supplies(ItemIx),
    /// It takes neither one hand nor two.
    Hands(ItemIx),
    /// The shares of a pair do not make a whole.
    PairShares(ItemIx),
    /// A case contains itself, at some depth.
    Circle(ItemIx),
    /// What is inside, at any depth, passes what 32 bits count.
    TooMany(ItemIx),
}

impl fmt::Display for BrokenCatalogue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (item, what) = match self {
            BrokenCatalogue::SameSupply(s) => {
                return write!(f, "supply {}: its id is taken", s.0);
            }
            BrokenCatalogue::SameId(i) => (i, "its id is taken"),
            BrokenCatalogue::NoItem(i) => (i, "it names an item that is not there"),
            BrokenCatalogue::NoSupply(i) => (i, "it names a supply that is not there"),
            BrokenCatalogue::Supplies(i) => (i, "no such amount of a supply, or one named twice"),
            BrokenCatalogue::Hands(i) => (i, "it takes one hand or two"),
            BrokenCatalogue::PairShares(i) => (i, "the shares of a pair do not make a whole"),
            BrokenCatalogue::Circle(i) => (i, "it contains itself"),
            BrokenCatalogue::TooMany(i) => (i, "too much is inside"),
        };
        write!(f, "item {}: {what}", item.0)
    }
}

impl Error for BrokenCatalogue {}

/// Whether the item says of itself what can be; `count` is how many there are.
fn sound(
    ix: ItemIx,
    item: &Item,
    count: usize,
    supplies: &[Supply],
) -> Result<(), BrokenCatalogue> {
    let contained = item.contents.iter().map(|(i, _)| *i);
    let mut named = contained.chain(item.requires.iter().map(|r| r.item));
    if named.any(|i| i.0 >= count) {
        return Err(BrokenCatalogue::NoItem(ix));
    }
    if !(1..=2).contains(&item.hands) {
        return Err(BrokenCatalogue::Hands(ix));
    }
    let [first, second] = item.pair_shares.map(Percent::ppm);
    if first.checked_add(second) != Some(Percent::WHOLE.ppm()) {
        return Err(BrokenCatalogue::PairShares(ix));
    }
    let mut seen = BTreeSet::new();
    for (supply, amount) in &item.supplies {
        let known = supplies.get(supply.0).ok_or(BrokenCatalogue::NoSupply(ix))?;
        if amount.dimension != known.dimension || !seen.insert(*supply) {
            return Err(BrokenCatalogue::Supplies(ix));
        }
    }
    seen.clear();
    for (supply, used) in &item.uses {
        let known = supplies.get(supply.0).ok_or(BrokenCatalogue::NoSupply(ix))?;
        if !used.is_of(known) || !seen.insert(*supply) {
            return Err(BrokenCatalogue::Supplies(ix));
        }
    }
    Ok(())
}

/// Per item: itself once, and all its contents at any depth, by index.
fn inside(items: &[Item]) -> Result<Vec<Vec<(ItemIx, u32)>>, BrokenCatalogue> {
    let mut inside: Vec<BTreeMap<ItemIx, u32>> = vec![BTreeMap::new(); items.len()];
    #[derive(Clone, Copy, PartialEq)]
    enum State {
        New,
        Open,
        Done,
    }
    let mut state = vec![State::New; items.len()];
    for start in 0..items.len() {
        // Depth first without recursion: a chain of cases may be long.
        let mut stack = vec![start];
        while let Some(&i) = stack.last() {
            if state[i] == State::Done {
                stack.pop();
                continue;
            }
            let contents = items[i].contents.iter().map(|(c, _)| c.0);
            let open: Vec<usize> = contents.filter(|&c| state[c] != State::Done).collect();
            if open.is_empty() {
                let mut all = BTreeMap::from([(ItemIx(i), 1u32)]);
                for (c, n) in &items[i].contents {
                    for (deep, m) in &inside[c.0] {
                        let slot = all.entry(*deep).or_insert(0);
                        let sum = m.checked_mul(*n).and_then(|add| slot.checked_add(add));
                        *slot = sum.ok_or(BrokenCatalogue::TooMany(ItemIx(i)))?;
                    }
                }
                inside[i] = all;
                state[i] = State::Done;
                stack.pop();
            } else if state[i] == State::Open {
                return Err(BrokenCatalogue::Circle(ItemIx(i)));
            } else {
                state[i] = State::Open;
                stack.extend(open);
            }
        }
    }
    Ok(inside.into_iter().map(|all| all.into_iter().collect()).collect())
}

impl Index<ItemIx> for Catalogue {
    type Output = Item;
    fn index(&self, i: ItemIx) -> &Item {
        &self.items[i.0]
    }
}
