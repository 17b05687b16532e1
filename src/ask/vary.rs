//! A move order changed a little. What comes out is complete and consistent, as what
//! came in was. Carriers, rules, needs and items are those of the move, by their place
//! in it; a place beyond its list is a panic.

use crate::load::{
    Before, Carrier, CarrierIx, Goal, GoalKind, Item, ItemIx, MoveOrder, MoveParts, PartyIx, Plan,
    Reserve, Riding, Rule, RuleKind, Travel,
};
use crate::quantity::{Bulk, Mass, Percent};

/// The same limits, needs and rules, but every plan is as good as any other.
pub fn any_plan(order: &MoveOrder) -> MoveOrder {
    changed(order, |parts| {
        parts.wants.clear();
        parts.goals = vec![Goal { kind: GoalKind::Wants, give: Percent::ZERO }];
    })
}

/// The move with a change that leaves a move a move; where it does not, that is our bug.
pub(super) fn changed(order: &MoveOrder, change: impl FnOnce(&mut MoveParts)) -> MoveOrder {
    order.changed(change).expect("a move changed a little is a move")
}

/// Without the rule at this position.
pub fn without_rule(order: &MoveOrder, rule: usize) -> MoveOrder {
    changed(order, |parts| {
        parts.rules.remove(rule);
    })
}

/// Without the need at this position.
pub fn without_need(order: &MoveOrder, need: usize) -> MoveOrder {
    changed(order, |parts| {
        parts.needs.remove(need);
    })
}

/// With another declared limit (of a vehicle: payload). Reserves that are a
/// share stay a share of it.
pub fn with_limit(order: &MoveOrder, carrier: CarrierIx, limit: Mass) -> MoveOrder {
    changed(order, |parts| set_limit(&mut parts.carriers[carrier.0], limit))
}

/// Gives the carrier that limit, and an emergency limit that is no less.
pub(super) fn set_limit(carrier: &mut Carrier, limit: Mass) {
    match &mut carrier.riding {
        Riding::Person(p) => {
            (p.limit, p.limit_share) = (limit, None);
            p.emergency_limit = p.emergency_limit.max(limit);
        }
        Riding::Vehicle(v) => v.payload = limit,
    }
}

/// Gives the carrier a pack or bed of that room; `None` is not watched.
pub(super) fn set_room(carrier: &mut Carrier, room: Option<Bulk>) {
    match &mut carrier.riding {
        Riding::Person(p) => p.pack = room,
        Riding::Vehicle(v) => v.bed = room,
    }
}

/// With a limit that everything held would not reach.
pub fn with_no_limit(order: &MoveOrder, carrier: CarrierIx) -> MoveOrder {
    let held = order.catalogue().items().map(|(_, i)| i.mass.mg().saturating_mul(i.held.into()));
    let all = held.fold(order.burden(carrier).mg(), u64::saturating_add);
    // Twice over, so that a reserve of a half and less changes nothing.
    let limit = Mass::from_mg(all.saturating_mul(2)).max(order.carrier(carrier).limit());
    with_limit(order, carrier, limit)
}

/// With a pack or bed whose room is not watched.
pub fn with_no_room(order: &MoveOrder, carrier: CarrierIx) -> MoveOrder {
    changed(order, |parts| set_room(&mut parts.carriers[carrier.0], None))
}

/// With so many of the item held. What was fixed stays fixed.
pub fn with_held(order: &MoveOrder, item: ItemIx, held: u32) -> MoveOrder {
    with_all_held(order, |i, kind| if i == item { held } else { kind.held })
}

/// With other counts held, item by item.
pub(super) fn with_all_held(
    order: &MoveOrder,
    held: impl FnMut(ItemIx, &Item) -> u32,
) -> MoveOrder {
    changed(order, |parts| {
        parts.catalogue = std::mem::take(&mut parts.catalogue).with_held(held);
    })
}

/// The same move, but the search starts from this plan too. It counts no
/// changes from it unless a goal asks for that.
pub fn starting_from(order: &MoveOrder, plan: &Plan) -> MoveOrder {
    let before = Some(Before { plan: plan.clone(), astray: Vec::new() });
    changed(order, |parts| parts.before = before)
}

/// With one rule more.
pub fn with_rule(order: &MoveOrder, kind: RuleKind) -> MoveOrder {
    changed(order, |parts| parts.rules.push(Rule { kind, place: None }))
}

/// With these goals; each kind at most once, and one at the least.
pub fn with_goals(order: &MoveOrder, goals: &[GoalKind]) -> MoveOrder {
    let goals = goals.iter().map(|&kind| Goal { kind, give: Percent::ZERO });
    changed(order, |parts| parts.goals = goals.collect())
}

