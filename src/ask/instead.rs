//! Another way to carry an item, and the move that forces it.

use super::vary;
use crate::load::{CarrierIx, ItemIx, MoveOrder, Need, NeedNode, PartyIx, RuleKind};
use crate::split::Findings;

/// One unit of an item goes another way than the plan has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instead {
    /// One more is with this carrier, from wherever.
    With(CarrierIx),
    /// One fewer is with this carrier.
    Without(CarrierIx),
    /// One fewer leaves the store; without a store, is taken.
    Fewer,
    /// One more is in this party, loose or in a case.
    More(PartyIx),
}

/// Where the units of an item are in a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlacesInPlan {
    /// Carriers outside the store with units on them, in the order of the
    /// parties; what a pair carries is on both.
    pub with: Vec<(CarrierIx, u32)>,
    /// Units outside the store, what a pair carries once.
    pub gone: u32,
    /// Units in the store, or not taken.
    pub left: u32,
}

impl PlacesInPlan {
    /// Where the item is by what the audit found.
    pub fn new(order: &MoveOrder, findings: &Findings, item: ItemIx) -> Self {
        let outside = findings.carriers.iter().filter(|c| !order.is_store(c.party));
        let on = outside.map(|c| {
            let lines = c.lines.iter().filter(|l| l.item == item);
            (c.carrier, lines.map(|l| l.count).sum::<u32>())
        });
        let left = findings.left.iter().find(|l| l.item == item).map_or(0, |l| l.count);
        let held = order.item(item).held;
        PlacesInPlan {
            with: on.filter(|(_, n)| *n > 0).collect(),
            gone: held.saturating_sub(left),
            left,
        }
    }
    /// Units on the carrier; 0 for one of the store.
    pub fn on(&self, carrier: CarrierIx) -> u32 {
        self.with.iter().find(|(c, _)| *c == carrier).map_or(0, |(_, n)| *n)
    }
}

/// Kit carriers outside the store, by party.
pub fn outside(order: &MoveOrder) -> Vec<CarrierIx> {
    let parties = (0..order.parties().len()).map(PartyIx).filter(|p| !order.is_store(*p));
    let who = parties.flat_map(|p| order.party(p).who.iter().copied());
    who.filter(|c| order.takes_kit(*c)).collect()
}

/// Every way that differs by one unit from where the item is.
pub fn ways(order: &MoveOrder, item: ItemIx, at: &PlacesInPlan) -> Vec<Instead> {
    let held = order.item(item).held;
    let mut all = Vec::new();
    for c in outside(order) {
        if at.on(c) < held {
            all.push(Instead::With(c));
        }
    }
    if at.gone > 0 {
        all.push(Instead::Fewer);
    }
    if at.left > 0 && at.gone > 0 {
        let parties = (0..order.parties().len()).map(PartyIx).filter(|p| !order.is_store(*p));
        all.extend(parties.map(Instead::More));
    }
    all
}

/// The move in which one unit must go that way; `there` gives how many of the
/// item are in a party in the plan, loose or in cases.
pub fn forced(
    order: &MoveOrder,
    item: ItemIx,
    at: &PlacesInPlan,
    instead: Instead,
    there: impl Fn(PartyIx) -> u32,
) -> MoveOrder {
    let more = |party: PartyIx| {
        let node = NeedNode::Item { item, count: there(party).saturating_add(1) };
        let need = Need { party, name: String::new(), node, priority: None, place: None };
        vary::changed(order, |parts| parts.needs.push(need))
    };
    match instead {
        Instead::With(carrier) => {
            let count = at.on(carrier) + 1;
            vary::with_rule(order, RuleKind::Fixed { item, count, carrier })
        }
        Instead::Without(c) => {
            let count = at.on(c).saturating_sub(1);
            let (items, carriers) = (vec![item], vec![c]);
            vary::with_rule(order, RuleKind::AtMost { count, items, carriers })
        }
        Instead::Fewer if at.gone <= 1 => {
            let (items, carriers) = (vec![item], outside(order));
            vary::with_rule(order, RuleKind::KeepOff { items, carriers })
        }
        // What stays is in the store, so that it has one more.
        Instead::Fewer => match order.store() {
            Some(store) => more(store),
            None => vary::with_held(order, item, at.gone - 1),
        },
        Instead::More(party) => more(party),
    }
}
