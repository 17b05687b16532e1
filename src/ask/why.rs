//! Why an item is where it is: what forcing it another way costs, or what
//! forbids it.

use super::instead::{Instead, PlacesInPlan, forced, ways};
use super::{Oracle, oracle, vary};
use crate::load::{CarrierIx, GoalKind, ItemIx, MoveOrder, PartyIx, Plan, RuleKind, Way};
use crate::split::{Answer, GoalResult, Outcome, Planned, Reason, Status};
use std::time::Duration;

/// The most other ways that are tried unless one carrier is named.
pub const MOST_WAYS: usize = 12;
/// The most parts of a move that are tried one by one for what forbids a way.
const MOST_TRIED: usize = 40;

/// Where an item is in the plan of a move, and what the other ways cost.
#[derive(Debug, Clone)]
pub struct Why {
    /// What was asked about.
    pub item: ItemIx,
    /// The plan that it was asked of.
    pub planned: Box<Planned>,
    /// Where the item is in it.
    pub at: PlacesInPlan,
    /// The other ways that were tried, in their order.
    pub others: Vec<Other>,
    /// Other ways that were not tried, there being so many.
    pub not_tried: usize,
}

/// Another way, and what comes of it.
#[derive(Debug, Clone)]
pub struct Other {
    /// Which way.
    pub instead: Instead,
    /// What comes of it.
    pub verdict: Verdict,
    /// The goals of the best plan that goes this way; empty without one.
    pub goals: Vec<GoalResult>,
}

/// What is known of another way.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum Verdict {
    /// This goal is the first in the order that is worse.
    Worse(GoalKind),
    /// No goal is worse by more than what is known of it.
    AsGood,
    /// This goal came out worse, but it is not known that it has to.
    Open(GoalKind),
    /// The plan was not proven best, and this way betters it on this goal.
    Better(GoalKind),
    /// No plan goes this way; each obstacle alone is enough to forbid it.
    Forbidden { obstacles: Vec<Obstacle>, reason: Reason },
    /// None was found in the time given.
    Unknown,
}

/// A part of the move without which the other way could be gone.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Obstacle {
    /// The position of a rule.
    Rule(usize),
    /// The position of a need.
    Need(usize),
    /// The limit of this carrier.
    Limit(CarrierIx),
    /// Its pack or bed.
    Room(CarrierIx),
    /// None of the item's ways suits this carrier, or it takes no kit at all.
    Ways(CarrierIx),
}

/// Asks about all other ways, or with `carrier` about that one alone. `Err`
/// has the answer to the move itself where that is no plan.
pub fn why(
    order: &MoveOrder,
    item: ItemIx,
    carrier: Option<CarrierIx>,
    oracle: &Oracle<'_>,
) -> Result<Why, Box<Answer>> {
    oracle.step("the plan itself");
    let answer = oracle.answer(order, oracle.left().mul_f64(0.4));
    let Outcome::Plan(planned) = answer.outcome else { return Err(Box::new(answer)) };
    let at = PlacesInPlan::new(order, &planned.findings, item);
    let mut all = match carrier {
        None => ways(order, item, &at),
        Some(c) => {
            let mut all = Vec::new();
            if at.on(c) > 0 {
                all.push(Instead::Without(c));
            }
            if at.on(c) < order.item(item).held {
                all.push(Instead::With(c));
            }
            all
        }
    };
    let not_tried = all.len().saturating_sub(MOST_WAYS);
    all.truncate(MOST_WAYS);
    let count = all.len();
    let one = |k: usize, known: Option<&Asked>, time| {
        let more = known.map_or("", |_| ", once more");
        oracle.step(format!("way {} of {count}{more}", k + 1));
        other(order, item, &planned, &at, all[k], known, time, oracle)
    };
    let asked = oracle.in_turn(count, one, |a| a.open);
    let others = asked.into_iter().map(|a| a.other).collect();
    Ok(Why { item, planned, at, others, not_tried })
}

/// A way that was asked about, for when it is asked about again.
#[derive(Clone)]
struct Asked {
    other: Other,
    /// The best plan that goes this way so far.
    plan: Option<Plan>,
    /// More time may settle it.
    open: bool,
}

#[allow(clippy::too_many_arguments)]
fn other(
    order: &MoveOrder,
    item: ItemIx,
    planned: &Planned,
    at: &PlacesInPlan,
    instead: Instead,
    known: Option<&Asked>,
    time: Duration,
    oracle: &Oracle<'_>,
) -> Asked {
    let settled = |verdict| {
        let other = Other { instead, verdict, goals: Vec::new() };
        Asked { other, plan: None, open: false }
    };
    if let Some(verdict) = barred(order, item, at, instead) {
        return settled(verdict);
    }
    // What is packed is near to what is packed otherwise.
    let from = known.and_then(|k| k.plan.as_ref()).unwrap_or(&planned.plan);
    let order = &vary::starting_from(order, from);
    let changed = forced(order, item, at, instead, |p| there(order, planned, item, p));
    let end = oracle.left().saturating_sub(time);
    // Forced, it can do no better than the plan's own bounds.
    let answer = oracle.answer_within(&changed, time, &planned.goals);
    let may_say_more = oracle::open(&answer);
    // A second look must not report less than the first.
    let first = known.filter(|k| k.plan.is_some());
    match answer.outcome {
        Outcome::Plan(p) => {
            let less = |k: &&Asked| oracle::worse(&p.goals, &k.other.goals) == Some(true);
            if let Some(known) = first.filter(less) {
                return Asked { open: may_say_more, ..known.clone() };
            }
            let verdict = verdict(&planned.goals, &p.goals, oracle.gap().ppm() as f64 / 1e6);
            let open = may_say_more && matches!(verdict, Verdict::Open(_));
            let Planned { plan, goals, .. } = *p;
            Asked { other: Other { instead, verdict, goals }, plan: Some(plan), open }
        }
        Outcome::NoPlan(reason) => {
            let time = oracle.left().saturating_sub(end);
            let obstacles = obstacles(order, &changed, item, instead, time, oracle);
            settled(Verdict::Forbidden { obstacles, reason })
        }
        Outcome::NoneFound => match first {
            Some(known) => Asked { open: may_say_more, ..known.clone() },
            None => Asked { open: may_say_more, ..settled(Verdict::Unknown) },
        },
    }
}

