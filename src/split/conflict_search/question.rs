//! Changing the question of a search that goes on: a tighter cutoff, a point
//! that is excluded, other phases.

use super::integer_model::IntegerRow;
use super::search::ConflictSearch;
use super::trail::{Lit, Reason};

impl ConflictSearch {
    /// From now on the objective, in grains, is at most this: a tighter cutoff.
    pub fn set_cutoff(&mut self, grains: i64) {
        self.backjump(0);
        self.forget_sums();
        match self.cut {
            Some(r) => {
                let row = &mut self.rows.rows[r as usize];
                if grains < row.most {
                    row.slack -= row.most - grains;
                    row.most = grains;
                }
            }
            None => {
                let row = IntegerRow { terms: self.objective.clone(), most: grains };
                let cut = self.rows.add(&row, &self.trail);
                self.cut = Some(cut);
                self.own = self.rows.rows.len();
                if let Some(relaxation) = &mut self.relaxation {
                    relaxation.set_cut(cut);
                }
            }
        }
        self.queue_all();
    }

    /// Forgets the aggregated rows; the trail is at the root.
    pub(super) fn forget_sums(&mut self) {
        self.rows.truncate(self.own);
        self.queued.truncate(self.own);
        self.queue.retain(|r| (*r as usize) < self.own);
    }

    /// Adds a no-good: excludes a point of some columns.
    pub fn forbid(&mut self, point: &[i64], columns: &[usize]) {
        self.backjump(0);
        self.queue_all();
        let differs = columns.iter().flat_map(|&c| {
            let v = point[c];
            [Lit::new(2 * c as u32, v + 1), Lit::new(2 * c as u32 + 1, 1 - v)]
        });
        let lits: Vec<Lit> = differs.filter(|l| !self.trail.broken(*l)).collect();
        if lits.iter().any(|l| self.trail.holds(*l)) {
            return;
        }
        match lits[..] {
            [] => self.refuted = true,
            [only] => self.raise(only, Reason::Decision),
            _ => {
                self.clauses.add(lits, 0);
            }
        }
    }

    /// Sets the phases: values to try first.
    pub fn set_phases(&mut self, values: impl Iterator<Item = (usize, i64)>) {
        values.for_each(|(c, v)| (self.phase[c], self.first_phase[c]) = (v, v));
    }
}
