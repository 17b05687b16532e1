//! A plan under conditions that the move order does not state, and their
//! price: what each goal would reach without them.

use super::oracle::{Oracle, Possible};
use super::price::{Condition, Price};
use super::survive::{Survival, Survive};
use crate::load::MoveOrder;
use crate::split::{Answer, Options, Outcome, Planned, Reason, Watch, audit};
use std::time::Instant;

/// What is asked of the plan besides the move order.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Conditions {
    /// Whichever one of a party drops out, the rest can carry what it needs.
    pub survives: bool,
}

/// An answer under conditions.
#[derive(Debug)]
pub struct Conditioned {
    /// What was found, under all of them.
    pub answer: Answer,
    /// Of each condition, by itself and in the order in which they are laid on.
    pub prices: Vec<Price>,
    /// Who takes over, if that was asked for and there is a plan.
    pub survival: Option<Survival>,
}

fn no_plan(reason: Reason, start: Instant) -> Answer {
    Answer {
        outcome: Outcome::NoPlan(reason),
        stopped: None,
        elapsed: start.elapsed(),
        stages: Vec::new(),
        origins: Vec::new(),
    }
}

/// Splits the move, whose tolerance is that of the order, under the
/// conditions. `options.time` is for all of it together.
pub fn answer(
    order: &MoveOrder,
    asked: Conditions,
    options: &Options,
    watch: &Watch,
) -> Conditioned {
    let start = Instant::now();
    let oracle = Oracle::new(options, watch);
    let mut prices = Vec::new();
    let mut survive = asked.survives.then(|| Survive::new(order, &oracle));
    if let Some(reason) = survive.as_mut().and_then(|s| s.hopeless()) {
        oracle.step("whether there is any plan at all");
        // Where nothing goes anyhow, that is the better reason.
        let plain = oracle.possible(order, oracle.left());
        let reason = if let Possible::No(why) = plain { why } else { reason };
        return Conditioned { answer: no_plan(reason, start), prices, survival: None };
    }
    let mut answer = under_tolerance(order, asked.survives, &oracle, &mut prices);
    let mut survival = None;
    if let (Some(survive), Outcome::Plan(_)) = (survive, &answer.outcome) {
        let asks = survive.asks();
        let (with, found) = survive.answer(&answer);
        if asks {
            prices.extend(Price::new(Condition::Survives, &with, &answer));
        }
        (answer, survival) = (with, found);
    }
    answer.elapsed = start.elapsed();
    Conditioned { answer, prices, survival }
}

/// The plan without the tolerance first: where it holds under it, nothing is
/// better, and where there is none, there is none with it.
///
/// `more` is asked afterwards, and needs some of the time too.
fn under_tolerance(
    order: &MoveOrder,
    more: bool,
    oracle: &Oracle,
    prices: &mut Vec<Price>,
) -> Answer {
    if order.tolerance().is_none() {
        oracle.step("the plan without conditions");
        return oracle.answer(order, oracle.left().mul_f64(0.65));
    }
    oracle.step("the plan without the tolerance");
    let nominal = order.clone().with_tolerance(None);
    let without = oracle.answer(&nominal, oracle.left().mul_f64(0.3));
    let with = match &without.outcome {
        Outcome::NoPlan(_) => return without,
        Outcome::Plan(p) => held(order, &without, p),
        Outcome::NoneFound => None,
    };
    let with = with.unwrap_or_else(|| {
        oracle.step("the plan with the tolerance");
        oracle.answer(order, oracle.left().mul_f64(if more { 0.6 } else { 1.0 }))
    });
    prices.extend(Price::new(Condition::Tolerance, &with, &without));
    match (&with.outcome, &without.outcome) {
        (Outcome::NoPlan(reason), Outcome::Plan(_)) => {
            let text = "there is a plan by the catalogue's weights, but none that keeps every \
                        limit under this tolerance";
            let reason = Reason { text: text.into(), place: reason.place.clone() };
            Answer { outcome: Outcome::NoPlan(reason), ..with }
        }
        _ => with,
    }
}

/// The nominal answer as that under the tolerance, if its plan holds there.
fn held(order: &MoveOrder, answer: &Answer, planned: &Planned) -> Option<Answer> {
    let findings = audit(order, &planned.plan);
    if !findings.faults.is_empty() {
        return None;
    }
    let outcome = Outcome::Plan(Box::new(Planned { findings, ..planned.clone() }));
    Some(Answer { outcome, ..answer.clone() })
}