/// People of parties on foot outside the store, as the parties list them.
pub fn walkers(order: &MoveOrder) -> Vec<CarrierIx> {
    let walking = order.parties().iter().enumerate();
    let walking = walking.filter(|(p, g)| g.travel == Travel::Foot && !order.is_store(PartyIx(*p)));
    let people = walking.flat_map(|(_, g)| g.who.iter().copied());
    people.filter(|c| order.carrier(*c).person().is_some()).collect()
}

/// No walker bears more than this: beside what rules hold back, not on top.
/// `most` gives the most that may be on a walker, what is worn included.
pub fn with_most(order: &MoveOrder, most: impl Fn(CarrierIx, &Carrier) -> Mass) -> MoveOrder {
    let mut rules = Vec::new();
    for c in walkers(order) {
        let (usable, most) = (order.usable_limit(c), most(c, order.carrier(c)));
        if most < usable {
            let kind =
                RuleKind::Reserve { reserve: Reserve::Mass(usable - most), carriers: vec![c] };
            rules.push(Rule { kind, place: None });
        }
    }
    changed(order, |parts| parts.rules.extend(rules))
}

/// Without this carrier in its party. Rules say nothing of it any more, and
/// what was fixed to it is free. `None` if the party would be empty.
pub fn without_carrier(order: &MoveOrder, carrier: CarrierIx) -> Option<MoveOrder> {
    let at = order.party_of(carrier)?;
    let fewer = order.changed(|parts| {
        let party = &mut parts.parties[at.0];
        party.who.retain(|c| *c != carrier);
        party.aboard.retain(|(person, vehicle)| *person != carrier && *vehicle != carrier);
        parts.rules.retain(|r| r.kind.to() != Some(carrier));
    });
    fewer.ok()
}

/// One carrier more in the party of `like`, in everything like it: rules that
/// bind the one bind the other, but nothing is fixed to it.
pub fn with_another(order: &MoveOrder, like: CarrierIx) -> Option<MoveOrder> {
    let party = order.party_of(like)?;
    let mut fresh = order.carrier(like).clone();
    let names = |n: usize| format!("{}-{n}", fresh.id);
    fresh.id = free_id(order.carriers(), names);
    Some(changed(order, |parts| {
        let number = CarrierIx(parts.carriers.len());
        parts.carriers.push(fresh);
        for rule in &mut parts.rules {
            bind_alike(rule, like, number);
        }
        parts.parties[party.0].who.push(number);
    }))
}

/// The first of these names, counted from 2, that no carrier has.
pub(super) fn free_id(carriers: &[Carrier], name: impl Fn(usize) -> String) -> String {
    let free = |id: &String| carriers.iter().all(|c| c.id != *id);
    (2..).map(name).find(free).unwrap_or_default()
}

/// Where the rule binds `like`, lets it bind `other` too; what it fixes stays.
pub(super) fn bind_alike(rule: &mut Rule, like: CarrierIx, other: CarrierIx) {
    if let Some(carriers) = rule.kind.carriers_mut()
        && carriers.contains(&like)
    {
        carriers.push(other);
    }
}

/// Without any of the item held. What is in cases stays in them.
pub fn without_item(order: &MoveOrder, item: ItemIx) -> MoveOrder {
    with_held(order, item, 0)
}

/// With these people, each named once, in the party and no others; its vehicles stay. Who was in
/// another party leaves it; a party left without anybody is the error. Rules
/// that bind everybody on foot bind who comes new.
pub fn with_people(
    order: &MoveOrder,
    party: PartyIx,
    people: &[CarrierIx],
) -> Result<MoveOrder, PartyIx> {
    let old = walkers(order);
    let mut others = order.clone();
    for c in people {
        let at = others.party_of(*c);
        if let Some(at) = at.filter(|at| *at != party) {
            others = without_carrier(&others, *c).ok_or(at)?;
        }
    }
    let (stay, go): (Vec<CarrierIx>, Vec<CarrierIx>) = order
        .party(party)
        .who
        .iter()
        .partition(|c| order.carrier(**c).vehicle().is_some() || people.contains(c));
    let vehicles = stay.into_iter().filter(|c| order.carrier(*c).vehicle().is_some());
    let who: Vec<CarrierIx> = people.iter().copied().chain(vehicles).collect();
    if who.is_empty() {
        return Err(party);
    }
    let new = people.iter().filter(|c| !old.contains(c));
    Ok(changed(&others, |parts| {
        parts.rules.retain(|r| r.kind.to().is_none_or(|c| !go.contains(&c)));
        let group = &mut parts.parties[party.0];
        group.aboard.retain(|(person, vehicle)| who.contains(person) && who.contains(vehicle));
        group.who = who;
        for rule in &mut parts.rules {
            if let Some(carriers) = rule.kind.carriers_mut()
                && old.iter().all(|c| carriers.contains(c))
            {
                let more: Vec<CarrierIx> =
                    new.clone().filter(|c| !carriers.contains(c)).copied().collect();
                carriers.extend(more);
            }
        }
    }))
}
