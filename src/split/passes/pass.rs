//! The first plan, and a pass: the stages of the work on one goal.

use super::conflict_search::Allowance;
use super::local_search::{Effort, Start};
use super::memory::{Infeasible, Relaxation};
use super::values::{trivial, with_tolerance};
use super::{Passes, program_size};
use crate::answer::GoalResult;
use crate::bounds;
use crate::load::{Goal, GoalKind, GoalValue};
use crate::pins::Pins;
use crate::program::{Team, by_duty};
use std::sync::atomic::AtomicU64;
use std::time::Duration;

/// Node limit of an early try of a small full program.
const FEW_NODES: u64 = 400;
/// The same where the goal `changes` is pinned, which leaves little to branch
/// on.
const PINNED_NODES: u64 = 4_000;
/// Work limits of the conflict-driven search: for a first plan, and early in a
/// pass.
const FIRST_WORK: u64 = 20_000_000;
const FEW_WORK: u64 = 2_000_000;

impl Passes<'_, '_> {
    /// A first plan: the coarse program is solved goal after goal, for counts
    /// that are good for all goals at once.
    pub(super) fn first(&mut self, goals: &[Goal]) -> Result<(), Infeasible> {
        if let (true, Some(goal)) = (self.large, goals.first()) {
            self.local_search(
                "first plan",
                goal.kind,
                &Pins::default(),
                Start::Counts(None),
                None,
                Effort::Quick,
            );
            return Ok(());
        }
        let mut pins = Pins::default();
        let mut last: Option<Relaxation> = None;
        let mut bound = None;
        for goal in goals {
            // A goal for which all plans are equal gives no counts.
            if self.is_trivial(goal.kind) && goals.len() > 1 {
                continue;
            }
            let time = self.clock.left().mul_f64(0.2);
            let teams = self.coarse.clone();
            let counts =
                match self.solve_relaxation("coarse program", &teams, goal.kind, &pins, time) {
                    Ok(counts) => counts,
                    Err(Infeasible) if last.is_none() => return Err(Infeasible),
                    Err(Infeasible) => break,
                };
            if goals.first().is_some_and(|first| first.kind == goal.kind) {
                bound = counts.bound;
            }
            let reached = counts.reached;
            if counts.has_start() {
                last = Some(counts);
            }
            let Some(reached) = reached else { break };
            pins.hold(self.facts, goal.kind, with_tolerance(reached));
        }
        let (Some(counts), Some(goal)) = (last, goals.first()) else { return Ok(()) };
        let none = Pins::default();
        self.local_search("first plan", goal.kind, &none, counts.start(), bound, Effort::Quick);
        if self.best.is_none() {
            self.full_with_fixed_counts(goal.kind, &none, counts.targets.as_deref());
        }
        if self.best.is_none() {
            self.local_search(
                "first plan",
                goal.kind,
                &none,
                Start::Counts(None),
                bound,
                Effort::Quick,
            );
        }
        if self.best.is_none() {
            // A tight move: local search finds no plan, so the conflict-driven
            // search looks for one or proves that none exists.
            let until = AtomicU64::new(u64::MAX);
            let allowed = Allowance { work: FIRST_WORK, by_gap: true, until: &until };
            self.conflict_search(goal.kind, &none, bound, &allowed)?;
        }
        if self.best.is_none() {
            self.local_search("first plan", goal.kind, &none, counts.start(), bound, Effort::Long);
        }
        Ok(())
    }

    /// Whether all plans are equal for this goal.
    fn is_trivial(&self, kind: GoalKind) -> bool {
        match kind {
            GoalKind::Wants => self.facts.order.wants().is_empty(),
            GoalKind::Keeper => {
                let n = self.facts.items.len();
                (0..n).all(|i| self.facts.kit().all(|c| !self.facts.misplaced(i, c)))
            }
            GoalKind::Changes => self.facts.before.is_none(),
            _ => false,
        }
    }

