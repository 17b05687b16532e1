//! What a party has to bring so that something else can hold.

use super::ix::{ItemIx, PartyIx};

/// The party has, loose or as a case, at least so many of one of these or
/// more. Unlike a need it does not look into cases, and nobody wrote it: it
/// follows from a question asked of the move, as whether the plan survives
/// that somebody drops out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brings {
    /// Who has to bring it.
    pub party: PartyIx,
    /// Never empty; each count is at least one.
    pub any: Vec<(ItemIx, u32)>,
}
