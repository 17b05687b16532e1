//! One person has dropped out: the move of the rest.

use crate::ask::oracle::{Oracle, Possible};
use crate::ask::vary;
use crate::load::{
    Bearer, CarrierIx, Goal, GoalKind, MoveOrder, MoveParts, Need, Party, PartyIx, Plan, Riding,
    RuleKind, Travel,
};
use crate::quantity::Percent;
use crate::split::Planned;

/// A drop-out, and what is known of what the rest can bear.
#[derive(Debug)]
pub(super) struct Scenario {
    pub who: CarrierIx,
    pub party: PartyIx,
    /// The move of the rest, with everything held.
    rest: MoveOrder,
    /// Counts with which no plan of theirs exists, and why; less is no better.
    no: Vec<(Vec<u32>, crate::split::Reason)>,
    /// Counts with a plan of theirs; more is no worse.
    yes: Vec<(Vec<u32>, Box<Planned>)>,
}

/// One for each person of a party of two people or more, on foot and outside
/// the store.
pub(super) fn all(order: &MoveOrder) -> Vec<Scenario> {
    let several = walkers(order).filter(|(_, people)| people.len() > 1);
    several
        .flat_map(|(p, people)| people.into_iter().map(move |c| (p, c)))
        .map(|(p, c)| Scenario::new(order, p, c))
        .collect()
}

/// Who alone goes with a party on foot that needs something.
pub(super) fn alone(order: &MoveOrder) -> Vec<(PartyIx, CarrierIx)> {
    let needs = |p: PartyIx| order.needs().iter().any(|n| n.party == p);
    let single = walkers(order).filter(|(p, people)| people.len() == 1 && needs(*p));
    single.map(|(p, people)| (p, people[0])).collect()
}

/// The people of each party on foot outside the store.
fn walkers(order: &MoveOrder) -> impl Iterator<Item = (PartyIx, Vec<CarrierIx>)> {
    let parties = order.parties().iter().enumerate().map(|(p, party)| (PartyIx(p), party));
    let on_foot = parties.filter(|(p, party)| party.travel == Travel::Foot && !order.is_store(*p));
    on_foot.map(|(p, party)| {
        let who = party.who.iter().copied();
        (p, who.filter(|c| order.carrier(*c).person().is_some()).collect())
    })
}

impl Scenario {
    /// What the party brought is all there is, and may be left where it is.
    /// Needs are judged for the rest; wants do not count. Ways, slots, hands,
    /// room and what things require hold, as do the rules on who may take what
    /// and on free hands. How things are spread is laid aside, and so are
    /// reserves: this is what they are for.
    fn new(order: &MoveOrder, party: PartyIx, who: CarrierIx) -> Self {
        let group = order.party(party);
        let rest: Vec<CarrierIx> = group.who.iter().copied().filter(|c| *c != who).collect();
        let mut carriers = order.carriers().to_vec();
        for carrier in &mut carriers {
            if let Riding::Person(p) = &mut carrier.riding {
                p.limit = p.emergency_limit.max(p.limit);
                p.limit_share = None;
            }
        }
        let kept =
            |kind: &RuleKind| matches!(kind, RuleKind::KeepOff { .. } | RuleKind::HandsFree { .. });
        let needs = order.needs().iter().filter(|n| n.party == party);
        let rest = MoveOrder::new(MoveParts {
            name: order.name().to_string(),
            units: order.units(),
            catalogue: order.catalogue().clone(),
            carriers,
            parties: vec![Party { who: rest, aboard: vec![], ..group.clone() }],
            needs: needs.map(|n| Need { party: PartyIx(0), ..n.clone() }).collect(),
            rules: order.rules().iter().filter(|r| kept(&r.kind)).cloned().collect(),
            goals: vec![Goal { kind: GoalKind::Wants, give: Percent::ZERO }],
            tolerance: order.tolerance(),
            ..MoveParts::default()
        });
        // The party had somebody else, and its needs and rules name what they named.
        let rest = rest.expect("the rest of a party is a move");
        Scenario { who, party, rest, no: Vec::new(), yes: Vec::new() }
    }

    /// The move of the rest after so many of each item were brought.
    pub fn order(&self, brought: &[u32]) -> MoveOrder {
        vary::with_all_held(&self.rest, |i, _| brought.get(i.0).copied().unwrap_or(0))
    }

    /// Whether the rest can carry what they need out of what was brought.
    pub fn possible(&mut self, brought: &[u32], oracle: &Oracle) -> Possible {
        let within = |a: &[u32], b: &[u32]| a.iter().zip(b).all(|(a, b)| a <= b);
        if let Some((_, plan)) = self.yes.iter().find(|(n, _)| within(n, brought)) {
            return Possible::Yes(plan.clone());
        }
        if let Some((_, why)) = self.no.iter().find(|(n, _)| within(brought, n)) {
            return Possible::No(why.clone());
        }
        // Even a split without time reads the whole move first.
        if oracle.over() {
            return Possible::Unknown;
        }
        let found = oracle.possible(&self.order(brought), oracle.left().div_f64(3.0));
        match &found {
            // What the plan has of it is enough.
            Possible::Yes(planned) => {
                let used = self::brought(&self.rest, &planned.plan, PartyIx(0));
                self.yes.push((used, planned.clone()));
            }
            Possible::No(why) => self.no.push((brought.to_vec(), why.clone())),
            Possible::Unknown => {}
        }
        found
    }
}

/// Loose units of each item that the party brings.
pub(super) fn brought(order: &MoveOrder, plan: &Plan, party: PartyIx) -> Vec<u32> {
    let mut counts = vec![0u32; order.catalogue().len()];
    for p in plan.placements() {
        let (Bearer::One { carrier, .. } | Bearer::Pair { first: carrier, .. }) = p.by;
        if order.party(party).who.contains(&carrier) {
            counts[p.item.0] = counts[p.item.0].saturating_add(p.count);
        }
    }
    counts
}
