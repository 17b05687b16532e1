//! The full program by branch and bound and by the conflict-driven search, side
//! by side: which of the two settles a move shows only by trying.

use super::Passes;
use super::conflict_search::Allowance;
use super::memory::Infeasible;
use super::solving::SolveLimits;
use crate::backend;
use crate::load::{GoalKind, GoalValue};
use crate::pins::Pins;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// In the first round, at the end of a pass: node limit of the full program,
/// and the least work limit of the conflict-driven search beside it.
const LAST_NODES: u64 = 1_500;
const LAST_WORK: u64 = 30_000_000;
/// The conflict-driven search takes precedence if it was done within this many
/// times the tree's work.
const HEAD_START: u64 = 4;

impl Passes<'_, '_> {
    /// The full program by branch and bound and by the conflict-driven search,
    /// in parallel. Each does all its work whatever the other finds, unless the
    /// other leaves nothing to find: so the answer does not depend on timing.
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
        // About as much work as the tree will take, within limits.
        let cells = full.as_ref().map_or(0, |(p, _)| p.model.columns.len() * p.model.rows.len());
        let node = 60_000 + cells as u64 / 4;
        let beside = nodes.saturating_mul(node);
        let work = beside.clamp(work, work.saturating_mul(10));
        let allowed = Allowance { work, by_gap: true, until: &until };
        let Some((program, known)) = full else {
            return self.conflict_search(kind, pins, bound, &allowed);
        };
        // At the end of a pass the gap asked for is enough.
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
        // Decided by counted work, not by the clock: what one proves to within
        // the gap, the other may prove to the last step.
        let first = self.conflict_work <= until.load(Ordering::Relaxed);
        if first && self.best.is_some() && self.near(kind, bound) {
            return Ok(bound);
        }
        self.stage = "full program";
        let took = self.clock.elapsed().saturating_sub(from);
        self.note_solved("full program", kind, &program, &solved, took);
        self.absorb(&program, known, solved, kind, pins, bound)
    }
}
