//! Handing a program with its objective to the solver.

use super::Passes;
use super::values::objective;
use crate::backend::{self, Ask};
use crate::load::{GoalKind, GoalValue};
use crate::program::{Program, step};
use std::time::Duration;

/// The limits of a solve: relative gap, nodes, time.
pub(super) struct SolveLimits {
    pub gap: f64,
    pub nodes: u64,
    pub time: Duration,
}

impl Passes<'_, '_> {
    /// Whether the solver's bounds are values that plans can have, up to
    /// rounding: our own branch and bound raises them to the objective grid.
    pub(super) fn on_grid(&self, kind: GoalKind) -> bool {
        !cfg!(feature = "highs") && step(self.facts, kind) > 0.0
    }

    /// The gap at which a goal's programs may stop. Proving the last part of a
    /// share is slow; the other goals count in whole steps.
    pub(super) fn gap(&self, kind: GoalKind) -> f64 {
        if kind == GoalKind::Even { self.asked_gap() } else { 0.0 }
    }

    /// Solves a program that has its objective. `known` is the incumbent's
    /// value, if the incumbent is a point of this program.
    pub(super) fn solve(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        program: &Program,
        known: Option<GoalValue>,
        limits: SolveLimits,
    ) -> backend::Solved {
        let from = self.clock.elapsed();
        self.stage = name;
        let ask = self.ask(kind, program, known, &limits);
        let solved = backend::solve(ask, &self.clock);
        let took = self.clock.elapsed().saturating_sub(from);
        self.note_solved(name, kind, program, &solved, took);
        solved
    }

    pub(super) fn ask(
        &self,
        kind: GoalKind,
        program: &Program,
        known: Option<GoalValue>,
        limits: &SolveLimits,
    ) -> Ask {
        let plan = self.best.as_ref().filter(|_| known.is_some()).map(|b| &b.plan);
        Ask {
            model: program.model.clone(),
            known: known.map(objective),
            start: plan.map(|p| program.start(p)).unwrap_or_default(),
            step: step(self.facts, kind),
            gap: limits.gap,
            nodes: limits.nodes,
            time: limits.time,
            interior_dive: program.counts_only && self.large,
        }
    }

    pub(super) fn note_solved(
        &mut self,
        name: &'static str,
        kind: GoalKind,
        program: &Program,
        solved: &backend::Solved,
        took: Duration,
    ) {
        self.nodes += solved.nodes;
        let word = match solved {
            s if s.infeasible => "no point exists",
            s if s.best && s.values.is_none() => "nothing better exists",
            s if s.best => "the best",
            s if s.values.is_some() => "a point",
            _ => "nothing better found",
        };
        let bound = solved.bound.map_or("unknown".into(), |b| format!("{b:.4}"));
        let cut = if solved.cut_short { ", stopped by the clock" } else { "" };
        let (columns, rows) = (program.model.columns.len(), program.model.rows.len());
        self.note(
            name,
            kind,
            format!(
                "{}: {word}, bound {bound}; {} nodes, {columns} columns, {rows} rows{cut}",
                backend::NAME,
                solved.nodes
            ),
            took,
        );
    }
}
