//! By people: what a smaller party leaves out.

use super::walk::goals;
use super::{Change, changes};
use crate::ask::{Oracle, vary};
use crate::load::{CarrierIx, GoalKind, GoalValue, MoveOrder, PartyIx};
use crate::split::{Outcome, Planned, Reason, Status};
use std::cmp::Reverse;
use std::time::Duration;

/// A party of some size, and the best that it can do.
#[derive(Debug, Clone)]
pub struct Crew {
    /// Who goes, in the order written.
    pub who: Vec<CarrierIx>,
    /// Who stays behind that went in the row before.
    pub without: Option<CarrierIx>,
    pub outcome: CrewOutcome,
    /// Against the last larger party with a plan, or against all that is
    /// wanted: wants that go and that come back.
    pub goes: Vec<Change>,
    pub comes: Vec<Change>,
}

/// Whether there is a plan, with the reason if it is proven that there is none.
#[derive(Debug, Clone)]
pub enum CrewOutcome {
    /// Goals: wants, then even.
    Plan(Box<Planned>),
    NoPlan(Reason),
    Unknown,
}

impl Crew {
    pub fn planned(&self) -> Option<&Planned> {
        match &self.outcome {
            CrewOutcome::Plan(planned) => Some(planned),
            _ => None,
        }
    }
    /// What no plan of this party passes.
    pub fn value_bound(&self) -> Option<u64> {
        let goals = &self.planned()?.goals;
        goals.iter().find_map(|g| match g.bound {
            GoalValue::Points(bound) => Some(bound),
            _ => None,
        })
    }
    /// Whether value and peak share are proven, or that there is no plan.
    pub fn exact(&self) -> bool {
        match &self.outcome {
            CrewOutcome::Plan(planned) => planned.status == Status::ProvenBest,
            CrewOutcome::NoPlan(_) => true,
            CrewOutcome::Unknown => false,
        }
    }
    /// Whether it is known less exactly than was asked.
    pub fn cut_short(&self) -> bool {
        match &self.outcome {
            CrewOutcome::Plan(planned) => planned.status == Status::Feasible,
            CrewOutcome::NoPlan(_) => false,
            CrewOutcome::Unknown => true,
        }
    }
}

/// The party on foot outside the store whose size is varied, if none is named:
/// the first one.
pub fn varied_party(order: &MoveOrder) -> Option<PartyIx> {
    let first = vary::walkers(order).first().copied()?;
    order.party_of(first)
}

/// From all people of the party down to one, the last one written staying
/// behind first. What a need asks for each person goes down with them.
pub fn by_people(order: &MoveOrder, party: PartyIx, oracle: &Oracle<'_>) -> Vec<Crew> {
    let people: Vec<CarrierIx> = order
        .party(party)
        .who
        .iter()
        .copied()
        .filter(|c| order.carrier(*c).person().is_some())
        .collect();
    let mut moved = order.clone();
    moved.goals = goals(&[GoalKind::Wants, GoalKind::Even]);
    let (mut crews, mut orders) = (Vec::new(), Vec::new());
    for size in (1..=people.len()).rev() {
        let without = people.get(size).copied();
        if let Some(last) = without {
            match vary::without_carrier(&moved, last) {
                Some(fewer) => moved = fewer,
                None => break,
            }
        }
        oracle.step(format!("party of {size}"));
        let outcome = outcome(&moved, oracle, oracle.left() / size as u32);
        let who = people[..size].to_vec();
        crews.push(Crew { who, without, outcome, goes: vec![], comes: vec![] });
        orders.push(moved.clone());
    }
    again(&mut crews, &orders, oracle);
    let mut before: Vec<u32> = order.wants.iter().map(|w| w.up_to).collect();
    for crew in &mut crews {
        if let CrewOutcome::Plan(planned) = &crew.outcome {
            (crew.goes, crew.comes) = changes(&before, &planned.findings.wants);
            before.clone_from(&planned.findings.wants);
        }
    }
    crews
}

fn outcome(order: &MoveOrder, oracle: &Oracle<'_>, most: Duration) -> CrewOutcome {
    match oracle.answer(order, most).outcome {
        Outcome::Plan(planned) => CrewOutcome::Plan(planned),
        Outcome::NoPlan(reason) => CrewOutcome::NoPlan(reason),
        Outcome::NoneFound => CrewOutcome::Unknown,
    }
}

/// What was cut short gets the time that others left.
fn again(crews: &mut [Crew], orders: &[MoveOrder], oracle: &Oracle<'_>) {
    let mut waiting = crews.iter().filter(|c| c.cut_short()).count() as u32;
    for (crew, order) in crews.iter_mut().zip(orders).filter(|(c, _)| c.cut_short()) {
        let most = oracle.left() / waiting.max(1);
        waiting -= 1;
        if oracle.over() {
            return;
        }
        oracle.step(format!("party of {}, once more", crew.who.len()));
        let found = outcome(order, oracle, most);
        let value = |o: &CrewOutcome| match o {
            CrewOutcome::Plan(p) => Some((p.findings.wants_value, Reverse(p.findings.peak_share))),
            _ => None,
        };
        if matches!(found, CrewOutcome::NoPlan(_)) || value(&found) >= value(&crew.outcome) {
            crew.outcome = found;
        }
    }
}