/// Units of the item in the party, loose and in cases.
fn there(order: &MoveOrder, planned: &Planned, item: ItemIx, party: PartyIx) -> u32 {
    let here = planned.findings.carriers.iter().filter(|c| c.party == party);
    // Both bearers of a pair have its line: each stands for half.
    let halves = here.flat_map(|c| &c.lines).map(|line| {
        let inside = order.catalogue().inside(line.item).iter().find(|(i, _)| *i == item);
        let units = inside.map_or(0, |(_, n)| u64::from(*n) * u64::from(line.count));
        if line.with.is_some() { units } else { 2 * units }
    });
    u32::try_from(halves.sum::<u64>() / 2).unwrap_or(u32::MAX)
}

/// What forbids the way by itself, before anything is asked.
fn barred(order: &MoveOrder, item: ItemIx, at: &PlacesInPlan, instead: Instead) -> Option<Verdict> {
    let Instead::With(c) = instead else { return None };
    let forbidden = |obstacle| {
        let reason = Reason { text: String::new(), place: None };
        Some(Verdict::Forbidden { obstacles: vec![obstacle], reason })
    };
    if !order.takes_kit(c) {
        return forbidden(Obstacle::Ways(c));
    }
    let on_foot = |w: &Way| *w != Way::Bed;
    if order.carrier(c).person().is_some() && !order.item(item).ways.iter().any(|w| on_foot(&w)) {
        return forbidden(Obstacle::Ways(c));
    }
    let rule = order.rules().iter().position(|r| match &r.kind {
        RuleKind::KeepOff { items, carriers } => items.contains(&item) && carriers.contains(&c),
        RuleKind::AtMost { count, items, carriers } => {
            items.contains(&item) && carriers.contains(&c) && *count <= at.on(c)
        }
        _ => false,
    });
    rule.and_then(|k| forbidden(Obstacle::Rule(k)))
}

/// The parts of the move without any one of which the way could be gone: of
/// the carrier and the rules that name the item, or else of all other rules, or
/// else of the needs.
fn obstacles(
    order: &MoveOrder,
    changed: &MoveOrder,
    item: ItemIx,
    instead: Instead,
    time: Duration,
    oracle: &Oracle<'_>,
) -> Vec<Obstacle> {
    let without = |o: &Obstacle| match o {
        Obstacle::Limit(c) => vary::with_no_limit(changed, *c),
        Obstacle::Room(c) => vary::with_no_room(changed, *c),
        Obstacle::Rule(k) => vary::without_rule(changed, *k),
        Obstacle::Need(k) => vary::without_need(changed, *k),
        Obstacle::Ways(_) => changed.clone(),
    };
    // What forces the way comes after what the user wrote.
    let rules = |near: bool| {
        let all = order.rules().iter().enumerate();
        let of = all.filter(move |(_, r)| r.kind.names_item(item) == near);
        of.map(|(k, _)| Obstacle::Rule(k)).collect::<Vec<_>>()
    };
    let mut near = match instead {
        Instead::With(c) => vec![Obstacle::Limit(c), Obstacle::Room(c)],
        _ => Vec::new(),
    };
    near.extend(rules(true));
    let needs: Vec<_> = (0..order.needs().len()).map(Obstacle::Need).collect();
    let stages = match instead {
        // A need is what asks for it.
        Instead::Fewer => [near, needs, rules(false)],
        _ => [near, rules(false), needs],
    };
    let tries: usize = stages.iter().map(|s| s.len().min(MOST_TRIED)).sum();
    let time = time / tries.max(1) as u32;
    for stage in stages {
        let open = |o: &Obstacle| !oracle.over() && oracle.possible(&without(o), time).is_yes();
        let found: Vec<_> = stage.into_iter().take(MOST_TRIED).filter(open).collect();
        if !found.is_empty() {
            return found;
        }
    }
    Vec::new()
}

/// The first goal in which the two differ by more than `gap`, a share, which
/// is as near to the best as was asked for.
fn verdict(plan: &[GoalResult], other: &[GoalResult], gap: f64) -> Verdict {
    for (a, b) in plan.iter().zip(other) {
        let (x, y) = (a.reached.number(), b.reached.number());
        if (x - y).abs() <= gap * f64::max(x.abs(), y.abs()) {
            continue;
        }
        let better = |x: f64, y: f64| if a.goal.up() { x > y } else { x < y };
        if better(y, x) {
            return Verdict::Better(a.goal);
        }
        // Worse, but is it bound to be?
        let settled = better(x, b.bound.number());
        return if settled { Verdict::Worse(a.goal) } else { Verdict::Open(a.goal) };
    }
    Verdict::AsGood
}

impl Why {
    /// Whether every way tried was settled, and the plan is as was asked.
    pub fn settled(&self) -> bool {
        self.planned.status != Status::Feasible
            && self.others.iter().all(|o| !matches!(o.verdict, Verdict::Unknown | Verdict::Open(_)))
    }
}
