//! Goal after goal, and round after round while time is left: what one goal
//! does not use of its share goes to the others.
//!
//! Work limits are deterministic (nodes, steps, tries), so that a round that
//! ends before the deadline does the same on every machine. The clock only
//! keeps one goal from taking what the others need in moves where the first
//! round is already long; a stage that it stops leaves its goal for the next
//! round.

use super::memory::Infeasible;
use super::values::{at_best, tighter};
use super::{Incumbent, Passes, better};
use crate::answer::{GoalResult, Origin, Outcome, Planned, Reason, Status};
use crate::audit::audit;
use crate::load::{Goal, GoalKind, GoalValue};
use crate::pins::Pins;

/// Factor on all work limits from one round to the next.
const MORE: u64 = 4;

/// A goal that had its turn.
struct Turn {
    result: GoalResult,
    origin: Origin,
    /// Its incumbent. The plan after later goals may have used some of what
    /// this goal's tolerance allows.
    best: Incumbent,
}

impl Passes<'_, '_> {
    pub(super) fn run(&mut self) -> Outcome {
        let goals = self.facts.order.goals();
        self.as_before(goals);
        if self.first(goals).is_err() {
            return Outcome::NoPlan(no_plan());
        }
        // A bound stays valid when earlier goals improve: their pins then allow
        // fewer plans, never more.
        let mut bounds: Vec<Option<GoalValue>> = vec![None; goals.len()];
        let mut turns: Vec<Turn> = Vec::new();
        loop {
            let known = (values(&turns), bounds.clone());
            match self.round(goals, &mut turns, &mut bounds) {
                Ok(true) => {}
                Ok(false) => return Outcome::NoneFound,
                Err(Infeasible) => return Outcome::NoPlan(no_plan()),
            }
            let open = turns.iter().any(|t| !self.enough(&t.result));
            // A large move, where only heuristics improve the plan, ends with
            // the first round in which nothing improved.
            let idle = self.large && known == (values(&turns), bounds.clone());
            if !open || self.decided || idle || self.clock.over() {
                break;
            }
            self.effort = self.effort.saturating_mul(MORE);
        }
        self.origins = turns.iter().map(|t| t.origin).collect();
        self.planned(turns.into_iter().map(|t| t.result).collect())
    }

    /// Each goal that is not settled has its turn. False if no plan was found.
    fn round(
        &mut self,
        goals: &[Goal],
        turns: &mut Vec<Turn>,
        bounds: &mut [Option<GoalValue>],
    ) -> Result<bool, Infeasible> {
        for (k, goal) in goals.iter().enumerate() {
            if turns.get(k).is_some_and(|t| self.enough(&t.result)) {
                continue;
            }
            let (from, nodes) = (self.clock.elapsed(), self.nodes);
            let last = self.best.clone();
            if let Some(turn) = turns.get(k) {
                // The incumbent of this goal, not the plan after later goals'
                // use of its tolerance.
                self.best = Some(turn.best.clone());
            }
            let before: Vec<GoalResult> = turns.iter().take(k).map(|t| t.result).collect();
            let pins = self.pins(&before);
            let floor = self.first_bound(goal.kind, &pins, &before);
            let floor = bounds[k].map_or(floor, |b| tighter(b, floor));
            let left = goals[k..].iter().enumerate();
            let left =
                left.filter(|(j, _)| turns.get(k + j).is_none_or(|t| !self.enough(&t.result)));
            // Without a plan no time is kept for later goals.
            let share = if self.best.is_some() { self.share(goal.kind, left.count()) } else { 1.0 };
            let whole = self.clock.clone();
            self.clock = whole.within(whole.left().mul_f64(share));
            let passed = self.pass(goal.kind, &pins, floor);
            self.clock = whole;
            let bound = passed?.map_or(floor, |b| tighter(b, floor));
            let Some(best) = self.best.clone() else { return Ok(false) };
            let value = best.value(goal.kind);
            let bound = at_best(value, bound);
            bounds[k] = Some(bound);
            let seconds = self.clock.elapsed().saturating_sub(from).as_secs_f64();
            let result = GoalResult { goal: goal.kind, value, reached: value, bound };
            let mut origin = Origin {
                goal: goal.kind,
                found_by: self.found.0,
                found_at: self.found.1,
                bound_by: self.bounded.0,
                bound_at: self.bounded.1,
                nodes: self.nodes - nodes,
                seconds,
            };
            match turns.get_mut(k) {
                Some(turn) => {
                    origin.nodes += turn.origin.nodes;
                    origin.seconds += turn.origin.seconds;
                    let more = better(value, turn.result.reached);
                    if !more {
                        (origin.found_by, origin.found_at) =
                            (turn.origin.found_by, turn.origin.found_at);
                    }
                    if bound == turn.result.bound {
                        (origin.bound_by, origin.bound_at) =
                            (turn.origin.bound_by, turn.origin.bound_at);
                    }
                    *turn = Turn { result, origin, best };
                    if more {
                        // The goals after it start over from the new incumbent.
                        turns.truncate(k + 1);
                    } else {
                        self.best = last;
                    }
                }
                None => turns.push(Turn { result, origin, best }),
            }
            if let Some(wider) = self.wider.get(k).copied().filter(|w| better(w.reached, value)) {
                // Worse here than in the wider move, so that later goals may be
                // better here than there and its bounds hold no longer. Whoever
                // compares the two moves has the answer if this goal had to be
                // worse.
                self.wider.truncate(k);
                self.decided |= better(wider.reached, bound);
            }
        }
        Ok(true)
    }

