//! The load plan: who carries what, and how.

use super::ix::{CarrierIx, ItemIx};
use super::way::Way;

/// Who bears a placement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bearer {
    /// A single carrier.
    One {
        /// Who has it.
        carrier: CarrierIx,
        /// How.
        way: Way,
    },
    /// Two people of one party, a hand each. `first` bears the first of the
    /// item's pair shares.
    Pair {
        /// Who has the first end.
        first: CarrierIx,
        /// Who has the other end.
        second: CarrierIx,
    },
}

/// So many units of an item with a bearer; a pair bears one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Placement {
    /// Who has them.
    pub by: Bearer,
    /// What it is.
    pub item: ItemIx,
    /// How many units.
    pub count: u32,
}

/// Every placement, in the canonical order: by bearer, then item; no two share
/// both, none has count zero. What is in no placement is left.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Plan {
    placements: Vec<Placement>,
}

impl Plan {
    /// Merges and sorts into the canonical order.
    pub fn new(mut placements: Vec<Placement>) -> Self {
        placements.retain(|p| p.count > 0);
        placements.sort();
        let mut merged: Vec<Placement> = Vec::with_capacity(placements.len());
        for p in placements {
            match merged.last_mut() {
                Some(last) if last.by == p.by && last.item == p.item => {
                    last.count = last.count.saturating_add(p.count);
                }
                _ => merged.push(p),
            }
        }
        Plan { placements: merged }
    }
    /// In the canonical order.
    pub fn placements(&self) -> &[Placement] {
        &self.placements
    }
}
