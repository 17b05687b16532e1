//! What follows a conflict: a learned clause, and the backjump to the level
//! where it asserts a bound.

use super::analysis::Learned;
use super::search::ConflictSearch;
use super::trail::{Lit, Reason};

impl ConflictSearch {
    pub(super) fn learn(&mut self, conflict: &[Lit]) {
        self.conflicts += 1;
        self.since_restart += 1;
        if self.trail.entries.len() > self.far {
            self.far = self.trail.entries.len();
            for c in 0..self.columns {
                if self.trail.range(2 * c as u32) == 0 {
                    self.furthest_phase[c] = self.trail.bound[2 * c];
                }
            }
        }
        let now = self.conflicts as f64;
        let learned = self.analysis.learn(
            conflict,
            &self.trail,
            &self.rows,
            &mut self.clauses,
            &mut self.order,
            now,
        );
        self.order.decay();
        let Some(Learned { lits, level, levels }) = learned else {
            self.refuted = true;
            return;
        };
        self.backjump(level);
        let first = lits[0];
        if lits.len() == 1 {
            self.raise(first, Reason::Decision);
            return;
        }
        let clause = self.clauses.add(lits, levels);
        self.clauses.all[clause as usize].activity = now;
        self.raise(first, Reason::Clause(clause));
    }

    pub(super) fn backjump(&mut self, level: u32) {
        let length = self.trail.length_at(level);
        while self.trail.entries.len() > length {
            let top = self.trail.entries[self.trail.entries.len() - 1];
            let c = top.side / 2;
            if self.trail.range(top.side) == 0 {
                self.phase[c as usize] = self.trail.bound[2 * c as usize];
            }
            self.trail.pop();
            self.rows.moved(top.side, top.before - top.least);
            self.order.insert(c);
        }
        self.trail.pop_levels(level);
        self.head = self.head.min(length);
        for r in self.queue.drain(..) {
            self.queued[r as usize] = false;
        }
    }
}
