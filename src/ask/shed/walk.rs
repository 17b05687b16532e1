//! From step to step down the frontier of value and share.

use super::asked::{Asked, Question};
use super::{Below, Step, bearers, caps};
use crate::ask::{Oracle, vary};
use crate::load::{CarrierIx, GoalKind, GoalValue, MoveOrder, Share};
use crate::quantity::Mass;
use crate::split::{Outcome, Planned, Reason, audit};
use std::time::Duration;

/// A stretch of shares that is walked down.
#[derive(Clone)]
pub(super) struct Walk<'a> {
    pub oracle: &'a Oracle<'a>,
    /// As declared.
    pub order: &'a MoveOrder,
    /// What is split: the order itself, with fewer needs, or raised limits.
    pub moved: MoveOrder,
    /// Whether `moved` has doubled limits.
    pub raised: bool,
    /// Steps that do not need more than this share are another's to find.
    pub floor: Option<Share>,
    pub asked: Asked,
}

/// Steps, what is below the last of them, and if it is proven that there is
/// nothing, why.
pub(super) struct Walked {
    pub steps: Vec<Step>,
    pub end: Below,
    pub none: Option<Reason>,
    /// The most that may be had below the last step and above the floor.
    pub under: u64,
}

/// What was found at and below a share.
pub(super) enum Found {
    Step(Box<Step>),
    /// Below the floor; no plan has more than this.
    Done(u64),
    No(Reason),
    Unknown,
}

