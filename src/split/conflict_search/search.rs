//! The search: decide, propagate, learn, restart.

use super::activity::ActivityOrder;
use super::analysis::Analysis;
use super::clauses::Clauses;
use super::integer_model::IntegerModel;
use super::relaxation::{LinearRelaxation, RelaxationStats};
use super::rows::Rows;
use super::trail::{Lit, Reason, Trail};

/// The result of a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// A point that keeps every row.
    Point(Vec<i64>),
    /// No point exists.
    Refuted,
    /// The work limit was reached.
    OutOfWork,
}

/// Conflicts before the first restart; the others follow Luby's sequence.
const RESTART: u64 = 128;
/// Learned clauses kept before the first reduction, and how many more each time
/// after.
const KEPT: usize = 3_000;
const KEPT_MORE: usize = 500;
/// Aggregated rows kept before all are forgotten.
const KEPT_SUMS: usize = 100;
/// A search that can go on where it stopped, with all its learned clauses.
pub(crate) struct ConflictSearch {
    pub(super) columns: usize,
    pub(super) objective: Vec<(usize, i64)>,
    /// The cutoff row.
    pub(super) cut: Option<u32>,
    pub(super) trail: Trail,
    pub(super) rows: Rows,
    pub(super) clauses: Clauses,
    pub(super) order: ActivityOrder,
    pub(super) analysis: Analysis,
    /// Saved phases: by column, the value to try first.
    pub(super) phase: Vec<i64>,
    /// The phases as they were set, and as they were when most columns had
    /// their values without a conflict.
    pub(super) first_phase: Vec<i64>,
    pub(super) furthest_phase: Vec<i64>,
    pub(super) far: usize,
    pub(super) head: usize,
    pub(super) queue: Vec<u32>,
    pub(super) queued: Vec<bool>,
    pub(super) out: Vec<Lit>,
    pub(super) refuted: bool,
    pub(super) conflicts: u64,
    pub(super) since_restart: u64,
    pub(super) restarts: u64,
    pub(super) forgotten: usize,
    pub(super) work: u64,
    pub(super) relaxation: Option<LinearRelaxation>,
    /// Rows that are the model's own, or the cutoff; after them come aggregated
    /// rows.
    pub(super) own: usize,
    pub(super) relaxation_stats: RelaxationStats,
    /// By column: its weight in the row that is being aggregated.
    pub(super) scratch: Vec<i128>,
    /// The bounds moved since the relaxation was solved.
    pub(super) stale: bool,
}

impl ConflictSearch {
    /// `phase`: by column, the value to try first.
    pub fn new(model: &IntegerModel, phase: Vec<i64>) -> Self {
        let columns = model.low.len();
        let trail = Trail::new(&model.low, &model.high);
        let rows = Rows::new(model, &trail);
        let mut search = ConflictSearch {
            columns,
            objective: model.objective.clone(),
            cut: None,
            clauses: Clauses::new(2 * columns),
            // Columns in many rows come first.
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

    pub(super) fn queue_all(&mut self) {
        let n = self.rows.rows.len();
        self.queued = vec![true; n];
        self.queue = (0..n as u32).collect();
    }

    /// Goes on until a point, a refutation, or until `work` more is done.
    /// `stop` is asked now and then, with the work so far.
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
                // Rephasing at some restarts: to the furthest phases, or to
                // those that were set.
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
                    // At the root no clause is a reason any more.
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
                // Its other bound is still to be decided.
                self.order.insert(c);
            }
            self.trail.push_level();
            self.raise(lit, Reason::Decision);
            return true;
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
