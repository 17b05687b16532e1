//! The programs that a pass solves, and what it takes from them.

use super::conflict_search::Allowance;
use super::counts::{counts_of, targets, totals};
use super::program_size::{MOST_COLUMNS, full_columns};
use super::values::objective;
use super::{Incumbent, Passes};
use crate::audit::audit;
use crate::backend::{self, Ask};
use crate::load::{GoalKind, GoalValue};
use crate::local_search::{self, Target};
use crate::pins::Pins;
use crate::program::{Program, Team, bound_value, singles, step};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::Duration;

/// No point satisfies the rows.
pub(super) struct Infeasible;

/// What a looser program came to.
#[derive(Clone)]
pub(super) struct Relaxation {
    /// The point's counts, or a relaxed point's rounded; none if there was
    /// neither in time.
    pub targets: Option<Vec<Target>>,
    /// Of a bare program: the relaxed point's counts, rounded.
    pub totals: Option<local_search::Counts>,
    /// How many of each item each party has in the relaxed point.
    pub relaxed: Vec<(usize, usize, f64)>,
    /// What the point is worth, by the looser program.
    pub reached: Option<GoalValue>,
    pub bound: Option<GoalValue>,
}

/// Nodes for a program whose counts are settled: enough for most, and the
/// same on every machine.
const FIXED_COUNTS_NODES: u64 = 400;

/// Nodes by columns for a looser program.
const RELAXATION_WORK: u64 = 300_000;

/// Nodes for first counts: any will do, and the bound has its turn later.
const FIRST_NODES: u64 = 40;
/// The same by columns: a small program is soon done with.
const FIRST_WORK: u64 = 20_000;

/// In the first round, at the end of a pass: nodes of the full program, and steps
/// of the conflict-driven search beside it at least.
const LAST_NODES: u64 = 1_500;
const LAST_WORK: u64 = 30_000_000;
/// The conflict-driven search counts before the tree where it has done no more than
/// so many times the tree's work.
const HEAD_START: u64 = 4;

/// How far a solve may go: to which relative gap, how many nodes, how long.
struct SolveLimits {
    gap: f64,
    nodes: u64,
    time: Duration,
}

impl<'f, 'o> Passes<'f, 'o> {
    /// A program over lumps of carriers: a bound, and counts to start from.
    /// The same question is answered from memory.
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
        program.aim(kind);
        // A lump's last digit is not the plan's, but its bound is.
        let gap = self.gap(kind) / 5.0;
        // A bound and counts if they come soon: what is left of the gap after
        // some nodes, seldom closes.
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
        // Without a point, the relaxation's counts are a start to mend.
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

    /// The looser program of a move of this size, without an aim.
    pub(super) fn relaxed_program(&self, name: &str, teams: &[Team]) -> Program<'f, 'o> {
        if self.counts_only && name == "coarse program" {
            return Program::counts_only(self.facts);
        }
        Program::new(self.facts, teams.to_vec())
    }

    /// What a looser program came to, if it was solved to the end.
    pub(super) fn remembered(
        &self,
        name: &'static str,
        kind: GoalKind,
        pins: &Pins,
    ) -> Option<&Relaxation> {
        let same = |n: &str, k: GoalKind, p: &Pins| n == name && k == kind && p == pins;
        self.memory.iter().find(|(n, k, p, _)| same(n, *k, p)).map(|(.., counts)| counts)
    }

