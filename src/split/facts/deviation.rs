//! Uncertain weights: the worst total deviation.

use super::Facts;
use crate::load::MoveOrder;

/// How many kinds may deviate at once (the budget of uncertainty, Γ); zero
/// where none may.
pub(super) fn off(order: &MoveOrder) -> usize {
    let Some(t) = order.tolerance().filter(|t| t.share.ppm() > 0) else { return 0 };
    t.off.map_or(usize::MAX, |n| n as usize)
}

impl Facts<'_> {
    /// Whether weights are uncertain.
    pub fn uncertain(&self) -> bool {
        self.off > 0
    }

    /// mg that the worst `off` of these kinds add, given what each could.
    pub fn worst(&self, mut deviations: Vec<u64>) -> u64 {
        if self.off == 0 {
            return 0;
        }
        if self.off < deviations.len() {
            let last = deviations.len() - self.off;
            deviations.select_nth_unstable(last);
            deviations.drain(..last);
        }
        deviations.into_iter().fold(0, u64::saturating_add)
    }

    /// mg that everything held could weigh more, all in one place.
    pub fn held_deviation(&self) -> u64 {
        if !self.uncertain() {
            return 0;
        }
        let all = self.items.iter().map(|f| f.deviation.saturating_mul(u64::from(f.held)));
        self.worst(all.collect())
    }
}
