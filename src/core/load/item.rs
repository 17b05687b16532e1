//! An item: a kind of thing in the catalogue.

use super::ix::{ItemIx, SupplyIx};
use super::need::Supply;
use super::place::Place;
use super::way::Ways;
use crate::quantity::{Amount, Bulk, Mass, Percent, Rate};

/// A kind of thing. One that is named only as the content of a case has
/// `held: 0`, no mass and no way of carry of its own.
#[derive(Debug, Clone)]
pub struct Item {
    /// Unique in the catalogue.
    pub id: String,
    /// For reports; as the user calls it.
    pub name: String,
    /// Mass of one, packed if it is a case.
    pub mass: Mass,
    /// Bulk of one.
    pub bulk: Bulk,
    /// How many loose ones are held; those inside cases are not among them.
    pub held: u32,
    /// The ways in which people may carry it. A vehicle's bed is always
    /// allowed, so `Way::Bed` alone means that only vehicles take it.
    pub ways: Ways,
    /// Hands that one takes when carried by hand: 1 or 2.
    pub hands: u8,
    /// The shares of its mass on the two bearers of a pair; they make a whole.
    pub pair_shares: [Percent; 2],
    /// The duty whose holder should carry it.
    pub keeper: Option<String>,
    /// What each one needs beside it in its party.
    pub requires: Vec<Requirement>,
    /// What one of it supplies; each supply at most once.
    pub supplies: Vec<(SupplyIx, Amount)>,
    /// What one of it uses; each supply at most once.
    pub uses: Vec<(SupplyIx, Use)>,
    /// What is packed in one of it, directly; see
    /// [`Catalogue::inside`](super::Catalogue::inside) for all of it.
    pub contents: Vec<(ItemIx, u32)>,
    /// Words by which rules name several items.
    pub tags: Vec<String>,
    /// Where it was written.
    pub place: Option<Place>,
}

/// What an item needs beside it in its party to work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Requirement {
    /// What is needed.
    pub item: ItemIx,
    /// How many of it.
    pub count: Required,
}

/// How many of the other item are required.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Required {
    /// So many for each: the demands of several items add up.
    Each(u32),
    /// One in the party serves all that ask for it.
    Shared,
}

/// How an item or a person uses a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// So much at once, whatever the time.
    Once(Amount),
    /// So much for as long as the need lasts.
    Over(Rate),
}

impl Use {
    /// Whether it can be a use of this supply: of its dimension, and over some time.
    pub(super) fn is_of(&self, supply: &Supply) -> bool {
        match self {
            Use::Once(amount) => amount.dimension == supply.dimension,
            Use::Over(rate) => rate.amount.dimension == supply.dimension && rate.per.s() > 0,
        }
    }
}

impl Item {
    /// Whether the two ends of a pair weigh alike.
    pub fn pair_is_even(&self) -> bool {
        self.pair_shares[0] == self.pair_shares[1]
    }
    /// What end 0 or 1 of a pair bears, rounded up to a whole milligram.
    pub fn pair_burden(&self, end: usize) -> Mass {
        self.pair_shares[end].of_mass_up(self.mass)
    }
}
