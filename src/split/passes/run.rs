//! The first plan, and a pass: what is done for one goal, stage after stage.

use super::learned::Allowance;
use super::search::{Effort, Start};
use super::solves::{Infeasible, Looser};
use super::values::{loosened, trivial};
use super::{Passes, size};
use crate::answer::GoalResult;
use crate::bounds;
use crate::load::{Goal, GoalKind, GoalValue};
use crate::pins::Pins;
use crate::program::{Team, by_duty};
use std::sync::atomic::AtomicU64;
use std::time::Duration;

/// A small program is tried in so many nodes before anything dear.
const FEW_NODES: u64 = 400;
/// The same where few changes are allowed, and little is left to settle.
const PINNED_NODES: u64 = 4_000;
/// Steps of the conflict-driven search: for a first plan, and early in a pass.
const FIRST_WORK: u64 = 20_000_000;
const FEW_WORK: u64 = 2_000_000;

impl Passes<'_, '_> {
    /// A first plan: the coarse program, goal after goal, gives counts that are
    /// good for all of them at once.
    pub(super) fn first(&mut self, goals: &[Goal]) -> Result<(), Infeasible> {
        if let (true, Some(goal)) = (self.large, goals.first()) {
            self.search(
                "first plan",
                goal.kind,
                &Pins::default(),
                Start::Draft(None),
                None,
                Effort::Quick,
            );
            return Ok(());
        }
        let mut pins = Pins::default();
        let mut last: Option<Looser> = None;
        let mut bound = None;
        for goal in goals {
            // What no program sees any difference in, gives no counts.
            if self.is_trivial(goal.kind) && goals.len() > 1 {
                continue;
            }
            let time = self.clock.left().mul_f64(0.2);
            let teams = self.coarse.clone();
            let counts = match self.looser("coarse program", &teams, goal.kind, &pins, time) {
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
            pins.hold(self.facts, goal.kind, loosened(reached));
        }
        let (Some(counts), Some(goal)) = (last, goals.first()) else { return Ok(()) };
        let none = Pins::default();
        self.search("first plan", goal.kind, &none, counts.start(), bound, Effort::Quick);
        if self.best.is_none() {
            self.settled(goal.kind, &none, counts.wishes.as_deref());
        }
        if self.best.is_none() {
            self.search("first plan", goal.kind, &none, Start::Draft(None), bound, Effort::Quick);
        }
        if self.best.is_none() {
            // A tight move: what exchanges do not find, conflicts lead to, or
            // they show that there is nothing to find.
            let until = AtomicU64::new(u64::MAX);
            let allowed = Allowance { work: FIRST_WORK, by_gap: true, until: &until };
            self.learned(goal.kind, &none, bound, &allowed)?;
        }
        if self.best.is_none() {
            self.search("first plan", goal.kind, &none, counts.start(), bound, Effort::Long);
        }
        Ok(())
    }

    /// Whether every plan is as good as any other for this goal.
    fn is_trivial(&self, kind: GoalKind) -> bool {
        match kind {
            GoalKind::Wants => self.facts.order.wants().is_empty(),
            GoalKind::Keeper => {
                let (n, m) = (self.facts.items.len(), self.facts.carriers.len());
                (0..n).all(|i| (0..m).all(|c| !self.facts.misplaced(i, c)))
            }
            GoalKind::Changes => self.facts.before.is_none(),
            _ => false,
        }
    }

    /// What nothing can beat, before any program is asked.
    pub(super) fn floor(
        &mut self,
        kind: GoalKind,
        pins: &Pins,
        results: &[GoalResult],
    ) -> GoalValue {
        let from = self.clock.elapsed();
        // Later goals keep what `lightest` was proven not to undercut.
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

    /// The bound of a wider move at this place in the order, if it holds here.
    fn wider_bound(&self, at: usize, kind: GoalKind) -> Option<GoalValue> {
        self.wider.get(at).filter(|w| w.goal == kind).map(|w| w.bound)
    }

    /// Improves the best plan for one goal; gives the bound that was proven,
    /// `floor` at least.
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
            self.search("search", kind, pins, Start::Best, bound, Effort::Quick);
            return Ok(bound);
        }
        if (self.best.is_some() || self.large) && matches!(kind, GoalKind::Keeper | GoalKind::Hands)
        {
            // Nothing away from its keeper, no hand in use: often to be had,
            // and then there is nothing to prove.
            self.search("search", kind, pins, Start::Best, bound, Effort::Quick);
            if self.reached(kind, bound) {
                return Ok(bound);
            }
        }
        if self.large && matches!(kind, GoalKind::Keeper | GoalKind::Hands) {
            // A bare program knows neither keepers nor hands.
            self.cut_short |= self.clock.over();
            return Ok(bound);
        }
        // Where the coarse program is long in coming, its bound may not be
        // needed; even shares start from it.
        let long = self.remembered("coarse program", kind, pins).is_none();
        let ahead = self.best.is_some() && long && kind == GoalKind::Wants && self.decomposes(kind);
        if ahead {
            self.search("search", kind, pins, Start::Best, bound, Effort::Quick);
            self.decomposed(kind, pins, &mut bound, time.mul_f64(0.8));
        }
        if !ahead || !self.near(kind, bound) {
            let teams = self.coarse.clone();
            // A dive is all that a large move has.
            let part = if self.large { 0.8 } else { 0.4 };
            self.look("coarse program", &teams, kind, pins, &mut bound, time.mul_f64(part))?;
        }
        if self.bare && !self.large && !self.near(kind, bound) {
            // Ways and hands leave less than bare counts do.
            let teams = self.coarse.clone();
            self.look("program by way", &teams, kind, pins, &mut bound, time.mul_f64(0.3))?;
        }
        // With few changes allowed, little is left to settle.
        let pinned = self.facts.order.goals().iter().any(|g| g.kind == GoalKind::Changes);
        let small = size::full_columns(self.facts) <= size::FEW_COLUMNS;
        // In later turns what was quick is done, and where programs are small
        // they come first.
        let later = self.effort > 1 && small && self.best.is_some();
        if later && !self.near(kind, bound) {
            bound = self.both(kind, pins, bound, self.effort)?;
        }
        if (pinned || small) && !later && self.best.is_some() && !self.near(kind, bound) {
            let nodes = if pinned { PINNED_NODES } else { FEW_NODES } * self.effort;
            bound = self.full(kind, pins, bound, nodes, time.mul_f64(0.25))?;
        }
        let counted = !matches!(kind, GoalKind::Even | GoalKind::Lightest);
        if counted && !later && self.best.is_some() && !self.near(kind, bound) {
            let until = AtomicU64::new(u64::MAX);
            let allowed = Allowance { work: FEW_WORK, by_gap: false, until: &until };
            bound = self.learned(kind, pins, bound, &allowed)?;
        }
        // To refute a share is dear, and in vain while there is a better plan.
        let even = kind == GoalKind::Even;
        if even && self.best.is_some() && !self.near(kind, bound) {
            self.search("search", kind, pins, Start::Best, bound, Effort::Long);
        }
        if !ahead && !self.near(kind, bound) {
            self.decomposed(kind, pins, &mut bound, time.mul_f64(0.8));
        }
        if !even && self.best.is_some() && !self.near(kind, bound) {
            self.search("search", kind, pins, Start::Best, bound, Effort::Long);
        }
        if self.best.is_some() && !self.near(kind, bound) {
            self.release(kind, pins, bound);
        }
        if self.best.is_some() && !self.near(kind, bound) {
            self.settled(kind, pins, None);
        }
        if kind == GoalKind::Keeper && !self.near(kind, bound) {
            let teams = by_duty(self.facts);
            self.look("program by duty", &teams, kind, pins, &mut bound, time.mul_f64(0.3))?;
        }
        // Which of the two is for this move shows only so. A goal with a plan is
        // left for the others, and comes round again with more work.
        let mut more = self.effort;
        while !later && (self.best.is_none() || !self.near(kind, bound)) {
            bound = self.both(kind, pins, bound, more)?;
            let scales = !self.large && size::full_columns(self.facts) <= size::MOST_COLUMNS;
            if self.best.is_some() || !scales || self.clock.over() {
                break;
            }
            more *= 2;
        }
        Ok(bound)
    }

    /// Takes a looser program's bound, and unless that is reached lets the
    /// search try for it.
    fn look(
        &mut self,
        name: &'static str,
        teams: &[Team],
        kind: GoalKind,
        pins: &Pins,
        bound: &mut Option<GoalValue>,
        time: Duration,
    ) -> Result<(), Infeasible> {
        let counts = match self.looser(name, teams, kind, pins, time) {
            Ok(counts) => counts,
            // Pinned at a plan that exists, only rounding can say so.
            Err(Infeasible) if self.best.is_some() => return Ok(()),
            Err(Infeasible) => return Err(Infeasible),
        };
        self.stage = name;
        self.tighten(kind, bound, counts.bound);
        if !self.reached(kind, *bound) {
            let start = counts.start();
            self.search("search", kind, pins, start, *bound, Effort::Quick);
        }
        let coarse = name == "coarse program";
        if self.best.is_some() && coarse && !self.near(kind, *bound) {
            self.recount(kind, pins, *bound, &counts.relaxed, time);
        }
        Ok(())
    }
}
