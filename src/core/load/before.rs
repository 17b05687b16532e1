//! What people have packed already, where a plan is made again.

use super::ix::ItemIx;
use super::plan::Plan;

/// Who had what by the plan before. It may name carriers who are in no party
/// any more, and more units than are held now.
///
/// The goal `changes` counts against it what changes hands. The store, or what
/// is left without one, had whatever of the units held now nobody had.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Before {
    /// Who had what.
    pub plan: Plan,
    /// Units that were with somebody whom this move does not know.
    pub astray: Vec<(ItemIx, u32)>,
}

/// A plan that people have packed, as the move sees it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Packed {
    /// Name of the move that it was made for.
    pub made_for: String,
    /// Who had what, by the catalogue of the move as it is now.
    pub before: Before,
    /// Whom the plan knows and the move does not, with what they had of the
    /// items of the catalogue: in all what is `astray`.
    pub strangers: Vec<Stranger>,
    /// What the plan has and the catalogue has not: name, and units.
    pub lost: Vec<(String, u64)>,
    /// Units of each item of the catalogue, carried or left.
    pub units: Vec<u64>,
}

/// Somebody whom the move does not know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stranger {
    /// As the plan has it.
    pub id: String,
    /// As the plan has it.
    pub name: String,
    /// What they had: item, and how many units.
    pub items: Vec<(ItemIx, u32)>,
}
