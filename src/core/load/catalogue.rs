//! The catalogue: every item, and what is inside what.

use super::item::Item;
use super::ix::{ItemIx, SupplyIx};
use super::need::Supply;
use std::collections::BTreeMap;
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
    /// `None` when contents go round in a circle, an index is out of range, or
    /// a count passes what 32 bits hold. The reader diagnoses these with their
    /// places before it comes here.
    pub fn new(items: Vec<Item>, supplies: Vec<Supply>) -> Option<Self> {
        let by_id =
            items.iter().enumerate().map(|(i, item)| (item.id.clone(), ItemIx(i))).collect();
        let mut inside: Vec<Option<BTreeMap<ItemIx, u32>>> = vec![None; items.len()];
        let mut state = vec![0u8; items.len()];
        for start in 0..items.len() {
            // Depth first without recursion: a chain of cases may be long.
            let mut stack = vec![start];
            while let Some(&i) = stack.last() {
                if state[i] == 2 {
                    stack.pop();
                    continue;
                }
                let open: Vec<usize> = items[i]
                    .contents
                    .iter()
                    .map(|(c, _)| c.0)
                    .filter(|&c| c >= items.len() || state[c] != 2)
                    .collect();
                if open.is_empty() {
                    let mut all = BTreeMap::from([(ItemIx(i), 1u32)]);
                    for (c, n) in &items[i].contents {
                        for (deep, m) in inside[c.0].as_ref()? {
                            let add = m.checked_mul(*n)?;
                            let slot = all.entry(*deep).or_insert(0);
                            *slot = slot.checked_add(add)?;
                        }
                    }
                    inside[i] = Some(all);
                    state[i] = 2;
                    stack.pop();
                } else if state[i] == 1 || open.iter().any(|&c| c >= items.len()) {
                    return None;
                } else {
                    state[i] = 1;
                    stack.extend(open);
                }
            }
        }
        let inside = inside
            .into_iter()
            .map(|m| m.map(|m| m.into_iter().collect()))
            .collect::<Option<Vec<_>>>()?;
        Some(Self { items, supplies, by_id, inside })
    }

    /// The same with items changed: their masses, or how many are held, but not
    /// their ids nor what is in them.
    #[must_use]
    pub fn with(mut self, mut change: impl FnMut(ItemIx, &mut Item)) -> Self {
        self.items.iter_mut().enumerate().for_each(|(i, item)| change(ItemIx(i), item));
        self
    }

    pub fn len(&self) -> usize {
        self.items.len()
    }
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }
    pub fn items(&self) -> impl Iterator<Item = (ItemIx, &Item)> {
        self.items.iter().enumerate().map(|(i, item)| (ItemIx(i), item))
    }
    pub fn find(&self, id: &str) -> Option<ItemIx> {
        self.by_id.get(id).copied()
    }
    pub fn supplies(&self) -> impl Iterator<Item = (SupplyIx, &Supply)> {
        self.supplies.iter().enumerate().map(|(i, s)| (SupplyIx(i), s))
    }
    pub fn supply(&self, s: SupplyIx) -> &Supply {
        &self.supplies[s.0]
    }
    /// What is there when one of `item` is there: itself, and its contents at
    /// any depth, with their counts, by index.
    pub fn inside(&self, item: ItemIx) -> &[(ItemIx, u32)] {
        &self.inside[item.0]
    }
}

impl Index<ItemIx> for Catalogue {
    type Output = Item;
    fn index(&self, i: ItemIx) -> &Item {
        &self.items[i.0]
    }
}
