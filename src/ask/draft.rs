//! A move with some of its parts (constraints) dropped.

use super::part::{Part, pieces};
use super::vary::{self, set_limit, set_room};
use crate::load::{
    Carrier, CarrierIx, Catalogue, Item, ItemIx, MoveOrder, MoveParts, NeedNode, Party, Riding,
    Rule, RuleKind, Slots, Travel, Vehicle, Way,
};
use crate::quantity::Mass;
use std::collections::BTreeSet;

/// A move order, changed so that every index still means the same, and the
/// parts of it that do not bind.
#[derive(Debug, Clone)]
pub struct Draft {
    /// The move as changed.
    pub order: MoveOrder,
    /// What does not bind.
    pub off: BTreeSet<Part>,
}

impl Draft {
    /// The move as it is, with all of it binding.
    pub fn new(order: &MoveOrder) -> Self {
        Draft { order: order.clone(), off: BTreeSet::new() }
    }

    /// The same with these dropped too.
    pub fn without(&self, parts: impl IntoIterator<Item = Part>) -> Self {
        let mut draft = self.clone();
        draft.off.extend(parts);
        draft
    }

    /// Another move order; `None` if the change would break it.
    pub(super) fn change(&mut self, change: impl FnOnce(&mut MoveParts)) -> Option<()> {
        self.order = self.order.changed(change).ok()?;
        Some(())
    }

    /// Another item list, of the same length and order. What is inside what
    /// stays as it is, so the catalogue can be made again.
    pub fn items(&mut self, change: impl FnOnce(&mut Vec<Item>)) {
        if let Ok(catalogue) = self.order.catalogue().changed(change) {
            self.order = vary::changed(&self.order, |parts| parts.catalogue = catalogue);
        }
    }

    /// The move order in which the parts that are off bind nobody: rules, needs
    /// and requirements are gone; a limit is large enough for everything held
    /// (a reserve says nothing of such a carrier); room and slots are not
    /// watched, and there is a hand for everything; and what nobody takes need not
    /// stay with the store, but may be left behind, see `elsewhere`.
    pub fn build(&self) -> MoveOrder {
        let mut draft = self.clone();
        if self.off.iter().any(|p| matches!(p, Part::Requires { .. })) {
            draft.items(|items| {
                for part in self.off.iter().rev() {
                    if let Part::Requires { item, of } = part {
                        items[item.0].requires.remove(*of);
                    }
                }
            });
        }
        vary::changed(&draft.order, |parts| self.drop_parts(&draft.order, parts))
    }

    /// Changes the parts of `order`, in which requirements are gone already.
    fn drop_parts(&self, order: &MoveOrder, parts: &mut MoveParts) {
        let (mass, hands) = everything(order);
        for part in &self.off {
            match part {
                Part::Limit(c) => {
                    set_limit(&mut parts.carriers[c.0], mass + order.burden(*c));
                    for rule in &mut parts.rules {
                        if let RuleKind::Reserve { carriers, .. } = &mut rule.kind {
                            carriers.retain(|x| x != c);
                        }
                    }
                }
                Part::Room(c) => set_room(&mut parts.carriers[c.0], None),
                Part::Slots { carrier, way } => {
                    if let Riding::Person(p) = &mut parts.carriers[carrier.0].riding {
                        set_slots(&mut p.slots, *way, None, hands);
                    }
                }
                Part::Stays | Part::Need { .. } | Part::Rule(_) | Part::Requires { .. } => {}
            }
        }
        self.keep_needs(parts);
        let mut at = 0..;
        let on = |i: Option<usize>| i.is_some_and(|i| !self.off.contains(&Part::Rule(i)));
        parts.rules.retain(|_| on(at.next()));
        if self.off.contains(&Part::Stays) {
            elsewhere(parts, mass);
        }
    }

    fn keep_needs(&self, parts: &mut MoveParts) {
        let mut kept = Vec::new();
        for (n, need) in parts.needs.iter().enumerate() {
            let all = pieces(&need.node);
            let on = |k: &usize| !self.off.contains(&Part::Need { need: n, piece: *k });
            let on: Vec<NeedNode> = (0..all.len()).filter(on).map(|k| all[k].clone()).collect();
            let node = match on.len() {
                0 => continue,
                len if len == all.len() => need.node.clone(),
                1 => on[0].clone(),
                _ => NeedNode::All(on),
            };
            kept.push(crate::load::Need { node, ..need.clone() });
        }
        parts.needs = kept;
    }
}

