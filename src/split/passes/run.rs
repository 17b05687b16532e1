//! The passes themselves.

use super::better;
use super::search::{Effort, Start};
use super::solves::{Infeasible, Looser};
use super::values::{at_best, loosened, tighter, trivial};
use super::{Best, Passes, size};
use crate::load::{Goal, GoalKind, GoalValue};
use crate::split::answer::{GoalResult, Origin, Outcome, Planned, Reason, Status};
use crate::split::audit::audit;
use crate::split::bounds;
use crate::split::pins::Pins;
use crate::split::program::{Team, by_duty};
use std::time::Duration;

/// A small program is tried in so many nodes before anything dear.
const FEW_NODES: u64 = 400;

impl Passes<'_, '_> {
    pub(super) fn run(&mut self) -> Outcome {
        let goals = self.facts.order.goals.clone();
        let mut pins = Pins::default();
        self.as_before(&goals);
        let mut results: Vec<GoalResult> = Vec::new();
        if self.first(&goals).is_err() {
            return Outcome::NoPlan(no_plan());
        }
        for (k, goal) in goals.iter().enumerate() {
            // Its turn, and half as much again of what the others may not need.
            // A large move's one relaxation must come to its end.
            // With few changes allowed, the last goals are soon settled.
            let anew = self.facts.before.is_some();
            let turns = if self.large || anew { 2.5 } else { 1.5 };
            // Whether people can start at once is what matters most.
            let turns = if goal.kind == GoalKind::Changes { 3.0 } else { turns };
            let share = f64::min(turns / (goals.len() - k) as f64, 1.0);
            let (from, nodes) = (self.clock.elapsed(), self.nodes);
            let floor = self.floor(goal.kind, &pins, &results);
            let whole = self.clock.clone();
            self.clock = whole.within(whole.left().mul_f64(share));
            let passed = self.pass(goal.kind, &pins, floor);
            self.clock = whole;
            let Ok(bound) = passed else { return Outcome::NoPlan(no_plan()) };
            let Some(best) = &self.best else { return Outcome::NoneFound };
            let value = best.value(goal.kind);
            let bound = at_best(value, bound.map_or(floor, |b| tighter(b, floor)));
            self.origins.push(Origin {
                goal: goal.kind,
                found_by: self.found.0,
                found_at: self.found.1,
                bound_by: self.bounded.0,
                bound_at: self.bounded.1,
                nodes: self.nodes - nodes,
                seconds: self.clock.elapsed().saturating_sub(from).as_secs_f64(),
            });
            results.push(GoalResult { goal: goal.kind, value, reached: value, bound });
            if let Some(wider) = self.wider.get(k).copied().filter(|w| better(w.reached, value)) {
                // Held at less, later goals can do better here than there. Whoever
                // compares the two has the answer if it had to be less.
                self.wider.truncate(k);
                self.decided |= better(wider.reached, bound);
            }
            pins.hold(self.facts, goal.kind, value);
        }
        self.planned(results)
    }

    /// What is packed already, if it is a plan as it is.
    fn as_before(&mut self, goals: &[Goal]) {
        let order = self.facts.order;
        let (Some(before), Some(goal)) = (&order.before, goals.first()) else { return };
        let findings = audit(order, &before.plan);
        if before.astray.is_empty() && findings.faults.is_empty() {
            self.stage = "plan before";
            let plan = before.plan.clone();
            self.offer(Best { plan, findings }, goal.kind, &Pins::default());
        }
    }

    fn planned(&mut self, mut results: Vec<GoalResult>) -> Outcome {
        let Some(best) = self.best.take() else { return Outcome::NoneFound };
        // A goal that may give a little can end off what its pass reached, and a
        // later pass can come upon what that one missed: it is a plan of that
        // pass too, so that this is what was reached.
        for r in &mut results {
            r.value = best.value(r.goal);
            if better(r.value, r.reached) {
                (r.reached, r.bound) = (r.value, at_best(r.value, r.bound));
            }
        }
        let within = |r: &GoalResult| r.gap_percent() <= self.asked_gap() * 100.0;
        let status = if results.iter().all(GoalResult::proven) {
            Status::ProvenBest
        } else if results.iter().all(within) {
            Status::WithinGap
        } else {
            Status::Feasible
        };
        let Best { plan, findings } = best;
        Outcome::Plan(Box::new(Planned { plan, findings, goals: results, status }))
    }

    /// A first plan: the coarse program, goal after goal, gives counts that are
    /// good for all of them at once.
    fn first(&mut self, goals: &[Goal]) -> Result<(), Infeasible> {
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
            self.search("first plan", goal.kind, &none, counts.start(), bound, Effort::Long);
        }
        Ok(())
    }

    /// Whether every plan is as good as any other for this goal.
    fn is_trivial(&self, kind: GoalKind) -> bool {
        match kind {
            GoalKind::Wants => self.facts.order.wants.is_empty(),
            GoalKind::Keeper => {
                let (n, m) = (self.facts.items.len(), self.facts.carriers.len());
                (0..n).all(|i| (0..m).all(|c| !self.facts.misplaced(i, c)))
            }
            GoalKind::Changes => self.facts.before.is_none(),
            _ => false,
        }
    }

    /// What nothing can beat, before any program is asked.
    fn floor(&mut self, kind: GoalKind, pins: &Pins, results: &[GoalResult]) -> GoalValue {
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
    fn pass(
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
        let pinned = self.facts.order.goals.iter().any(|g| g.kind == GoalKind::Changes);
        let small = size::full_columns(self.facts) <= size::FEW_COLUMNS;
        if (pinned || small) && self.best.is_some() && !self.near(kind, bound) {
            let nodes = if pinned { u64::MAX } else { FEW_NODES };
            bound = self.full(kind, pins, bound, nodes, time.mul_f64(0.25))?;
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
        if self.best.is_none() || !self.near(kind, bound) {
            bound = self.full(kind, pins, bound, u64::MAX, time)?;
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

/// What the cheap checks did not see, the program did.
fn no_plan() -> Reason {
    let text = "the needs, limits and rules of this move cannot all hold at once";
    Reason { text: text.into(), place: None }
}
