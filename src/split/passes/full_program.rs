//! The full program, every carrier for itself: with the counts of each party
//! fixed for a better plan, with nothing fixed for the proof.

use super::counts::counts_of;
use super::memory::Infeasible;
use super::program_size::{MOST_COLUMNS, full_columns};
use super::solving::SolveLimits;
use super::values::objective;
use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::backend;
use crate::load::{GoalKind, GoalValue};
use crate::local_search::Target;
use crate::pins::Pins;
use crate::program::{Program, bound_value, singles};
use std::time::Duration;

/// Node limit of a program whose counts are fixed: enough for most of them.
const FIXED_COUNTS_NODES: u64 = 400;

impl<'f, 'o> Passes<'f, 'o> {
    /// The full program with the counts of each party fixed at the incumbent's,
    /// or at `targets`: often a better plan, seldom the proof.
    pub(super) fn full_with_fixed_counts(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        targets: Option<&[Target]>,
    ) {
        if self.large || full_columns(self.facts) > MOST_COLUMNS {
            return;
        }
        let mut program = Program::new(self.facts, singles(self.facts));
        program.pin(pins);
        program.set_objective(kind);
        let known = match (&self.best, targets) {
            (_, Some(targets)) => {
                program.fix_counts(&counts_of(self.facts, targets));
                None
            }
            (Some(best), None) => {
                let counts = self.counts_of_plan(&best.plan);
                program.fix_counts(&counts);
                Some(best.value(kind))
            }
            (None, None) => return,
        };
        let time = self.clock.left().mul_f64(0.3);
        let limits = SolveLimits { gap: self.gap(kind), nodes: FIXED_COUNTS_NODES, time };
        let solved = self.solve("settled counts", kind, &program, known, limits);
        if let Some(values) = solved.values {
            self.take(&program, &values, kind, pins);
        }
    }

    /// The full program by branch and bound, with a node limit. Gives the
    /// bound.
    pub(super) fn full(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        nodes: u64,
        time: Duration,
    ) -> Result<Option<GoalValue>, Infeasible> {
        let limits = SolveLimits { gap: self.gap(kind), nodes, time };
        let Some((program, known)) = self.full_program(kind, pins, bound) else {
            return Ok(bound);
        };
        let solved = self.solve("full program", kind, &program, known, limits);
        self.absorb(&program, known, solved, kind, pins, bound)
    }

    /// The full program with pins and objective, and the incumbent's value;
    /// nothing if it is too large or no time is left.
    pub(super) fn full_program(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
    ) -> Option<(Program<'f, 'o>, Option<GoalValue>)> {
        if self.clock.over() {
            self.cut_short = true;
            return None;
        }
        if self.large || full_columns(self.facts) > MOST_COLUMNS {
            self.note("full program", kind, "too large to try".into(), Duration::ZERO);
            return None;
        }
        let mut program = Program::new(self.facts, singles(self.facts));
        program.pin(pins);
        program.set_objective(kind);
        if let Some(bound) = bound {
            program.bound_below(bound);
        }
        Some((program, self.best.as_ref().map(|b| b.value(kind))))
    }

    /// Takes a solver's point and bound of the full program; gives the bound.
    /// `known` is the incumbent's value that the solver was given as cutoff.
    pub(super) fn absorb(
        &mut self,
        program: &Program,
        known: Option<GoalValue>,
        solved: backend::Solved,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
    ) -> Result<Option<GoalValue>, Infeasible> {
        self.cut_short |= solved.cut_short;
        if solved.infeasible {
            // The incumbent satisfies the pins, so only rounding can make this
            // infeasible.
            return if self.best.is_none() { Err(Infeasible) } else { Ok(bound) };
        }
        // Only the solver's bound counts, even where its point is optimal: the
        // audit may give that point a worse value than the solver did.
        let bounded = solved.bound.or(known.filter(|_| solved.best).map(objective));
        let proven = bounded.map(|b| bound_value(self.facts, kind, b, self.on_grid(kind)));
        if let Some(values) = &solved.values {
            self.take(program, values, kind, pins);
        }
        let mut bound = bound;
        self.tighten(kind, &mut bound, proven);
        Ok(bound)
    }

    /// Audits the plan of a point and offers it as incumbent.
    fn take(&mut self, program: &Program, values: &[f64], kind: GoalKind, pins: &Pins) {
        let plan = program.plan(values);
        let findings = audit(self.facts.order, &plan);
        if findings.faults.is_empty() {
            self.offer(Incumbent { plan, findings }, kind, pins);
        }
    }
}
