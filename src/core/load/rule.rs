//! Rules on who may carry what.
//!
//! The store (the `stays-with` party) is where things are put down, so the
//! rules on how things are spread (apart, together) do not bind there, and
//! `at most` only where it names a vehicle of the store.

use super::ix::{CarrierIx, ItemIx};
use super::place::Place;
use crate::quantity::{Mass, Percent};

/// A rule, and where it was written.
#[derive(Debug, Clone)]
pub struct Rule {
    pub kind: RuleKind,
    pub place: Option<Place>,
}

/// A thing carried by a pair is on both its bearers.
#[derive(Debug, Clone, PartialEq)]
pub enum RuleKind {
    /// No carrier outside the store has more than one of these kinds.
    Apart { items: Vec<ItemIx> },
    /// In each party outside the store, whatever goes of these kinds is on one
    /// carrier. (It does not make anything go.) A pair's thing is with either
    /// of its bearers.
    Together { items: Vec<ItemIx> },
    /// Each of `carriers` has at most `count` units of these kinds together.
    AtMost { count: u32, items: Vec<ItemIx>, carriers: Vec<CarrierIx> },
    /// `carrier` has at least `count` of the item.
    Fixed { item: ItemIx, count: u32, carrier: CarrierIx },
    /// None of `carriers` has any of these kinds.
    KeepOff { items: Vec<ItemIx>, carriers: Vec<CarrierIx> },
    /// Each of `carriers` (people) has at least `hands` hands free.
    HandsFree { hands: u32, carriers: Vec<CarrierIx> },
    /// The limit of each of `carriers` is that much lower for this move.
    /// Several reserves on one carrier add up.
    Reserve { reserve: Reserve, carriers: Vec<CarrierIx> },
}

/// How much of the limit is kept back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reserve {
    Mass(Mass),
    /// Of the declared limit, rounded up to a whole milligram.
    Share(Percent),
}

impl RuleKind {
    /// Whether the rule names this item.
    pub fn names_item(&self, item: ItemIx) -> bool {
        match self {
            RuleKind::Apart { items }
            | RuleKind::Together { items }
            | RuleKind::AtMost { items, .. }
            | RuleKind::KeepOff { items, .. } => items.contains(&item),
            RuleKind::Fixed { item: fixed, .. } => *fixed == item,
            RuleKind::HandsFree { .. } | RuleKind::Reserve { .. } => false,
        }
    }
    /// The key that names this kind of rule in a move order.
    pub fn word(&self) -> &'static str {
        match self {
            RuleKind::Apart { .. } => "apart",
            RuleKind::Together { .. } => "together",
            RuleKind::AtMost { .. } => "at-most",
            RuleKind::Fixed { .. } => "fixed",
            RuleKind::KeepOff { .. } => "keep-off",
            RuleKind::HandsFree { .. } => "hands-free",
            RuleKind::Reserve { .. } => "reserve",
        }
    }
}
