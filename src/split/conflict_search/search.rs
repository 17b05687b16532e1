//! The search: decide, narrow, learn, go back.

use super::activity::ActivityOrder;
use super::analysis::{Analysis, Learned};
use super::clauses::{Clauses, Step};
use super::integer_model::{IntegerModel, IntegerRow};
use super::relaxation::{LinearRelaxation, sum};
use super::rows::Rows;
use super::trail::{Lit, Reason, Trail};

/// What a run came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// A point that keeps every row.
    Point(Vec<i64>),
    /// There is none.
    Refuted,
    /// The work allowed was done.
    OutOfWork,
}

/// Conflicts before the first restart; the others follow Luby's sequence.
const RESTART: u64 = 128;
/// Learned clauses kept before the first are forgotten, and how many more each
/// time after.
const KEPT: usize = 3_000;
const KEPT_MORE: usize = 500;
/// Sums of rows that the relaxation gave, kept before all are forgotten.
const KEPT_SUMS: usize = 100;
/// Entries of a tableau that are as much work as one term or literal.
const ENTRIES: u64 = 4;
/// Work on relaxations before it is held against the rest.
const FIRST_RELAXATIONS: u64 = 1_000_000;

/// What the relaxation had to say so far.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct RelaxationStats {
    /// How often it was solved.
    pub solves: u64,
    /// Sums of rows that were broken at once.
    pub broken: u64,
    /// Sums that narrowed a column.
    pub narrowing: u64,
}

/// A search that goes on where it stopped, with all it has learned.
pub(crate) struct ConflictSearch {
    columns: usize,
    objective: Vec<(usize, i64)>,
    /// The row that holds the objective below what is known.
    cut: Option<u32>,
    trail: Trail,
    rows: Rows,
    clauses: Clauses,
    order: ActivityOrder,
    analysis: Analysis,
    /// By column: the value to try first.
    phase: Vec<i64>,
    /// The same as it was asked for, and as it was when most columns had their
    /// values without a conflict.
    first_phase: Vec<i64>,
    furthest_phase: Vec<i64>,
    far: usize,
    head: usize,
    queue: Vec<u32>,
    queued: Vec<bool>,
    out: Vec<Lit>,
    refuted: bool,
    conflicts: u64,
    since_restart: u64,
    restarts: u64,
    forgotten: usize,
    work: u64,
    relaxation: Option<LinearRelaxation>,
    /// Rows that are the model's own, or the objective's; after them come sums
    /// of rows.
    own: usize,
    relaxation_stats: RelaxationStats,
    /// By column: its weight in the sum that is being made.
    scratch: Vec<i128>,
    /// The bounds moved since the relaxation was solved.
    stale: bool,
}

impl ConflictSearch {
    /// `wish`: by column, the value to try first.
    pub fn new(model: &IntegerModel, phase: Vec<i64>) -> Self {
        let columns = model.low.len();
        let trail = Trail::new(&model.low, &model.high);
        let rows = Rows::new(model, &trail);
        let mut search = ConflictSearch {
            columns,
            objective: model.objective.clone(),
            cut: None,
            clauses: Clauses::new(2 * columns),
            // What is in many rows settles much.
            order: ActivityOrder::new(
                (0..columns)
                    .map(|c| rows.of_side[2 * c].len() + rows.of_side[2 * c + 1].len())
                    .map(|n| n as f64 * 1e-3)
                    .collect(),
            ),
            analysis: Analysis::new(2 * columns),
            first_phase: phase.clone(),
            furthest_phase: phase.clone(),
            far: 0,
            phase,
            head: 0,
            queue: (0..rows.rows.len() as u32).collect(),
            queued: vec![true; rows.rows.len()],
            out: Vec::new(),
            refuted: model.low.iter().zip(&model.high).any(|(l, h)| l > h),
            conflicts: 0,
            since_restart: 0,
            restarts: 0,
            forgotten: 0,
            work: 0,
            relaxation: LinearRelaxation::new(model),
            own: rows.rows.len(),
            relaxation_stats: RelaxationStats::default(),
            scratch: vec![0; columns],
            stale: true,
            trail,
            rows,
        };
        search.queue_all();
        search
    }

    fn queue_all(&mut self) {
        let n = self.rows.rows.len();
        self.queued = vec![true; n];
        self.queue = (0..n as u32).collect();
    }

