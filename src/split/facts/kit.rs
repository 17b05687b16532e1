//! Carriers that can take kit, with a numbering of their own.

use crate::load::CarrierIx;
use std::ops::Index;

/// The place of a carrier in `Facts::carriers`, which leave out whoever takes
/// no kit: not to be taken for a place in the move order ([`CarrierIx`]) or in
/// the teams of a program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct KitIx(pub usize);

impl Index<KitIx> for Vec<CarrierFact> {
    type Output = CarrierFact;

    fn index(&self, c: KitIx) -> &CarrierFact {
        &self.as_slice()[c.0]
    }
}

/// A carrier that can take kit.
#[derive(Debug, Clone)]
pub(crate) struct CarrierFact {
    pub ix: CarrierIx,
    pub party: usize,
    pub store: bool,
    pub person: bool,
    /// mg on it before any kit.
    pub burden: u64,
    /// mg it may bear in this move, burden included.
    pub usable: u64,
    /// mg as declared.
    pub limit: u64,
    /// mL in the pack or on the bed.
    pub room: Option<u64>,
    /// Most things by back, chest, shoulder, belt; `u32::MAX` is no limit.
    pub slots: [u32; 4],
    /// Hands that kit may take.
    pub hands: u32,
    /// Whether its share counts for the `even` goal.
    pub even: bool,
}
