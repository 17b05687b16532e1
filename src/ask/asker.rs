//! Asks whether changed moves are possible, and keeps the plans that were
//! found: one of them may be a plan of the next move too, which its audit shows
//! at once.

use super::oracle::{Oracle, Possible};
use crate::load::{Bearer, CarrierIx, MoveOrder, Plan};
use crate::split::{Findings, Reason, audit};
use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::time::Duration;

/// Plans remembered.
const MOST_KNOWN: usize = 24;

/// What is known of a changed move.
pub enum Known {
    /// A plan that passed the audit of that move, and what the audit found.
    Yes(Box<(Plan, Findings)>),
    No(Reason),
    Unknown,
}

impl Known {
    pub fn is_yes(&self) -> bool {
        matches!(self, Known::Yes(_))
    }
}

pub struct Asker<'a> {
    pub oracle: &'a Oracle<'a>,
    /// The longest that one question may take.
    pub most: Duration,
    plans: RefCell<VecDeque<Plan>>,
    unknown: Cell<bool>,
}

fn within(order: &MoveOrder, plan: &Plan) -> bool {
    let there = |c: &CarrierIx| c.0 < order.carriers().len();
    plan.placements().iter().all(|p| match p.by {
        Bearer::One { carrier, .. } => there(&carrier),
        Bearer::Pair { first, second } => there(&first) && there(&second),
    })
}

impl<'a> Asker<'a> {
    pub fn new(oracle: &'a Oracle<'a>, most: Duration) -> Self {
        Asker { oracle, most, plans: RefCell::default(), unknown: Cell::new(false) }
    }

    pub fn possible(&self, order: &MoveOrder) -> Known {
        let known = self.plans.borrow().iter().find_map(|plan| {
            // A plan of a move with more carriers than this one.
            if !within(order, plan) {
                return None;
            }
            let findings = audit(order, plan);
            findings.faults.is_empty().then(|| (plan.clone(), findings))
        });
        if let Some(known) = known {
            return Known::Yes(Box::new(known));
        }
        if self.gave_up() {
            return Known::Unknown;
        }
        match self.oracle.possible(order, self.most) {
            Possible::Yes(planned) => {
                let mut plans = self.plans.borrow_mut();
                plans.push_front(planned.plan.clone());
                plans.truncate(MOST_KNOWN);
                Known::Yes(Box::new((planned.plan, planned.findings)))
            }
            Possible::No(reason) => Known::No(reason),
            Possible::Unknown => {
                self.unknown.set(true);
                Known::Unknown
            }
        }
    }

    /// Whether some question since the last call went without an answer.
    pub fn took_unknown(&self) -> bool {
        self.unknown.replace(false)
    }

    /// Whether time is up; then some question goes without an answer.
    pub fn gave_up(&self) -> bool {
        self.unknown.set(self.unknown.get() || self.over());
        self.over()
    }

    pub fn over(&self) -> bool {
        self.oracle.over()
    }
}