/// The mass of all that is held, and the hands that it would take at most,
/// with two to spare.
fn everything(order: &MoveOrder) -> (Mass, u32) {
    let mass = order.catalogue().items().map(|(_, i)| i.mass * i.held).sum();
    let hands = order.catalogue().items().map(|(_, i)| i.held.saturating_mul(i.hands.into()));
    (mass, hands.fold(2, u32::saturating_add).saturating_add(2))
}

/// Sets the slots of one way; `None` takes their limit away (`hands` for hands).
pub fn set_slots(slots: &mut Slots, way: Way, to: Option<u32>, hands: u32) {
    match way {
        Way::Back => slots.back = to,
        Way::Chest => slots.chest = to,
        Way::Shoulder => slots.shoulder = to,
        Way::Belt => slots.belt = to,
        Way::Hand => slots.hand = to.unwrap_or(hands),
        Way::Pair | Way::Bed => {}
    }
}

/// Somewhere to leave things behind, with nobody and under no rule: parties
/// without needs, each a vehicle for anything. Kinds that a rule ties to others
/// have one of their own, so that it says nothing of them there. Only what
/// requires something beside it has to be left with the store's party, which is
/// exempt from that, and so counts as being there.
fn elsewhere(parts: &mut MoveParts, mass: Mass) {
    let Some(store) = parts.store else { return };
    let catalogue = &parts.catalogue;
    let asks = |i: ItemIx| {
        let inside = catalogue.inside(i).iter();
        inside.into_iter().any(|(x, _)| !catalogue[*x].requires.is_empty())
    };
    let (asking, free): (Vec<ItemIx>, Vec<ItemIx>) =
        held_of(catalogue).map(|(i, _)| i).partition(|i| asks(*i));
    let tied = |i: &ItemIx| {
        parts.rules.iter().any(|r| match &r.kind {
            RuleKind::Apart { items } | RuleKind::Together { items } => items.contains(i),
            _ => false,
        })
    };
    let (tied, loose): (Vec<ItemIx>, Vec<ItemIx>) = free.iter().copied().partition(tied);
    for k in 0..tied.len() + usize::from(!loose.is_empty()) {
        let id = format!("elsewhere {}", k + 1);
        let id = unused(id, |id| parts.parties.iter().any(|p| p.id == id));
        let who = vec![place(parts, &id, mass)];
        let party = Party { id, travel: Travel::Vehicle, who, aboard: vec![], place: None };
        parts.parties.push(party);
    }
    if !asking.is_empty() {
        let there = place(parts, "elsewhere", mass);
        parts.parties[store.0].who.push(there);
        if !free.is_empty() {
            let kind = RuleKind::KeepOff { items: free, carriers: vec![there] };
            parts.rules.push(Rule { kind, place: None });
        }
    }
}

/// The id, with a mark that no file can give to one as long as it is taken.
fn unused(mut id: String, taken: impl Fn(&str) -> bool) -> String {
    while taken(&id) {
        id.push('+');
    }
    id
}

/// A vehicle that takes anything.
fn place(parts: &mut MoveParts, id: &str, payload: Mass) -> CarrierIx {
    let vehicle = Vehicle { payload, bed: None, seats: 0, hauled: false };
    let riding = Riding::Vehicle(vehicle);
    let name = id.to_string();
    let id = unused(name.clone(), |id| parts.carriers.iter().any(|c| c.id == id));
    parts.carriers.push(Carrier { id, name, riding, place: None });
    CarrierIx(parts.carriers.len() - 1)
}

/// Items with their place in the catalogue, whose `held` is not 0.
pub(super) fn held(order: &MoveOrder) -> impl Iterator<Item = (ItemIx, &Item)> {
    held_of(order.catalogue())
}

fn held_of(catalogue: &Catalogue) -> impl Iterator<Item = (ItemIx, &Item)> {
    catalogue.items().filter(|(_, i)| i.held > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever carriers are called, what is made up beside them is called otherwise.
    #[test]
    fn somewhere_else_is_not_taken_for_somebody_of_that_name() {
        let text = "
move: Names
equipment:
  - {id: lamp, mass: 1 kg, requires: {wick: 1}}
  - {id: wick, mass: 10 g}
carriers:
  people: [{id: elsewhere, limit: 9 kg}, {id: bo, limit: 9 kg, body-mass: 70 kg}]
  vehicles: [{id: truck, payload: 900 kg, seats: 1}]
parties:
  up: {travel: foot, who: elsewhere}
  road: {travel: vehicle, who: [bo, truck]}
stays-with: road
";
        let order = crate::kit::read_move_text("x.move.yaml", text).expect("a move").order;
        let built = Draft::new(&order).without([Part::Stays]).build();
        let there = built.carriers().last().expect("a carrier");
        assert_eq!((there.id.as_str(), there.name.as_str()), ("elsewhere+", "elsewhere"));
    }
}
