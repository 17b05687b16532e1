//! Propagation: clauses, rows, and the linear relaxation where those are at rest.

use super::clauses::Step;
use super::relaxation::{RelaxationStats, sum};
use super::search::ConflictSearch;
use super::trail::{Lit, Reason};

/// Work on relaxations before it is held against the rest.
const FIRST_RELAXATIONS: u64 = 1_000_000;

impl ConflictSearch {
    pub(super) fn raise(&mut self, lit: Lit, reason: Reason) {
        let by = lit.least - self.trail.bound[lit.side as usize];
        self.stale = true;
        self.trail.raise(lit, reason);
        self.rows.moved(lit.side, by);
        let rows = &self.rows.of_side[lit.side as usize];
        self.work += rows.len() as u64;
        for &(r, _) in rows {
            if !self.queued[r as usize] {
                self.queued[r as usize] = true;
                self.queue.push(r);
            }
        }
    }

    /// Propagates, and solves the relaxation as long as that is no more work
    /// than the rest.
    pub(super) fn propagate_and_relax(&mut self) -> Result<(), Vec<Lit>> {
        loop {
            self.propagate()?;
            let rest = self.work + self.analysis.work;
            // Where it seldom finds anything, it is solved less often.
            let RelaxationStats { solves, broken, narrowing } = self.relaxation_stats;
            let idle = solves > 200 && (broken + narrowing) * 50 < solves;
            let most = if idle { rest / 5 } else { rest };
            if !self.stale || self.relaxation_work() > most + FIRST_RELAXATIONS {
                return Ok(());
            }
            let Some(relaxation) = &mut self.relaxation else { return Ok(()) };
            self.stale = false;
            self.relaxation_stats.solves += 1;
            let rows = &self.rows.rows;
            let Some(parts) = relaxation.solve(&self.trail, |r| rows[r as usize].most) else {
                return Ok(());
            };
            let of = |&(r, times): &(u32, i64)| {
                let row = &rows[r as usize];
                (row.terms.as_slice(), row.most, times)
            };
            let Some((terms, most)) = sum(parts.iter().map(of), &mut self.scratch) else {
                return Ok(());
            };
            let least: i64 = terms.iter().map(|(s, w)| w * self.trail.bound[*s as usize]).sum();
            let slack = most - least;
            if terms.iter().all(|(s, w)| w * self.trail.range(*s) <= slack) {
                return Ok(());
            }
            let r = self.rows.add_sides(terms, most, &self.trail);
            self.queued.push(true);
            self.queue.push(r);
            if slack < 0 {
                self.relaxation_stats.broken += 1;
                continue;
            }
            self.relaxation_stats.narrowing += 1;
            // After some restarts, phases follow the relaxation's point.
            if self.restarts % 4 == 1 {
                for (c, value) in relaxation.rounded().enumerate() {
                    if self.trail.range(2 * c as u32) > 0 {
                        self.phase[c] = value;
                    }
                }
            }
        }
    }

    /// Propagates clauses and rows until nothing moves; on a conflict, literals
    /// that cannot all hold.
    pub(super) fn propagate(&mut self) -> Result<(), Vec<Lit>> {
        loop {
            if self.head < self.trail.entries.len() {
                let side = self.trail.entries[self.head].side;
                self.head += 1;
                let mut at = 0;
                loop {
                    let (next, step) = self.clauses.visit(side, at, &self.trail, &mut self.work);
                    at = next;
                    match step {
                        Step::Nothing => break,
                        Step::Raise(lit, clause) => self.raise(lit, Reason::Clause(clause)),
                        Step::Broken(clause) => {
                            let clause = &mut self.clauses.all[clause as usize];
                            clause.activity = self.conflicts as f64;
                            return Err(clause.lits.iter().map(|l| l.negated()).collect());
                        }
                    }
                }
                continue;
            }
            let Some(r) = self.queue.pop() else { return Ok(()) };
            self.queued[r as usize] = false;
            let mut out = std::mem::take(&mut self.out);
            out.clear();
            match self.rows.narrowed(r, &self.trail, &mut out) {
                Ok(looked) => self.work += looked,
                Err(()) => {
                    let before = self.trail.entries.len();
                    self.rows.explain(r, None, before, &self.trail, &mut out);
                    self.work += out.len() as u64;
                    return Err(out);
                }
            }
            for &lit in &out {
                self.raise(lit, Reason::Row(r));
            }
            self.out = out;
        }
    }
}
