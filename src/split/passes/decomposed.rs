//! Decomposition within a pass: the bound and the plans that it finds.

use super::values::{better, objective};
use super::{Best, Passes};
use crate::audit::audit;
use crate::columns::{self, Report, Task};
use crate::load::{GoalKind, GoalValue};
use crate::pins::Pins;
use crate::program::{Program, bound_value};
use crate::search::{self, Budget, Wish};
use std::time::Duration;

/// Tries of the search on a plan from whole loads: those seldom lack much.
const TRIES: u64 = 4_000;

impl Passes<'_, '_> {
    /// Whether the goal is one that decomposition is for, and the move of a
    /// size for it.
    pub(super) fn decomposes(&mut self, kind: GoalKind) -> bool {
        let facts = self.facts;
        let ours = matches!(kind, GoalKind::Wants | GoalKind::Even);
        let teams = &self.coarse;
        // Whole loads are priced by the catalogue's weights.
        ours && !facts.uncertain() && *self.fits.get_or_insert_with(|| columns::fits(facts, teams))
    }

    /// Decomposes the goal where that fits, and takes the bound.
    pub(super) fn decomposed(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: &mut Option<GoalValue>,
        time: Duration,
    ) {
        let Some(best) = self.best.clone().filter(|_| self.decomposes(kind)) else { return };
        let from = self.clock.elapsed();
        self.stage = "decomposition";
        let facts = self.facts;
        let mut program = Program::new(facts, self.coarse.clone());
        program.pin(pins);
        if kind != GoalKind::Even {
            program.aim(kind);
        }
        let mut report = Report::default();
        let (clock, gap, seed) = (self.clock.within(time), self.asked_gap(), self.options.seed);
        let value = best.value(kind);
        let mut try_plan = |wishes: &[Wish]| {
            self.try_wishes(kind, pins, wishes);
            self.best.as_ref().map(|b| (b.plan.clone(), objective(b.value(kind))))
        };
        let mut task = Task {
            program: &program,
            kind,
            pins,
            plan: best.plan.clone(),
            known: objective(value),
            low: bound.map_or(f64::NEG_INFINITY, objective),
            gap,
            seed,
            clock: &clock,
            try_plan: &mut try_plan,
        };
        let found = match (kind, value, *bound) {
            (GoalKind::Even, GoalValue::Share(s), Some(GoalValue::Share(low))) => {
                columns::even(&mut task, low, s, &mut report).map(GoalValue::Share)
            }
            (GoalKind::Even, ..) => None,
            _ => columns::goal(&mut task, &mut report).map(|b| bound_value(facts, kind, b, false)),
        };
        self.tighten(kind, bound, found);
        let took = self.clock.elapsed().saturating_sub(from);
        self.note("decomposition", kind, report.notes.join("; "), took);
    }

    /// Builds a plan from wishes, mends it, and offers it.
    fn try_wishes(&mut self, kind: GoalKind, pins: &Pins, wishes: &[Wish]) {
        let mut state = search::State::new(self.facts, pins.clone());
        search::build(&mut state, wishes, &self.clock);
        let target = f64::NEG_INFINITY;
        let budget = Budget { tries: TRIES, target, seed: self.options.seed };
        search::improve(&mut state, kind, &budget, &self.clock);
        let plan = search::write(&state);
        let findings = audit(self.facts.order, &plan);
        if findings.faults.is_empty() {
            let found = Best { plan, findings };
            let value = found.value(kind);
            if self.best.as_ref().is_none_or(|b| better(value, b.value(kind))) {
                self.offer(found, kind, pins);
            }
        }
    }
}