    /// A turn's share of the time left: an equal part, and half as much again,
    /// which the others may not need.
    fn share(&self, kind: GoalKind, left: usize) -> f64 {
        // A large move's single relaxation must be solved to its end. With few
        // changes allowed, the last goals are settled quickly.
        let few_changes = self.facts.before.is_some();
        let turns = if self.large || few_changes { 2.5 } else { 1.5 };
        // The goal `changes` matters most to people who are about to start.
        let turns = if kind == GoalKind::Changes { 3.0 } else { turns };
        f64::min(turns / left.max(1) as f64, 1.0)
    }

    /// The pins of what the goals before reached.
    fn pins(&self, before: &[GoalResult]) -> Pins {
        let mut pins = Pins::default();
        before.iter().for_each(|r| pins.hold(self.facts, r.goal, r.reached));
        pins
    }

    /// Offers the plan before, if it still is a plan.
    fn as_before(&mut self, goals: &[Goal]) {
        let order = self.facts.order;
        let (Some(before), Some(goal)) = (order.before(), goals.first()) else { return };
        let findings = audit(order, &before.plan);
        if before.astray.is_empty() && findings.faults.is_empty() {
            self.stage = "plan before";
            let plan = before.plan.clone();
            self.offer(Incumbent { plan, findings }, goal.kind, &Pins::default());
        }
    }

    fn planned(&mut self, mut results: Vec<GoalResult>) -> Outcome {
        let Some(best) = self.best.take() else { return Outcome::NoneFound };
        // With a tolerance a goal can end worse than its pass reached, or
        // better where a later pass found what its own missed: such a plan
        // counts for its own pass too.
        for r in &mut results {
            r.value = best.value(r.goal);
            if better(r.value, r.reached) {
                (r.reached, r.bound) = (r.value, at_best(r.value, r.bound));
            }
        }
        let status = if results.iter().all(GoalResult::proven) {
            Status::ProvenBest
        } else if results.iter().all(|r| self.enough(r)) {
            Status::WithinGap
        } else {
            Status::Feasible
        };
        let Incumbent { plan, findings } = best;
        Outcome::Plan(Box::new(Planned { plan, findings, goals: results, status }))
    }
}

fn values(turns: &[Turn]) -> Vec<GoalValue> {
    turns.iter().map(|t| t.result.reached).collect()
}

/// Infeasible for a reason that the precheck does not see and a program proved.
fn no_plan() -> Reason {
    let text = "the needs, limits and rules of this move cannot all hold at once";
    Reason { text: text.into(), place: None }
}
