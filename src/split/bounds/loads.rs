//! Which loads of kit anybody can have: sums of masses of what is held.

use super::steps::burden_step;
use super::subset_sums::SubsetSums;
use super::units::Units;
use crate::facts::{Facts, KitIx};

/// What the table may cost, in words of 64 bits.
const TABLE_WORK: u64 = 1_000_000;

/// Loads of kit, in mg, on a carrier outside the store.
pub(crate) struct Loads {
    step: u64,
    sums: Option<SubsetSums>,
}

impl Loads {
    pub fn new(facts: &Facts) -> Self {
        let outside: Vec<KitIx> = facts.kit().filter(|&c| !facts.carriers[c].store).collect();
        let held: Vec<u64> = facts.items.iter().map(|f| f.held.into()).collect();
        let units = Units::new(facts, &held, &outside);
        let spare = outside.iter().map(|&c| &facts.carriers[c]);
        let most = spare.map(|f| f.usable.saturating_sub(f.burden)).max().unwrap_or(0);
        let sums = SubsetSums::new(&units, 0, 0, most, &mut TABLE_WORK.clone());
        Loads { step: burden_step(facts), sums }
    }

    /// The least load of kit that somebody can have of so much or more.
    pub fn least(&self, kit: u64) -> u64 {
        let steps = kit.div_ceil(self.step).saturating_mul(self.step);
        self.sums.as_ref().and_then(|s| s.least(steps)).unwrap_or(steps)
    }
}
