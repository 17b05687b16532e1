//! The conflict-driven search within a pass: it looks for a plan better than
//! the best one, and shows that there is none where it has none left to look
//! for.
//!
//! Why what it refutes is a bound: its model has the full program's rows in
//! whole numbers, some left out perhaps, and one more row, "better than the
//! best plan by a step at least". Every plan that keeps the pins is a point of
//! the program but for symmetry, so without a point there is no better plan. A
//! point that is no plan, because a row was left out, is excluded by itself.

use super::size::{MOST_LEARNED, full_columns};
use super::solves::Infeasible;
use super::values::objective;
use super::{Best, Passes};
use crate::load::{GoalKind, GoalValue};
use crate::split::audit::audit;
use crate::split::learning::{Exactness, Search, Verdict, WholeModel};
use crate::split::pins::Pins;
use crate::split::program::{Program, singles, step};
use std::time::Duration;

/// A search with all that it has learned, for when its turn comes again.
pub(super) struct Kept<'f, 'o> {
    kind: GoalKind,
    pins: Pins,
    program: Program<'f, 'o>,
    whole: WholeModel,
    search: Search,
    /// The columns that make a plan.
    counts: Vec<usize>,
    /// The value that every point must be better than.
    beaten: Option<GoalValue>,
}

impl<'f, 'o> Passes<'f, 'o> {
    /// Goes on with the conflict-driven search for a goal, for so much work;
    /// gives the bound.
    pub(super) fn learned(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        work: u64,
    ) -> Result<Option<GoalValue>, Infeasible> {
        if self.clock.over() {
            self.cut_short = true;
            return Ok(bound);
        }
        if self.large || full_columns(self.facts) > MOST_LEARNED {
            return Ok(bound);
        }
        let from = self.clock.elapsed();
        self.stage = "conflict search";
        let Some(mut kept) = self.kept(kind, pins) else { return Ok(bound) };
        let before = (kept.search.work(), kept.search.conflicts());
        let end = before.0.saturating_add(work);
        let mut bound = bound;
        let word = loop {
            if self.best.is_some() && self.near(kind, bound) {
                break "near enough";
            }
            if let Some(word) = self.beat(&mut kept, kind, pins) {
                break word;
            }
            let left = end.saturating_sub(kept.search.work());
            let clock = self.clock.clone();
            match kept.search.run(left, &|| clock.over()) {
                Verdict::OutOfWork => {
                    self.cut_short |= self.clock.over();
                    break "no end yet";
                }
                Verdict::Refuted => {
                    let Some(best) = &self.best else {
                        self.note_learned(kind, &kept, before, "no point exists", from);
                        return Err(Infeasible);
                    };
                    let value = best.value(kind);
                    self.tighten(kind, &mut bound, Some(value));
                    break "nothing better exists";
                }
                Verdict::Point(point) => self.point(&mut kept, &point, kind, pins),
            }
        };
        self.note_learned(kind, &kept, before, word, from);
        self.learned.push(kept);
        Ok(bound)
    }

    fn note_learned(
        &mut self,
        kind: GoalKind,
        kept: &Kept,
        before: (u64, u64),
        word: &str,
        from: Duration,
    ) {
        let conflicts = kept.search.conflicts() - before.1;
        let work = (kept.search.work() - before.0) / 1_000;
        let (columns, rows) = (kept.whole.low.len(), kept.whole.rows.len());
        let note = format!(
            "{word}; {conflicts} conflicts, {work} thousand steps, {columns} columns, {rows} rows"
        );
        self.note("conflict search", kind, note, self.clock.elapsed().saturating_sub(from));
    }

    /// The search of an earlier turn, or a new one.
    fn kept(&mut self, kind: GoalKind, pins: &Pins) -> Option<Kept<'f, 'o>> {
        let same = |k: &Kept| k.kind == kind && k.pins == *pins;
        if let Some(at) = self.learned.iter().position(same) {
            return Some(self.learned.swap_remove(at));
        }
        // Of other pins it is of no use any more.
        self.learned.retain(|k| k.kind != kind);
        let mut kept = self.new_search(kind, pins, None)?;
        self.wish(&mut kept);
        Some(kept)
    }

    /// `below`: a share that every plan must stay under.
    fn new_search(
        &self,
        kind: GoalKind,
        pins: &Pins,
        below: Option<GoalValue>,
    ) -> Option<Kept<'f, 'o>> {
        let mut program = Program::new(self.facts, singles(self.facts));
        program.pin(pins);
        if let Some(GoalValue::Share(share)) = below {
            program.pin(&Pins::under(self.facts, share));
        }
        if kind != GoalKind::Even {
            program.aim(kind);
        }
        let (whole, exactness) = WholeModel::of(&program.model)?;
        if exactness == Exactness::NoObjective && kind != GoalKind::Even {
            return None;
        }
        let alone = program.alone.iter().map(|a| a.col);
        let counts: Vec<usize> = alone.chain(program.between.iter().map(|b| b.col)).collect();
        let search = Search::new(&whole, whole.low.clone());
        let (pins, beaten) = (pins.clone(), below);
        Some(Kept { kind, pins, program, whole, search, counts, beaten })
    }

    /// The best plan's counts are tried first, or what came nearest to a plan.
    fn wish(&self, kept: &mut Kept) {
        let plan = self.best.as_ref().map(|b| &b.plan).or(self.nearest.as_ref());
        if let Some(plan) = plan {
            let values = kept.program.start(plan);
            kept.search.wish(values.into_iter().map(|(c, v)| (c, v.round() as i64)));
        }
    }

    /// Asks for better than the best plan; a word if that cannot be asked.
    fn beat(&self, kept: &mut Kept<'f, 'o>, kind: GoalKind, pins: &Pins) -> Option<&'static str> {
        let best = self.best.as_ref()?;
        let value = best.value(kind);
        if kept.beaten == Some(value) {
            return None;
        }
        if kind == GoalKind::Even {
            // Its rows hang on the share: what was learned goes with them.
            let work = kept.search.work();
            match self.new_search(kind, pins, Some(value)) {
                Some(new) => *kept = new,
                None => return Some("not to be asked in whole numbers"),
            }
            kept.search.count(work);
            self.wish(kept);
            return None;
        }
        let step = step(self.facts, kind);
        let grains = kept.whole.grains(objective(value) - step + 0.01 * step);
        kept.search.at_most(grains);
        kept.beaten = Some(value);
        self.wish(kept);
        None
    }

    /// Takes the plan of a point, or excludes the point if it is none.
    fn point(&mut self, kept: &mut Kept, point: &[i64], kind: GoalKind, pins: &Pins) {
        let plan = kept.program.plan(&kept.whole.values(point));
        let findings = audit(self.facts.order, &plan);
        let before = self.best.as_ref().map(|b| b.value(kind));
        if findings.faults.is_empty() {
            self.offer(Best { plan, findings }, kind, pins);
        }
        if self.best.as_ref().map(|b| b.value(kind)) == before {
            kept.search.forbid(point, &kept.counts);
        }
    }
}
