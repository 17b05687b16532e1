//! The conflict-driven search within a pass: it looks for a plan better than
//! the incumbent, and proves that there is none where nothing is left to
//! search.
//!
//! Why a refutation is a bound: its model has rows of the full program in whole
//! numbers, not necessarily all, and one more row, the cutoff, which asks for
//! better than the incumbent by a step at least. Every plan that keeps the pins
//! is a point of the program but for symmetry, so without a point every plan is
//! worse than the cutoff by a step. A point that is no plan, because a row was
//! left out, is excluded by itself.
//!
//! Where a gap is asked for, the cutoff is better by the gap: refuted far
//! sooner than the last step, and met as well where there is more to gain.

use super::memory::{Infeasible, KeptSearch};
use super::program_size::{MOST_CONFLICT_COLUMNS, full_columns};
use super::values::{better, objective};
use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::conflict_search::{ConflictSearch, IntegerModel, RelaxationStats, Verdict};
use crate::load::{GoalKind, GoalValue, Share};
use crate::pins::Pins;
use crate::program::{Program, singles, step};
use crate::quantity::Mass;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// The cutoff's part of the gap that is asked for.
const PART_OF_GAP: f64 = 0.95;

/// The limits of one turn.
pub(super) struct Allowance<'a> {
    /// Work.
    pub work: u64,
    /// Whether the cutoff is better by the gap or by one step.
    pub by_gap: bool,
    /// Work after which it is not needed any more, set by the solver beside it
    /// once that has settled the goal.
    pub until: &'a AtomicU64,
}

impl<'f, 'o> Passes<'f, 'o> {
    /// Goes on with the conflict-driven search for a goal up to a work limit;
    /// gives the bound.
    pub(super) fn conflict_search(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        allowed: &Allowance,
    ) -> Result<Option<GoalValue>, Infeasible> {
        if self.clock.over() {
            self.cut_short = true;
            return Ok(bound);
        }
        if self.large || full_columns(self.facts) > MOST_CONFLICT_COLUMNS {
            return Ok(bound);
        }
        let from = self.clock.elapsed();
        self.stage = "conflict search";
        let Some(mut kept) = self.kept(kind, pins) else { return Ok(bound) };
        let before = (kept.search.work(), kept.search.conflicts());
        let end = before.0.saturating_add(allowed.work);
        let mut bound = bound;
        let word = loop {
            if self.best.is_some() && self.near(kind, bound) {
                break "near enough";
            }
            if let Some(word) = self.ask_for_better(&mut kept, kind, pins, allowed.by_gap) {
                break word;
            }
            let left = end.saturating_sub(kept.search.work());
            let clock = self.clock.clone();
            let late = |work: u64| work - before.0 >= allowed.until.load(Ordering::Relaxed);
            match kept.search.run(left, &|work| clock.over() || late(work)) {
                Verdict::OutOfWork => {
                    self.cut_short |= self.clock.over();
                    break if late(kept.search.work()) {
                        "settled beside it"
                    } else {
                        "no end yet"
                    };
                }
                Verdict::Refuted => {
                    let Some((asked, _)) = kept.asked else {
                        self.note_conflict_search(kind, &kept, before, "no point exists", from);
                        return Err(Infeasible);
                    };
                    let above = self.above(asked, kind);
                    self.tighten(kind, &mut bound, Some(above));
                    break "no better exists, by what was asked for";
                }
                Verdict::Point(point) => self.take_point(&mut kept, &point, kind, pins),
            }
        };
        self.note_conflict_search(kind, &kept, before, word, from);
        self.conflict_work = kept.search.work() - before.0;
        self.kept_searches.push(kept);
        Ok(bound)
    }

    fn note_conflict_search(
        &mut self,
        kind: GoalKind,
        kept: &KeptSearch,
        before: (u64, u64),
        word: &str,
        from: Duration,
    ) {
        let conflicts = kept.search.conflicts() - before.1;
        let work = (kept.search.work() - before.0) / 1_000;
        let (columns, rows) = (kept.whole.low.len(), kept.whole.rows.len());
        let RelaxationStats { solves, broken, narrowing } = kept.search.relaxation_stats();
        let note = format!(
            "{word}; {conflicts} conflicts, {work} thousand steps, {columns} columns, {rows} rows; \
             {solves} relaxations so far, {broken} refuted, {narrowing} narrowed"
        );
        self.note("conflict search", kind, note, self.clock.elapsed().saturating_sub(from));
    }

    /// The search of an earlier turn, or a new one.
    fn kept(&mut self, kind: GoalKind, pins: &Pins) -> Option<KeptSearch<'f, 'o>> {
        let same = |k: &KeptSearch| k.kind == kind && k.pins == *pins;
        if let Some(at) = self.kept_searches.iter().position(same) {
            return Some(self.kept_searches.swap_remove(at));
        }
        // Clauses learned under other pins are not valid here.
        self.kept_searches.retain(|k| k.kind != kind);
        let mut kept = self.new_search(kind, pins, None)?;
        self.set_phases(&mut kept);
        Some(kept)
    }