impl Walk<'_> {
    /// The best wants with a share below `below` (any share, if none is given),
    /// and the smallest share that has them. From `before`, the step before, as
    /// little as possible should change.
    pub(super) fn step(
        &self,
        below: Option<Share>,
        before: Option<&Step>,
        most: Duration,
    ) -> Found {
        let order = match below {
            None => self.moved.clone(),
            Some(share) => {
                let (share, limit) = (self.of_moved(share), |c| self.moved.carrier(c).limit());
                caps::capped(&self.moved, |c| caps::below(share, limit(c)).unwrap_or_default())
            }
        };
        let order = vary::with_goals(&order, &[GoalKind::Wants, GoalKind::Even]);
        let answer = self.asked.answer(Question::Below(below), &order, self.oracle, most);
        let planned = match answer.outcome {
            Outcome::Plan(planned) => planned,
            Outcome::NoPlan(reason) => return Found::No(reason),
            Outcome::NoneFound => return Found::Unknown,
        };
        let mut step = self.read(*planned);
        if self.floor.is_some_and(|floor| step.from <= floor) {
            return Found::Done(step.value_bound);
        }
        if let Some(before) = before {
            step.value_bound = step.value_bound.min(before.value_bound).max(step.value);
            if below.is_some_and(|share| share <= before.from_bound) {
                // What the step before has is not to be had below its share.
                let bound = step.value_bound.min(before.value.saturating_sub(1));
                step.value_bound = bound.max(step.value);
            }
            self.prefer(&mut step, &before.planned.findings.wants, most);
        }
        Found::Step(Box::new(step))
    }

    /// Among sets of wants of the same value and share, one that takes nothing
    /// that the step before had not, if there is one and it is found at once.
    fn prefer(&self, step: &mut Step, before: &[u32], most: Duration) {
        let taken = &step.planned.findings.wants;
        if taken.iter().zip(before).all(|(after, before)| after <= before) {
            return;
        }
        let from = self.of_moved(step.from);
        let limit = |c| self.moved.carrier(c).limit();
        let order = caps::capped(&self.moved, |c| caps::at(from, limit(c)));
        let order = vary::with_goals(&order, &[GoalKind::Wants]);
        let order = vary::changed(&order, |parts| {
            for (want, before) in parts.wants.iter_mut().zip(before) {
                want.up_to = want.up_to.min(*before);
            }
        });
        let question = Question::Within(from, before.to_vec());
        let answer = self.asked.answer(question, &order, self.oracle, most / 4);
        if let Outcome::Plan(planned) = answer.outcome {
            let findings = audit(self.order, &planned.plan);
            // What counts is found by all that is wanted, not by this part of it.
            let nested = findings.wants.iter().zip(before).all(|(after, before)| after <= before);
            if nested && findings.wants_value == step.value {
                step.planned.plan = planned.plan;
                step.planned.findings = findings;
            }
        }
    }

    fn of_moved(&self, share: Share) -> Share {
        match self.raised {
            // Limits are doubled, so the share is halved.
            true => Share { limit: share.limit * 2, ..share },
            false => share,
        }
    }

    /// A plan of the changed move, as a step of the declared one.
    fn read(&self, planned: Planned) -> Step {
        let (mut bound, mut from, mut from_bound) = (0, Share::ZERO, Share::ZERO);
        for g in &planned.goals {
            match (g.value, g.bound) {
                (GoalValue::Points(_), GoalValue::Points(b)) => bound = b,
                (GoalValue::Share(v), GoalValue::Share(b)) => (from, from_bound) = (v, b),
                _ => {}
            }
        }
        if self.raised {
            (from, from_bound) = (caps::doubled(from), caps::doubled(from_bound));
        }
        let findings = audit(self.order, &planned.plan);
        let over = findings.carriers.iter().any(|c| c.load > c.usable);
        Step {
            value: findings.wants_value,
            value_bound: bound.max(findings.wants_value),
            from,
            from_bound: from_bound.min(from),
            planned: Planned { findings, ..planned },
            over,
            needs: Vec::new(),
            goes: Vec::new(),
            comes: Vec::new(),
        }
    }

    /// Why there can be nothing below this share, if that takes no search.
    pub(super) fn nothing_below(&self, share: Share) -> Option<Below> {
        let share = self.of_moved(share);
        let least = |c| caps::below(share, self.moved.carrier(c).limit());
        let who = bearers(self.order);
        if who.iter().any(|c| least(*c).is_none()) {
            return Some(Below::Next);
        }
        let worn = |c: &&CarrierIx| self.moved.burden(**c) > least(**c).unwrap_or_default();
        who.iter().find(worn).map(|c| Below::Worn(*c))
    }

    /// All steps, and what is below the last of them. Leaves `spare` of the
    /// time.
    pub(super) fn all(&self, spare: Duration) -> Walked {
        let whole = self.oracle.left().saturating_sub(spare);
        // Most moves need a small part of it. One that takes all is gone over
        // in large steps; if time is left after that, it is walked again with
        // longer searches where something is open.
        let mut slice = whole / 16;
        let mut best = self.once(slice, spare);
        loop {
            let left = self.oracle.left().saturating_sub(spare);
            let longer = (slice * 3).min(left);
            if self.loose(&best) == 0 || longer <= slice || self.oracle.over() {
                return best;
            }
            slice = longer;
            let again = self.once(slice, spare);
            if self.replaces(&again, &best) {
                best = again;
            }
        }
    }

    /// Whether a later walk knows no less than an earlier one: no walk that was
    /// stopped takes the place of one that came further.
    pub(super) fn replaces(&self, later: &Walked, earlier: &Walked) -> bool {
        let stopped = |w: &Walked| w.end == Below::Unknown;
        match (stopped(later), stopped(earlier)) {
            (true, false) => false,
            (false, true) => true,
            (false, false) => self.loose(later) <= self.loose(earlier),
            (true, true) => {
                later.steps.len() >= earlier.steps.len() && self.loose(later) <= self.loose(earlier)
            }
        }
    }

    /// How much is not known as exactly as was asked.
    pub(super) fn loose(&self, walked: &Walked) -> usize {
        let steps = walked.steps.iter().filter(|s| !s.within(self.oracle.gap())).count();
        // What was not looked at weighs most.
        steps + if walked.end == Below::Unknown { 1000 } else { 0 }
    }

    fn once(&self, slice: Duration, spare: Duration) -> Walked {
        let mut under = 0;
        let mut steps: Vec<Step> = Vec::new();
        let mut least: Option<Box<Step>> = None;
        let (end, none) = loop {
            let left = self.oracle.left().saturating_sub(spare);
            if left.is_zero() || self.oracle.over() {
                break (Below::Unknown, None);
            }
            let below = match steps.last() {
                None => None,
                Some(last) if last.share_within(self.oracle.gap()) => Some(last.from_bound),
                Some(last) => {
                    if let (None, None) = (&least, self.floor) {
                        least = self.least(slice.min(left)).map(Box::new);
                    }
                    let floor = self.floor.or(least.as_ref().map(|l| l.from));
                    let slices = left.as_micros() / slice.as_micros().max(1);
                    let next = stride(last.from, floor, slices.max(1) as u64);
                    // What is known of it already needs no second look.
                    Some(next.max(last.from_bound))
                }
            };
            self.tell(steps.len(), below);
            if let Some(below) = below.and_then(|share| self.nothing_below(share)) {
                break (below, None);
            }
            if least.as_ref().zip(below).is_some_and(|(l, below)| below <= l.from_bound) {
                break (Below::NoPlan, None);
            }
            match self.step(below, steps.last(), slice.min(left)) {
                Found::Step(step) => take(&mut steps, *step, below),
                Found::Done(most) => {
                    settle(&mut steps, most, below);
                    under = most;
                    break (Below::Next, None);
                }
                Found::No(reason) => {
                    settle(&mut steps, 0, below);
                    break (Below::NoPlan, Some(reason));
                }
                Found::Unknown => break (Below::Unknown, None),
            }
        };
        let end = match least.filter(|l| steps.last().is_some_and(|last| l.from < last.from)) {
            Some(least) => self.finish(&mut steps, *least),
            None => end,
        };
        for i in 1..steps.len() {
            // What a step has is not to be had below its share.
            let most = steps[i - 1].value.saturating_sub(1).min(steps[i - 1].value_bound);
            steps[i].value_bound = steps[i].value_bound.min(most).max(steps[i].value);
        }
        Walked { steps, end, none, under }
    }

    /// The smallest share that meets the needs, and the best wants with it.
    fn least(&self, most: Duration) -> Option<Step> {
        self.oracle.step("the needs alone");
        let order = vary::with_goals(&self.moved, &[GoalKind::Even, GoalKind::Wants]);
        match self.asked.answer(Question::Least, &order, self.oracle, most).outcome {
            Outcome::Plan(planned) => Some(self.read(*planned)),
            _ => None,
        }
    }

    /// The end of a walk that has seen its last step first.
    fn finish(&self, steps: &mut Vec<Step>, least: Step) -> Below {
        for step in steps.iter_mut() {
            // With less there is no plan at all.
            step.from_bound = step.from_bound.max(least.from_bound).min(step.from);
        }
        if steps.last().is_some_and(|last| least.value < last.value) {
            // Its own bound is of the smallest share alone. What may be between
            // the two was not looked at.
            let most = steps.last().map_or(least.value_bound, |last| last.value_bound);
            steps.push(Step { value_bound: most.max(least.value_bound), ..least });
        } else if let Some(last) = steps.last_mut() {
            *last = Step { value_bound: last.value_bound, ..least };
        }
        steps.last().and_then(|l| self.nothing_below(l.from_bound)).unwrap_or(Below::NoPlan)
    }

    fn tell(&self, number: usize, below: Option<Share>) {
        let limits = if self.raised { "above the limits" } else { "by the limits" };
        let below = below.map_or(String::new(), |s| {
            let permille = s.permille_up();
            format!(" below {}.{} %", permille / 10, permille % 10)
        });
        self.oracle.step(format!("{limits}, step {}{below}", number + 1));
    }
}

