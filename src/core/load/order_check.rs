//! Whether the parts of a move order go together.

use super::carrier::Carrier;
use super::ix::{CarrierIx, ItemIx, PartyIx};
use super::move_parts::MoveParts;
use super::need::{MOST_OPTIONAL_DEMANDS, NeedNode};
use super::order_fault::{OrderFault, Within};
use super::party::Travel;
use super::plan::Bearer;
use super::rule::RuleKind;
use std::collections::BTreeSet;

/// Everything in which the parts do not go together.
pub(super) fn faults(parts: &MoveParts) -> Vec<OrderFault> {
    let mut check = Check { parts, of: vec![None; parts.carriers.len()], faults: Vec::new() };
    check.carriers();
    check.parties();
    check.needs_and_wants();
    check.rules();
    check.goals();
    check.asked();
    check.faults
}

struct Check<'a> {
    parts: &'a MoveParts,
    /// The party of each carrier.
    of: Vec<Option<PartyIx>>,
    faults: Vec<OrderFault>,
}

impl<'a> Check<'a> {
    fn carrier(&self, c: CarrierIx) -> Option<&'a Carrier> {
        self.parts.carriers.get(c.0)
    }
    fn is_person(&self, c: CarrierIx) -> bool {
        self.carrier(c).is_some_and(|c| c.person().is_some())
    }
    fn item(&mut self, within: Within, item: ItemIx) {
        if item.0 >= self.parts.catalogue.len() {
            self.faults.push(OrderFault::NoItem { within, item });
        }
    }
    fn party(&mut self, within: Within, party: PartyIx) {
        if party.0 >= self.parts.parties.len() {
            self.faults.push(OrderFault::NoParty { within, party });
        }
    }
    /// Whether the carrier is there.
    fn listed(&mut self, within: Within, carrier: CarrierIx) -> bool {
        let there = self.carrier(carrier).is_some();
        if !there {
            self.faults.push(OrderFault::NoCarrier { within, carrier });
        }
        there
    }

    fn carriers(&mut self) {
        let parts = self.parts;
        let mut ids = BTreeSet::new();
        for (c, carrier) in parts.carriers.iter().enumerate() {
            let within = Within::Carrier(CarrierIx(c));
            if !ids.insert(&carrier.id) {
                self.faults.push(OrderFault::SameId { within, id: carrier.id.clone() });
            }
            let Some(person) = carrier.person() else { continue };
            if person.emergency_limit < person.limit {
                self.faults.push(OrderFault::EmergencyLimit { carrier: CarrierIx(c) });
            }
            for (supply, used) in &person.uses {
                match parts.catalogue.get_supply(*supply) {
                    None => self.faults.push(OrderFault::NoSupply { within, supply: *supply }),
                    Some(known) if !used.is_of(known) => {
                        self.faults.push(OrderFault::NotOfSupply { within, supply: *supply });
                    }
                    Some(_) => {}
                }
            }
        }
    }

    fn parties(&mut self) {
        let parts = self.parts;
        let mut ids = BTreeSet::new();
        let mut aboard = BTreeSet::new();
        let mut seats: Vec<u32> =
            parts.carriers.iter().map(|c| c.vehicle().map_or(0, |v| v.seats)).collect();
        if parts.parties.is_empty() {
            self.faults.push(OrderFault::NoParties);
        }
        for (p, party) in parts.parties.iter().enumerate() {
            let here = PartyIx(p);
            let within = Within::Party(here);
            if !ids.insert(&party.id) {
                self.faults.push(OrderFault::SameId { within, id: party.id.clone() });
            }
            if party.who.is_empty() {
                self.faults.push(OrderFault::EmptyParty { party: here });
            }
            for &carrier in &party.who {
                if !self.listed(within, carrier) {
                    continue;
                }
                if self.of[carrier.0].is_some() {
                    self.faults.push(OrderFault::InTwoParties { carrier, party: here });
                    continue;
                }
                self.of[carrier.0] = Some(here);
                let vehicle = self.carrier(carrier).and_then(Carrier::vehicle);
                if party.travel == Travel::Foot && vehicle.is_some_and(|v| !v.hauled) {
                    self.faults.push(OrderFault::NotHauled { party: here, vehicle: carrier });
                }
            }
            for &(person, vehicle) in &party.aboard {
                let in_it = |c: CarrierIx| self.of.get(c.0) == Some(&Some(here));
                let kinds = self.is_person(person) && !self.is_person(vehicle);
                let rides = party.travel == Travel::Vehicle && in_it(person) && in_it(vehicle);
                if !kinds || !rides || !aboard.insert(person) {
                    self.faults.push(OrderFault::NotAboard { party: here, person, vehicle });
                    continue;
                }
                match seats[vehicle.0].checked_sub(1) {
                    Some(left) => seats[vehicle.0] = left,
                    None => self.faults.push(OrderFault::Seats { vehicle }),
                }
                let known = self.carrier(person).and_then(Carrier::person);
                if known.is_some_and(|p| p.body_mass.is_none()) {
                    self.faults.push(OrderFault::NoBodyMass { person });
                }
            }
        }
        if let Some(store) = parts.store {
            self.party(Within::Store, store);
            if parts.parties.get(store.0).is_some_and(|p| p.travel == Travel::Foot) {
                self.faults.push(OrderFault::StoreOnFoot { store });
            }
        }
    }

    fn needs_and_wants(&mut self) {
        let parts = self.parts;
        let mut choices = vec![0usize; parts.parties.len()];
        for (n, need) in parts.needs.iter().enumerate() {
            self.party(Within::Need(n), need.party);
            if let Some(choices) = choices.get_mut(need.party.0) {
                *choices += need.node.optional_demands(true);
            }
            self.node(Within::Need(n), &need.node);
        }
        for (p, choices) in choices.iter().enumerate() {
            if *choices > MOST_OPTIONAL_DEMANDS {
                self.faults.push(OrderFault::TooManyChoices { party: PartyIx(p) });
            }
        }
        for (n, want) in parts.wants.iter().enumerate() {
            self.party(Within::Want(n), want.party);
            self.item(Within::Want(n), want.item);
        }
    }

    fn node(&mut self, within: Within, node: &NeedNode) {
        match node {
            NeedNode::Item { item, .. } => self.item(within, *item),
            NeedNode::Supply(demand) => {
                let supply = demand.supply;
                match self.parts.catalogue.get_supply(supply) {
                    None => self.faults.push(OrderFault::NoSupply { within, supply }),
                    Some(known) => {
                        let mut amounts = demand.amount.iter().chain(&demand.per_person);
                        if amounts.any(|a| a.dimension != known.dimension) {
                            self.faults.push(OrderFault::NotOfSupply { within, supply });
                        }
                    }
                }
            }
            NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
                if of.is_empty() {
                    self.faults.push(OrderFault::Empty { within });
                } else if let NeedNode::AtLeast { count, .. } = node
                    && !(1..=of.len()).contains(&(*count as usize))
                {
                    self.faults.push(OrderFault::Count { within });
                }
                of.iter().for_each(|node| self.node(within, node));
            }
        }
    }

    fn rules(&mut self) {
        let parts = self.parts;
        for (rule, written) in parts.rules.iter().enumerate() {
            let within = Within::Rule(rule);
            written.kind.items().iter().for_each(|item| self.item(within, *item));
            for &carrier in written.kind.carriers() {
                if !self.listed(within, carrier) {
                    continue;
                }
                let vehicle = !self.is_person(carrier);
                let party = self.of[carrier.0].map(|p| &parts.parties[p.0]);
                let takes = party.is_some_and(|p| vehicle || p.travel == Travel::Foot);
                match &written.kind {
                    RuleKind::Fixed { .. } if !takes => {
                        self.faults.push(OrderFault::FixedToNobody { rule, carrier });
                    }
                    RuleKind::HandsFree { .. } if vehicle => {
                        self.faults.push(OrderFault::HandsOfVehicle { rule, carrier });
                    }
                    _ => {}
                }
            }
        }
    }

    fn goals(&mut self) {
        let mut seen = BTreeSet::new();
        for goal in &self.parts.goals {
            if !seen.insert(goal.kind) {
                self.faults.push(OrderFault::GoalTwice { goal: goal.kind });
            }
        }
        if seen.is_empty() {
            self.faults.push(OrderFault::NoGoals);
        }
    }

    /// What questions add: the plan before, what was used up, what has to be brought.
    fn asked(&mut self) {
        let parts = self.parts;
        if let Some(before) = &parts.before {
            for placement in before.plan.placements() {
                self.item(Within::Before, placement.item);
                let (first, second) = match placement.by {
                    Bearer::One { carrier, .. } => (carrier, None),
                    Bearer::Pair { first, second } => (first, Some(second)),
                };
                for carrier in std::iter::once(first).chain(second) {
                    self.listed(Within::Before, carrier);
                }
            }
            before.astray.iter().for_each(|(item, _)| self.item(Within::Before, *item));
        }
        for (n, (party, supply, _)) in parts.spent.iter().enumerate() {
            self.party(Within::Spent(n), *party);
            if parts.catalogue.get_supply(*supply).is_none() {
                let (within, supply) = (Within::Spent(n), *supply);
                self.faults.push(OrderFault::NoSupply { within, supply });
            }
        }
        for (n, brings) in parts.brings.iter().enumerate() {
            let within = Within::Brings(n);
            self.party(within, brings.party);
            if brings.any.is_empty() {
                self.faults.push(OrderFault::Empty { within });
            }
            for (item, count) in &brings.any {
                self.item(within, *item);
                if *count == 0 {
                    self.faults.push(OrderFault::Count { within });
                }
            }
        }
    }
}
