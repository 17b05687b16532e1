//! By people: what a smaller party leaves out.

use super::{WantUnits, changes};
use crate::ask::{Oracle, oracle, vary};
use crate::load::{CarrierIx, GoalKind, GoalValue, MoveOrder, PartyIx};
use crate::split::{Answer, Outcome, Planned, Reason, Status};

/// A party of some size, and the best that it can do.
#[derive(Debug, Clone)]
pub struct Crew {
    /// Who goes, in the order written.
    pub who: Vec<CarrierIx>,
    /// Who stays behind that went in the row before.
    pub without: Option<CarrierIx>,
    /// What they can do.
    pub outcome: CrewOutcome,
    /// Against the last larger party with a plan, or against all that is
    /// wanted: wants that go.
    pub goes: Vec<WantUnits>,
    /// Against the same: wants that come back.
    pub comes: Vec<WantUnits>,
}

/// Whether there is a plan, with the reason if it is proven that there is none.
#[derive(Debug, Clone)]
pub enum CrewOutcome {
    /// Goals: wants, then even.
    Plan(Box<Planned>),
    /// Proven: they cannot meet the needs.
    NoPlan(Reason),
    /// Not settled in the time given.
    Unknown,
}

impl Crew {
    /// The plan, if there is one.
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
    let mut moved = vary::with_goals(order, &[GoalKind::Wants, GoalKind::Even]);
    let mut parties = Vec::new();
    for size in (1..=people.len()).rev() {
        let without = people.get(size).copied();
        if let Some(last) = without {
            match vary::without_carrier(&moved, last) {
                Some(fewer) => moved = fewer,
                None => break,
            }
        }
        parties.push((size, without, moved.clone()));
    }
    let answer = |k: usize, known: Option<&Answer>, time| {
        let (size, _, order) = &parties[k];
        let more = known.map_or("", |_| ", once more");
        oracle.step(format!("party of {size}{more}"));
        known.map_or_else(|| oracle.answer(order, time), |a| oracle.go_on(order, a, time))
    };
    let answers = oracle.in_turn(parties.len(), answer, oracle::open);
    let mut crews = Vec::new();
    for ((size, without, _), answer) in parties.iter().zip(answers) {
        let outcome = match answer.outcome {
            Outcome::Plan(planned) => CrewOutcome::Plan(planned),
            Outcome::NoPlan(reason) => CrewOutcome::NoPlan(reason),
            Outcome::NoneFound => CrewOutcome::Unknown,
        };
        let (who, without) = (people[..*size].to_vec(), *without);
        crews.push(Crew { who, without, outcome, goes: vec![], comes: vec![] });
    }
    let mut before: Vec<u32> = order.wants().iter().map(|w| w.up_to).collect();
    for crew in &mut crews {
        if let CrewOutcome::Plan(planned) = &crew.outcome {
            (crew.goes, crew.comes) = changes(&before, &planned.findings.wants);
            before.clone_from(&planned.findings.wants);
        }
    }
    crews
}