/// Puts a step found below a share after the others.
fn take(steps: &mut Vec<Step>, mut step: Step, below: Option<Share>) {
    settle(steps, step.value_bound, below);
    // What has no more and needs a greater share was not at its least.
    while let Some(last) = steps.pop_if(|last| last.value <= step.value) {
        step.value_bound = step.value_bound.max(last.value_bound);
    }
    steps.push(step);
}

/// Nothing below the share has more than `most`.
fn settle(steps: &mut [Step], most: u64, below: Option<Share>) {
    let Some(below) = below else { return };
    for step in steps.iter_mut().filter(|s| s.value > most) {
        step.from_bound = step.from_bound.max(below).min(step.from);
    }
}

/// From one share towards the floor, so that so many strides reach it; in
/// millionths, and never on the spot.
fn stride(from: Share, floor: Option<Share>, strides: u64) -> Share {
    let millionths = |s: Share| {
        let (load, limit) = (u128::from(s.load.mg()), u128::from(s.limit.mg().max(1)));
        (load * 1_000_000 / limit).min(u64::MAX.into()) as u64
    };
    let (from, floor) = (millionths(from), floor.map_or(0, millionths));
    let step = (from.saturating_sub(floor) / strides).max(from / 200).max(1);
    Share { load: Mass::from_mg(from.saturating_sub(step)), limit: Mass::from_mg(1_000_000) }
}
