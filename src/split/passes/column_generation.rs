//! Column generation within a pass: its bound and the plans that it finds.

use super::values::{better, objective};
use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::column_generation::{self, Report, Task};
use crate::load::{GoalKind, GoalValue};
use crate::local_search::{self, Budget, Target};
use crate::pins::Pins;
use crate::program::{Program, bound_value};
use std::time::Duration;

/// Tries of the local search on a plan made of whole loads, which seldom lacks
/// much.
const TRIES: u64 = 4_000;

impl Passes<'_, '_> {
    /// Whether column generation applies to the goal and to a move of this
    /// size.
    pub(super) fn decomposes(&mut self, kind: GoalKind) -> bool {
        let facts = self.facts;
        let ours = matches!(kind, GoalKind::Wants | GoalKind::Even);
        let teams = &self.coarse;
        // Whole loads are priced by the catalogue's weights.
        ours && !facts.uncertain()
            && *self.decomposable.get_or_insert_with(|| column_generation::applies(facts, teams))
    }

    /// Decomposes the goal where that applies, and takes the bound.
    pub(super) fn decompose(
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
            program.set_objective(kind);
        }
        let mut report = Report::default();
        let (clock, gap, seed) = (self.clock.within(time), self.asked_gap(), self.options.seed);
        let value = best.value(kind);
        let mut try_plan = |targets: &[Target]| {
            self.try_targets(kind, pins, targets);
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
                column_generation::even(&mut task, low, s, &mut report).map(GoalValue::Share)
            }
            (GoalKind::Even, ..) => None,
            _ => column_generation::goal(&mut task, &mut report)
                .map(|b| bound_value(facts, kind, b, false)),
        };
        self.tighten(kind, bound, found);
        let took = self.clock.elapsed().saturating_sub(from);
        self.note("decomposition", kind, report.notes.join("; "), took);
    }

    /// Builds a plan from target counts, repairs it, and offers it as
    /// incumbent.
    fn try_targets(&mut self, kind: GoalKind, pins: &Pins, targets: &[Target]) {
        let mut state = local_search::State::new(self.facts, pins.clone());
        local_search::build(&mut state, targets, &self.clock);
        let target = f64::NEG_INFINITY;
        let budget = Budget { tries: TRIES, target, seed: self.options.seed };
        local_search::iterated_search(&mut state, kind, &budget, &self.clock);
        let plan = local_search::write(&state);
        let findings = audit(self.facts.order, &plan);
        if findings.faults.is_empty() {
            let found = Incumbent { plan, findings };
            let value = found.value(kind);
            if self.best.as_ref().is_none_or(|b| better(value, b.value(kind))) {
                self.offer(found, kind, pins);
            }
        }
    }
}
