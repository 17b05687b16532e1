//! Whether a plan survives that somebody drops out: whichever one person of a
//! party on foot does, the rest can carry what the party needs, within their
//! emergency limits, out of what the party brought.
//!
//! Where one person goes alone there is no rest: that case is not asked, and
//! reported as not asked.
//!
//! It depends on nothing but what the party brought, and bringing more never
//! hurts, since things may be left where they are. So plans and drop-outs are
//! separated (logic-based Benders decomposition, Hooker and Ottosson 2003). The
//! master is the move itself; each drop-out is a subproblem, asked of the
//! [`Oracle`]. One that is infeasible gives a largest set of things with which
//! it still is, and the Benders cut says that the plan brings more than that of
//! something (`MoveOrder::brings`: rows, penalty, audit). Every plan that
//! survives satisfies every cut, so bounds and proofs stay valid; it ends when
//! a plan survives or the master has none.

mod cut;
mod lack;
mod scenario;

use super::oracle::{Oracle, Possible};
use super::vary;
use crate::load::{CarrierIx, GoalKind, MoveOrder, PartyIx, Plan, Share};
use crate::split::{Answer, CarrierFinding, Outcome, Planned, Reason};
use scenario::{Scenario, brought};

/// Who takes over from whom.
#[derive(Debug, Clone, Default)]
pub struct Survival {
    /// By party and then as written there; empty where no party of two or
    /// more is on foot.
    pub drop_outs: Vec<DropOut>,
    /// Whose loss was not asked for: who alone goes with a party on foot that
    /// has needs. Nobody would be left there for them.
    pub alone: Vec<(PartyIx, CarrierIx)>,
}

/// One person has dropped out, and the rest go on.
#[derive(Debug, Clone)]
pub struct DropOut {
    /// Who drops out.
    pub who: CarrierIx,
    /// Of which party.
    pub party: PartyIx,
    /// The move of the rest: their needs, what was brought, and emergency
    /// limits for limits.
    pub order: MoveOrder,
    /// A plan of theirs that passed the audit.
    pub planned: Box<Planned>,
}

impl DropOut {
    /// Whoever of the rest has the largest share of their emergency limit.
    pub fn fullest(&self) -> Option<&CarrierFinding> {
        let share = |c: &CarrierFinding| Share { load: c.load, limit: c.limit };
        let people = self.planned.findings.carriers.iter();
        let people = people.filter(|c| self.order.carrier(c.carrier).person().is_some());
        people.max_by(|a, b| share(a).cmp(&share(b)).then(b.carrier.cmp(&a.carrier)))
    }
}

/// The part of the time left that one split of the master may take.
const SPLIT: f64 = 0.6;

/// The question of one move.
pub(super) struct Survive<'a> {
    order: &'a MoveOrder,
    oracle: &'a Oracle<'a>,
    scenarios: Vec<Scenario>,
    held: Vec<u32>,
}

impl<'a> Survive<'a> {
    pub fn new(order: &'a MoveOrder, oracle: &'a Oracle<'a>) -> Self {
        let held = order.catalogue().items().map(|(_, item)| item.held).collect();
        Survive { order, oracle, scenarios: scenario::all(order), held }
    }

    /// Whether there is anybody whose loss is to be borne.
    pub fn asks(&self) -> bool {
        !self.scenarios.is_empty()
    }

    /// Why no plan can survive, if the rest could not go on even if everything
    /// had been brought.
    pub fn hopeless(&mut self) -> Option<Reason> {
        let (order, oracle) = (self.order, self.oracle);
        self.scenarios.iter_mut().find_map(|s| {
            let who = &order.carrier(s.who).id;
            oracle.step(format!("whether anything helps if {who} drops out"));
            match s.possible(&self.held, oracle) {
                Possible::No(reason) => {
                    let reason = lack::lack(s, &self.held, reason, oracle);
                    Some(whatever_they_bring(order, s, reason))
                }
                _ => None,
            }
        })
    }

