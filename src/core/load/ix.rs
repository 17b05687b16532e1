//! The numberings: where something stands in its list. Each has a type of its own,
//! so that none is taken for another.

/// The place of an item in its [`Catalogue`](super::Catalogue).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemIx(pub usize);

/// The place of a supply in its [`Catalogue`](super::Catalogue).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SupplyIx(pub usize);

/// The place of a carrier in its [`MoveOrder`](super::MoveOrder).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CarrierIx(pub usize);

/// The place of a party in its [`MoveOrder`](super::MoveOrder).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartyIx(pub usize);

/// The place of a need in its [`MoveOrder`](super::MoveOrder).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NeedIx(pub usize);

/// The place of a rule in its [`MoveOrder`](super::MoveOrder).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleIx(pub usize);