    /// The bound known before any program is solved.
    pub(super) fn first_bound(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        results: &[GoalResult],
    ) -> GoalValue {
        let from = self.clock.elapsed();
        // Later goals keep the pin of `lightest`, and its bound with it.
        let least_mass = results.iter().find_map(|r| match (r.goal, r.bound) {
            (GoalKind::Lightest, GoalValue::Mass(m)) => Some(m.mg()),
            _ => None,
        });
        let trivial = trivial(kind, self.facts);
        self.bound = Some(trivial);
        self.bounded = ("the move itself", from.as_secs_f64());
        let mut floor = Some(trivial);
        let wider = self.wider_bound(results.len(), kind);
        self.stage = "wider move";
        self.tighten(kind, &mut floor, wider);
        let own = bounds::bound(self.facts, kind, pins, least_mass);
        if own.is_none() && wider.is_none() {
            return trivial;
        }
        self.stage = "bounds";
        self.tighten(kind, &mut floor, own);
        let floor = floor.unwrap_or(trivial);
        let took = self.clock.elapsed().saturating_sub(from);
        self.note("bounds", kind, format!("bound {}", floor.number()), took);
        floor
    }

    /// The bound of the wider move's goal at this place in the order, if it
    /// holds here.
    fn wider_bound(&self, at: usize, kind: GoalKind) -> Option<GoalValue> {
        self.wider.get(at).filter(|w| w.goal == kind).map(|w| w.bound)
    }

