//! Work done so far, counted and never timed.

use super::relaxation::RelaxationStats;
use super::search::ConflictSearch;

/// Tableau entries that count as one term or literal.
const ENTRIES: u64 = 4;

impl ConflictSearch {
    /// Work so far, in terms and literals looked at.
    pub fn work(&self) -> u64 {
        self.work + self.analysis.work + self.relaxation_work()
    }

    pub(super) fn relaxation_work(&self) -> u64 {
        self.relaxation.as_ref().map_or(0, |r| r.work() / ENTRIES)
    }

    /// Adds the work and conflicts of a search that this one replaces.
    pub fn count(&mut self, (work, conflicts): (u64, u64)) {
        self.work += work;
        self.conflicts += conflicts;
    }

    pub fn conflicts(&self) -> u64 {
        self.conflicts
    }

    /// Statistics of the relaxation, since this search began.
    pub fn relaxation_stats(&self) -> RelaxationStats {
        self.relaxation_stats
    }
}