    /// Work so far, in terms and literals looked at.
    pub fn work(&self) -> u64 {
        self.work + self.analysis.work + self.relaxation_work()
    }
    fn relaxation_work(&self) -> u64 {
        self.relaxation.as_ref().map_or(0, |r| r.work() / ENTRIES)
    }
    /// Counts work and conflicts of a search that this one goes on from.
    pub fn count(&mut self, (work, conflicts): (u64, u64)) {
        self.work += work;
        self.conflicts += conflicts;
    }
    pub fn conflicts(&self) -> u64 {
        self.conflicts
    }
    /// Of the relaxation, since this search began.
    pub fn relaxation_stats(&self) -> RelaxationStats {
        self.relaxation_stats
    }

    /// From now on the objective, in grains, is at most this.
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

    /// The trail is at the root.
    fn forget_sums(&mut self) {
        self.rows.truncate(self.own);
        self.queued.truncate(self.own);
        self.queue.retain(|r| (*r as usize) < self.own);
    }

    /// Excludes a point of some columns.
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

    /// Prefers these values.
    pub fn set_phases(&mut self, values: impl Iterator<Item = (usize, i64)>) {
        values.for_each(|(c, v)| (self.phase[c], self.first_phase[c]) = (v, v));
    }

    /// Goes on until a point, a refutation, or until `work` more is done. `stop`
    /// is asked now and then, with the work so far.
    pub fn run(&mut self, work: u64, stop: &dyn Fn(u64) -> bool) -> Verdict {
        let end = self.work().saturating_add(work);
        let mut until_look = 64;
        while !self.refuted {
            if let Err(conflict) = self.propagate_and_relax() {
                self.learn(&conflict);
                until_look -= 1;
                if self.work() >= end || (until_look == 0 && stop(self.work())) {
                    return Verdict::OutOfWork;
                }
                if until_look == 0 {
                    until_look = 64;
                }
                continue;
            }
            if self.since_restart >= RESTART * luby(self.restarts + 1) {
                self.restarts += 1;
                self.since_restart = 0;
                self.backjump(0);
                // Now and then from elsewhere: near the best that was seen, or
                // from where it began.
                match self.restarts % 8 {
                    3 => self.phase.clone_from(&self.furthest_phase),
                    7 => self.phase.clone_from(&self.first_phase),
                    _ => {}
                }
                if self.restarts.is_multiple_of(16) {
                    self.far = 0;
                }
                if self.rows.rows.len() > self.own + KEPT_SUMS {
                    self.forget_sums();
                }
                if self.clauses.live > KEPT + KEPT_MORE * self.forgotten {
                    self.forgotten += 1;
                    // At the root no clause is anything's reason any more.
                    self.clauses.forget(|_| false);
                }
            }
            if self.work() >= end {
                return Verdict::OutOfWork;
            }
            if !self.decide() {
                let point = (0..self.columns).map(|c| self.trail.bound[2 * c]).collect();
                return Verdict::Point(point);
            }
        }
        Verdict::Refuted
    }

    /// False if every column has its value.
    fn decide(&mut self) -> bool {
        loop {
            let Some(c) = self.order.pop() else { return false };
            let (low, high) = (2 * c, 2 * c + 1);
            if self.trail.range(low) == 0 {
                continue;
            }
            let (least, most) = (self.trail.bound[low as usize], -self.trail.bound[high as usize]);
            let value = self.phase[c as usize].clamp(least, most);
            let lit = if value < most { Lit::new(high, -value) } else { Lit::new(low, value) };
            if value < most && value > least {
                // Its other end is still to be decided.
                self.order.insert(c);
            }
            self.trail.push_level();
            self.raise(lit, Reason::Decision);
            return true;
        }
    }

    fn raise(&mut self, lit: Lit, reason: Reason) {
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

    /// The same, and the relaxation as long as it is no more work than the rest.
    fn propagate_and_relax(&mut self) -> Result<(), Vec<Lit>> {
        loop {
            self.propagate()?;
            let rest = self.work + self.analysis.work;
            // Where it seldom says anything, it is asked less often.
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
            // Between some restarts, towards the relaxation's point.
            if self.restarts % 4 == 1 {
                for (c, value) in relaxation.rounded().enumerate() {
                    if self.trail.range(2 * c as u32) > 0 {
                        self.phase[c] = value;
                    }
                }
            }
        }
    }

    /// Clauses and rows narrow until nothing moves; else what cannot all hold.
    fn propagate(&mut self) -> Result<(), Vec<Lit>> {
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

    fn learn(&mut self, conflict: &[Lit]) {
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

    fn backjump(&mut self, level: u32) {
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

/// 1 1 2 1 1 2 4 1 1 2 … (Luby, Sinclair and Zuckerman 1993).
fn luby(k: u64) -> u64 {
    let mut k = k;
    loop {
        let bits = 64 - k.leading_zeros();
        if k == (1 << bits) - 1 {
            return 1 << (bits - 1);
        }
        k -= (1 << (bits - 1)) - 1;
    }
}