    /// The best plan that survives; `base` is the answer without that.
    pub fn answer(self, base: &Answer) -> (Answer, Option<Survival>) {
        let Survive { order, oracle, mut scenarios, held } = self;
        let mut order = order.clone();
        let mut answer = base.clone();
        loop {
            let planned = match &answer.outcome {
                Outcome::Plan(planned) => planned.clone(),
                Outcome::NoPlan(_) => {
                    let outcome = Outcome::NoPlan(nothing_they_bring(&order));
                    return (Answer { outcome, ..answer }, None);
                }
                Outcome::NoneFound => return (answer, None),
            };
            let (mut fails, mut open, mut learnt) = (false, false, Vec::new());
            for s in &mut scenarios {
                oracle.step(format!("whether {} can drop out", order.carrier(s.who).id));
                let brought = brought(&order, &planned.plan, s.party);
                match s.possible(&brought, oracle) {
                    Possible::Yes(_) => {}
                    Possible::No(_) => {
                        fails = true;
                        learnt.extend(cut::of(s, &brought, &held, oracle));
                    }
                    Possible::Unknown => open = true,
                }
            }
            let borne = !fails && !open;
            if borne
                && let Some(survival) = take_over(&order, &planned.plan, &mut scenarios, oracle)
            {
                return (answer, Some(survival));
            }
            let known = order.brings().len();
            order = vary::changed(&order, |parts| {
                for bring in learnt {
                    if !parts.brings.contains(&bring) {
                        parts.brings.push(bring);
                    }
                }
            });
            // Nothing new to learn from is no way on.
            if order.brings().len() == known || oracle.over() {
                // Nothing is said of a plan that was not seen to survive.
                return (Answer { outcome: Outcome::NoneFound, ..stopped(answer, oracle) }, None);
            }
            let n = order.brings().len();
            oracle.step(format!("a plan that survives, {n} things learnt"));
            answer = oracle.answer(&order, oracle.left().mul_f64(SPLIT));
        }
    }
}

fn stopped(answer: Answer, oracle: &Oracle) -> Answer {
    use crate::split::Stop;
    let why = match (oracle.watch().interrupted(), oracle.over()) {
        (true, _) => Stop::Interrupt,
        (_, true) => Stop::Deadline,
        _ => Stop::Unsettled,
    };
    Answer { stopped: Some(why), ..answer }
}

/// The plans of the rest, each as even as can be found in the time.
fn take_over(
    order: &MoveOrder,
    plan: &Plan,
    scenarios: &mut [Scenario],
    oracle: &Oracle,
) -> Option<Survival> {
    let mut drop_outs = Vec::new();
    let count = scenarios.len();
    for (k, s) in scenarios.iter_mut().enumerate() {
        oracle.step(format!("who takes over if {} drops out", order.carrier(s.who).id));
        let rest = s.order(&brought(order, plan, s.party));
        let any = match s.possible(&brought(order, plan, s.party), oracle) {
            Possible::Yes(planned) => planned,
            _ => return None,
        };
        let rest = vary::with_goals(&rest, &[GoalKind::Even]);
        let most = oracle.left().div_f64((count - k) as f64 * 2.0);
        let planned = match (!oracle.over()).then(|| oracle.answer(&rest, most).outcome) {
            Some(Outcome::Plan(planned)) => planned,
            _ => any,
        };
        drop_outs.push(DropOut { who: s.who, party: s.party, order: rest, planned });
    }
    Some(Survival { drop_outs, alone: scenario::alone(order) })
}

fn whatever_they_bring(order: &MoveOrder, s: &Scenario, reason: Reason) -> Reason {
    let who = &order.carrier(s.who).id;
    let party = &order.party(s.party).id;
    let text = format!(
        "if `{who}` drops out, the rest of `{party}` cannot have all it needs within their \
         emergency limits, whatever the party brought: {}",
        reason.text
    );
    Reason { text, place: reason.place }
}

fn nothing_they_bring(order: &MoveOrder) -> Reason {
    let mut parties: Vec<PartyIx> = order.brings().iter().map(|b| b.party).collect();
    parties.sort();
    parties.dedup();
    let named: Vec<String> = parties.iter().map(|p| format!("`{}`", order.party(*p).id)).collect();
    let text = format!(
        "no plan survives whoever drops out of {}: what the rest could carry on with, the whole \
         party cannot bring within its limits",
        named.join(" or ")
    );
    Reason { text, place: None }
}
