//! Relaxations of the move: programs over lumps of carriers, or over counts
//! alone. Each gives a bound, and counts for the local search to start from.

use super::Passes;
use super::counts::{targets, totals};
use super::memory::{Infeasible, Relaxation};
use super::solving::SolveLimits;
use crate::load::GoalKind;
use crate::pins::Pins;
use crate::program::{Program, Team, bound_value};
use std::time::Duration;

/// Node limit of a relaxation, times its columns.
const RELAXATION_WORK: u64 = 300_000;

/// Node limit for first counts, which need not be good: the bound comes later.
const FIRST_NODES: u64 = 40;
/// The same times the columns: a small program is solved quickly.
const FIRST_WORK: u64 = 20_000;

impl<'f, 'o> Passes<'f, 'o> {
    /// Solves a relaxation, over lumps of carriers or over counts alone: a
    /// bound, and counts to start from. The same question is answered from
    /// memory.
    pub(super) fn solve_relaxation(
        &mut self,
        name: &'static str,
        teams: &[Team],
        kind: GoalKind,
        pins: &Pins,
        time: Duration,
    ) -> Result<Relaxation, Infeasible> {
        if let Some(counts) = self.remembered(name, kind, pins) {
            return Ok(counts.clone());
        }
        let mut program = self.relaxed_program(name, teams);
        program.pin(pins);
        program.set_objective(kind);
        // The last part of a lump's gap says little of plans, but its bound
        // does.
        let gap = self.gap(kind) / 5.0;
        // What is left of the gap after this many nodes seldom closes.
        let columns = program.model.columns.len().max(1) as u64;
        let nodes = (RELAXATION_WORK / columns).clamp(30, 1_000);
        let first = self.best.is_none();
        let nodes = if first { nodes.min((FIRST_WORK / columns).max(FIRST_NODES)) } else { nodes };
        let solved = self.solve(name, kind, &program, None, SolveLimits { gap, nodes, time });
        if solved.infeasible {
            return Err(Infeasible);
        }
        let facts = self.facts;
        let value = |v: &Vec<f64>| bound_value(facts, kind, program.model.objective.value(v), true);
        let exact = self.on_grid(kind);
        // Without an integer point, the linear relaxation's counts, rounded,
        // are a start to repair.
        let point = solved.values.as_ref().or(solved.relaxed.as_ref());
        let counts = Relaxation {
            targets: point.filter(|_| !program.counts_only).map(|v| targets(&program, v)),
            totals: point.filter(|_| program.counts_only).map(|v| totals(&program, v)),
            relaxed: solved.relaxed.as_ref().map(|v| program.parts(v)).unwrap_or_default(),
            reached: solved.values.as_ref().map(value),
            bound: solved.bound.map(|b| bound_value(facts, kind, b, exact)),
        };
        if solved.best || !solved.cut_short && !first {
            self.memory.push((name, kind, pins.clone(), counts.clone()));
        }
        Ok(counts)
    }

    /// The relaxation of the size that suits this move, without an objective.
    pub(super) fn relaxed_program(&self, name: &str, teams: &[Team]) -> Program<'f, 'o> {
        if self.counts_only && name == "coarse program" {
            return Program::counts_only(self.facts);
        }
        Program::new(self.facts, teams.to_vec())
    }

    /// The result of a relaxation that was solved to the end before.
    pub(super) fn remembered(
        &self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
    ) -> Option<&Relaxation> {
        let same = |n: &str, k: GoalKind, p: &Pins| n == name && k == kind && p == pins;
        self.memory.iter().find(|(n, k, p, _)| same(n, *k, p)).map(|(.., counts)| counts)
    }
}