    /// `most`: a share that no carrier may exceed.
    fn new_search(
        &self,
        kind: GoalKind,
        pins: &Pins,
        most: Option<Share>,
    ) -> Option<KeptSearch<'f, 'o>> {
        let mut program = Program::new(self.facts, singles(self.facts));
        program.pin(pins);
        if let Some(share) = most {
            program.pin(&Pins::at_share(self.facts, share));
        }
        if kind != GoalKind::Even {
            program.set_objective(kind);
        }
        let whole = IntegerModel::of(&program.model)?;
        if !whole.has_objective() && kind != GoalKind::Even {
            return None;
        }
        let alone = program.alone.iter().map(|a| a.col);
        let counts: Vec<usize> = alone.chain(program.between.iter().map(|b| b.col)).collect();
        let search = ConflictSearch::new(&whole, whole.low.clone());
        let pins = pins.clone();
        Some(KeptSearch { kind, pins, program, whole, search, counts, asked: None })
    }

    /// Phases: the incumbent's values are tried first, or those of what came
    /// nearest to a plan.
    fn set_phases(&self, kept: &mut KeptSearch) {
        let plan = self.best.as_ref().map(|b| &b.plan).or(self.nearest.as_ref());
        if let Some(plan) = plan {
            let values = kept.program.start(plan);
            kept.search.set_phases(values.into_iter().map(|(c, v)| (c, v.round() as i64)));
        }
    }

    /// Sets the cutoff below the incumbent; a word for the statistics if that
    /// cannot be done.
    fn ask_for_better(
        &self,
        kept: &mut KeptSearch<'f, 'o>,
        kind: GoalKind,
        pins: &Pins,
        by_gap: bool,
    ) -> Option<&'static str> {
        let best = self.best.as_ref()?;
        let value = best.value(kind);
        let asked = self.better_by(value, kind, by_gap);
        match kept.asked {
            Some((_, after)) if after == value => return None,
            // The cutoff before was stricter still, and keeps.
            Some((before, _)) if !better(asked, before) => {
                kept.asked = Some((before, value));
                return None;
            }
            _ => {}
        }
        if let GoalValue::Share(share) = asked {
            // Its rows depend on the share: the learned clauses go with them.
            let done = (kept.search.work(), kept.search.conflicts());
            match self.new_search(kind, pins, Some(share)) {
                Some(new) => *kept = new,
                None => return Some("not to be asked in whole numbers"),
            }
            kept.search.count(done);
        } else {
            let step = step(self.facts, kind);
            kept.search.set_cutoff(kept.whole.grains(objective(asked) + 0.01 * step));
        }
        kept.asked = Some((asked, value));
        self.set_phases(kept);
        None
    }

    /// The cutoff for an incumbent of `value`: a step better, or, of masses and
    /// shares, better by the gap.
    fn better_by(&self, value: GoalValue, kind: GoalKind, by_gap: bool) -> GoalValue {
        let gap = if by_gap { self.asked_gap() * PART_OF_GAP } else { 0.0 };
        let part = |mg: u64| (mg as f64 * gap) as u64;
        let step = step(self.facts, kind);
        match value {
            GoalValue::Points(v) => GoalValue::Points(v.saturating_add(step as u64)),
            GoalValue::Count(v) => GoalValue::Count(v.saturating_sub(1)),
            GoalValue::Mass(m) => {
                let less = part(m.mg()).max((step * 1e6).round() as u64);
                GoalValue::Mass(Mass::from_mg(m.mg().saturating_sub(less)))
            }
            GoalValue::Share(s) => {
                let less = part(s.load.mg()).max(1);
                let load = Mass::from_mg(s.load.mg().saturating_sub(less));
                GoalValue::Share(Share { load, limit: s.limit })
            }
        }
    }

    /// The bound on all plans where none reaches `asked`.
    fn above(&self, asked: GoalValue, kind: GoalKind) -> GoalValue {
        let step = step(self.facts, kind);
        match asked {
            GoalValue::Points(v) => GoalValue::Points(v.saturating_sub(step as u64)),
            GoalValue::Count(v) => GoalValue::Count(v + 1),
            GoalValue::Mass(m) => {
                let step = ((step * 1e6).round() as u64).max(1);
                GoalValue::Mass(Mass::from_mg((m.mg() / step + 1) * step))
            }
            // Some carrier's load is a milligram more than the share allows it.
            GoalValue::Share(share) => {
                let caps = Pins::at_share(self.facts, share).even.unwrap_or_default();
                let even = self.facts.carriers.iter().zip(caps).filter(|(f, _)| f.even);
                let next = even.map(|(f, cap)| Share {
                    load: Mass::from_mg(cap.saturating_add(1)),
                    limit: Mass::from_mg(f.limit),
                });
                GoalValue::Share(next.min().unwrap_or(share))
            }
        }
    }

    /// Offers the plan of a point, or excludes the point if it is none.
    fn take_point(&mut self, kept: &mut KeptSearch, point: &[i64], kind: GoalKind, pins: &Pins) {
        let plan = kept.program.plan(&kept.whole.values(point));
        let findings = audit(self.facts.order, &plan);
        let before = self.best.as_ref().map(|b| b.value(kind));
        if findings.faults.is_empty() {
            self.offer(Incumbent { plan, findings }, kind, pins);
        }
        if self.best.as_ref().map(|b| b.value(kind)) == before {
            kept.search.forbid(point, &kept.counts);
        }
    }
}