    /// The full program with how many of each thing each party has held as in
    /// the best plan, or as wished: a plan at least as good, seldom the proof.
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
        program.aim(kind);
        let known = match (&self.best, targets) {
            (_, Some(targets)) => {
                program.settle(&counts_of(self.facts, targets));
                None
            }
            (Some(best), None) => {
                let counts = self.counts_of_plan(&best.plan);
                program.settle(&counts);
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

    /// The full program: every carrier for itself, in so many nodes at most.
    /// Gives the bound.
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

    /// The full program in the tree and in the conflict-driven search, side by
    /// side. Each does all its work whatever the other finds, unless that leaves
    /// nothing to find: so the answer does not hang on who was first.
    pub(super) fn full_beside_conflicts(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        bound: Option<GoalValue>,
        effort: u64,
    ) -> Result<Option<GoalValue>, Infeasible> {
        let (work, nodes) = (LAST_WORK.saturating_mul(effort), LAST_NODES.saturating_mul(effort));
        let until = AtomicU64::new(u64::MAX);
        let full = self.full_program(kind, pins, bound);
        // About as long as the tree will take, up to a point.
        let cells = full.as_ref().map_or(0, |(p, _)| p.model.columns.len() * p.model.rows.len());
        let node = 60_000 + cells as u64 / 4;
        let beside = nodes.saturating_mul(node);
        let work = beside.clamp(work, work.saturating_mul(10));
        let allowed = Allowance { work, by_gap: true, until: &until };
        let Some((program, known)) = full else {
            return self.conflict_search(kind, pins, bound, &allowed);
        };
        // At the end, what is good enough is.
        let limits = SolveLimits { gap: self.asked_gap(), nodes, time: self.clock.left() };
        let ask = self.ask(kind, &program, known, &limits);
        let enough = Arc::new(AtomicBool::new(false));
        let clock = self.clock.stopped_by(&enough);
        let from = self.clock.elapsed();
        let (solved, learned) = std::thread::scope(|scope| {
            let tree = scope.spawn(|| {
                let solved = backend::solve(ask, &clock);
                let nothing_left = solved.infeasible || solved.best && solved.values.is_none();
                if nothing_left {
                    let spent = solved.nodes.max(1).saturating_mul(node);
                    until.store(spent.saturating_mul(HEAD_START), Ordering::Relaxed);
                }
                solved
            });
            let learned = self.conflict_search(kind, pins, bound, &allowed);
            let ends =
                learned.as_ref().map_or(true, |b| self.best.is_some() && self.near(kind, *b));
            enough.store(ends, Ordering::Relaxed);
            (tree.join().unwrap_or(backend::Solved::NOTHING), learned)
        });
        let bound = learned?;
        // Counted, not by the clock: what one proves to the gap, the other may
        // prove to the last step.
        let first = self.conflict_work <= until.load(Ordering::Relaxed);
        if first && self.best.is_some() && self.near(kind, bound) {
            return Ok(bound);
        }
        self.stage = "full program";
        let took = self.clock.elapsed().saturating_sub(from);
        self.note_solved("full program", kind, &program, &solved, took);
        self.absorb(&program, known, solved, kind, pins, bound)
    }

    /// The full program, pinned and aimed, and what the best plan has; nothing
    /// if it is too large or too late.
    fn full_program(
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
        program.aim(kind);
        if let Some(bound) = bound {
            program.floor(bound);
        }
        Some((program, self.best.as_ref().map(|b| b.value(kind))))
    }

    /// Takes what a solver found of the full program; gives the bound. `known`
    /// is what it was told of the best plan.
    fn absorb(
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
            // Pinned at a plan that exists, only rounding can say so.
            return if self.best.is_none() { Err(Infeasible) } else { Ok(bound) };
        }
        // Only the solver's bound counts, also where it had the best point: what
        // the audit makes of that point may be worse than the solver thought.
        let bounded = solved.bound.or(known.filter(|_| solved.best).map(objective));
        let proven = bounded.map(|b| bound_value(self.facts, kind, b, self.on_grid(kind)));
        if let Some(values) = &solved.values {
            self.take(program, values, kind, pins);
        }
        let mut bound = bound;
        self.tighten(kind, &mut bound, proven);
        Ok(bound)
    }

    /// Whether the solver's bounds are values that plans can have, with no more
    /// than rounding in them: our tree raises them to the next of those.
    fn on_grid(&self, kind: GoalKind) -> bool {
        !cfg!(feature = "highs") && step(self.facts, kind) > 0.0
    }

    /// Audits the plan of a full program's point and keeps it if it is better.
    fn take(&mut self, program: &Program, values: &[f64], kind: GoalKind, pins: &Pins) {
        let plan = program.plan(values);
        let findings = audit(self.facts.order, &plan);
        if findings.faults.is_empty() {
            self.offer(Incumbent { plan, findings }, kind, pins);
        }
    }

    /// The gap at which a goal's programs may stop. Proving the last of a share
    /// is slow; the other goals count in whole steps.
    fn gap(&self, kind: GoalKind) -> f64 {
        if kind == GoalKind::Even { self.asked_gap() } else { 0.0 }
    }

    /// Solves an aimed program. `known` is what the best plan has, if that is a
    /// point of this program.
    fn solve(
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

    fn ask(
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

    fn note_solved(
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