    /// Improves the incumbent for one goal; gives the proven bound, at least as
    /// tight as `floor`.
    pub(super) fn pass(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        floor: GoalValue,
    ) -> Result<Option<GoalValue>, Infeasible> {
        if self.is_trivial(kind) && self.best.is_some() || self.reached(kind, Some(floor)) {
            return Ok(self.best.as_ref().map(|b| b.value(kind)));
        }
        if self.best.is_some() && self.clock.over() {
            self.cut_short = true;
            return Ok(None);
        }
        let time = self.clock.left();
        let mut bound = Some(floor);
        if self.decided && self.best.is_some() {
            self.local_search("search", kind, pins, Start::Best, bound, Effort::Quick);
            return Ok(bound);
        }
        if (self.best.is_some() || self.large) && matches!(kind, GoalKind::Keeper | GoalKind::Hands)
        {
            // A value of zero is often found by local search, and then there is
            // nothing to prove.
            self.local_search("search", kind, pins, Start::Best, bound, Effort::Quick);
            if self.reached(kind, bound) {
                return Ok(bound);
            }
        }
        if self.large && matches!(kind, GoalKind::Keeper | GoalKind::Hands) {
            // The counts-only relaxation knows neither keepers nor hands.
            self.cut_short |= self.clock.over();
            return Ok(bound);
        }
        // Where the coarse program takes long, its bound may not be needed; the
        // column generation for shares starts from it.
        let long = self.remembered("coarse program", kind, pins).is_none();
        let ahead = self.best.is_some() && long && kind == GoalKind::Wants && self.decomposes(kind);
        if ahead {
            self.local_search("search", kind, pins, Start::Best, bound, Effort::Quick);
            self.decompose(kind, pins, &mut bound, time.mul_f64(0.8));
        }
        if !ahead || !self.near(kind, bound) {
            let teams = self.coarse.clone();
            // A large move has nothing but this and its dive.
            let part = if self.large { 0.8 } else { 0.4 };
            self.relax_and_search(
                "coarse program",
                &teams,
                kind,
                pins,
                &mut bound,
                time.mul_f64(part),
            )?;
        }
        if self.counts_only && !self.large && !self.near(kind, bound) {
            // The coarse program with ways and hands is tighter than counts
            // alone.
            let teams = self.coarse.clone();
            self.relax_and_search(
                "program by way",
                &teams,
                kind,
                pins,
                &mut bound,
                time.mul_f64(0.3),
            )?;
        }
        // With few changes allowed, little is left to branch on.
        let pinned = self.facts.order.goals().iter().any(|g| g.kind == GoalKind::Changes);
        let small = program_size::full_columns(self.facts) <= program_size::FEW_COLUMNS;
        // In later turns the quick stages have been done, and small programs
        // come first.
        let later = self.effort > 1 && small && self.best.is_some();
        if later && !self.near(kind, bound) {
            bound = self.full_beside_conflicts(kind, pins, bound, self.effort)?;
        }
        if (pinned || small) && !later && self.best.is_some() && !self.near(kind, bound) {
            let nodes = if pinned { PINNED_NODES } else { FEW_NODES } * self.effort;
            bound = self.full(kind, pins, bound, nodes, time.mul_f64(0.25))?;
        }
        let counted = !matches!(kind, GoalKind::Even | GoalKind::Lightest);
        if counted && !later && self.best.is_some() && !self.near(kind, bound) {
            let until = AtomicU64::new(u64::MAX);
            let allowed = Allowance { work: FEW_WORK, by_gap: false, until: &until };
            bound = self.conflict_search(kind, pins, bound, &allowed)?;
        }
        // Refuting a share is expensive, and in vain while there is a better
        // plan.
        let even = kind == GoalKind::Even;
        if even && self.best.is_some() && !self.near(kind, bound) {
            self.local_search("search", kind, pins, Start::Best, bound, Effort::Long);
        }
        if !ahead && !self.near(kind, bound) {
            self.decompose(kind, pins, &mut bound, time.mul_f64(0.8));
        }
        if !even && self.best.is_some() && !self.near(kind, bound) {
            self.local_search("search", kind, pins, Start::Best, bound, Effort::Long);
        }
        if self.best.is_some() && !self.near(kind, bound) {
            self.carriers_neighbourhood(kind, pins, bound);
        }
        if self.best.is_some() && !self.near(kind, bound) {
            self.full_with_fixed_counts(kind, pins, None);
        }
        if kind == GoalKind::Keeper && !self.near(kind, bound) {
            let teams = by_duty(self.facts);
            self.relax_and_search(
                "program by duty",
                &teams,
                kind,
                pins,
                &mut bound,
                time.mul_f64(0.3),
            )?;
        }
        // Which of the two suits this move shows only by trying. A goal with an
        // incumbent leaves the time to the others and gets more work in the
        // next round.
        let mut more = self.effort;
        while !later && (self.best.is_none() || !self.near(kind, bound)) {
            bound = self.full_beside_conflicts(kind, pins, bound, more)?;
            let scales =
                !self.large && program_size::full_columns(self.facts) <= program_size::MOST_COLUMNS;
            if self.best.is_some() || !scales || self.clock.over() {
                break;
            }
            more *= 2;
        }
        Ok(bound)
    }

    /// Solves a relaxation, takes its bound, and unless that is reached
    /// searches from its counts.
    fn relax_and_search(
        &mut self,
        name: &'static str,
        teams: &[Team],
        kind: GoalKind,
        pins: &Pins,
        bound: &mut Option<GoalValue>,
        time: Duration,
    ) -> Result<(), Infeasible> {
        let counts = match self.solve_relaxation(name, teams, kind, pins, time) {
            Ok(counts) => counts,
            // The incumbent satisfies the pins, so only rounding can make this
            // infeasible.
            Err(Infeasible) if self.best.is_some() => return Ok(()),
            Err(Infeasible) => return Err(Infeasible),
        };
        self.stage = name;
        self.tighten(kind, bound, counts.bound);
        if !self.reached(kind, *bound) {
            let start = counts.start();
            self.local_search("search", kind, pins, start, *bound, Effort::Quick);
        }
        let coarse = name == "coarse program";
        if self.best.is_some() && coarse && !self.near(kind, *bound) {
            self.counts_neighbourhood(kind, pins, *bound, &counts.relaxed, time);
        }
        Ok(())
    }
}
