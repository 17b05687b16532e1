//! What people have packed already, where a plan is made anew.

use super::item::ItemIx;
use super::plan::Plan;

/// Who had what by the plan before. It may name carriers who are in no party
/// any more, and more units than are held now.
///
/// The goal `changes` counts against it what changes hands. The store, or what
/// is left without one, had whatever of the units held now nobody had.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Before {
    pub plan: Plan,
    /// Units that were with somebody whom this move does not know.
    pub astray: Vec<(ItemIx, u32)>,
}
