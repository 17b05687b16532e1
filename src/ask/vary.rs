//! A move order changed a little. What comes out is complete and consistent,
//! as what came in was.

use crate::load::{
    Before, Carrier, CarrierIx, Goal, GoalKind, ItemIx, MoveOrder, PartyIx, Plan, Reserve, Riding,
    Rule, RuleKind, Travel,
};
use crate::quantity::{Mass, Percent};

/// The same limits, needs and rules, but every plan is as good as any other.
pub fn any_plan(order: &MoveOrder) -> MoveOrder {
    let goals = vec![Goal { kind: GoalKind::Wants, give: Percent::ZERO }];
    MoveOrder { wants: Vec::new(), goals, ..order.clone() }
}

/// Without the rule at this position.
pub fn without_rule(order: &MoveOrder, rule: usize) -> MoveOrder {
    let mut order = order.clone();
    order.rules.remove(rule);
    order
}

/// Without the need at this position.
pub fn without_need(order: &MoveOrder, need: usize) -> MoveOrder {
    let mut order = order.clone();
    order.needs.remove(need);
    order
}

/// With another declared limit (of a vehicle: payload). Reserves that are a
/// share stay a share of it.
pub fn with_limit(order: &MoveOrder, carrier: CarrierIx, limit: Mass) -> MoveOrder {
    let mut order = order.clone();
    match &mut order.carriers[carrier.0].riding {
        Riding::Person(p) => {
            (p.limit, p.limit_share) = (limit, None);
            p.emergency_limit = p.emergency_limit.max(limit);
        }
        Riding::Vehicle(v) => v.payload = limit,
    }
    order
}

/// With a limit that everything held would not reach.
pub fn with_no_limit(order: &MoveOrder, carrier: CarrierIx) -> MoveOrder {
    let held = order.catalogue.items().map(|(_, i)| i.mass.mg().saturating_mul(i.held.into()));
    let all = held.fold(order.burden(carrier).mg(), u64::saturating_add);
    // Twice over, so that a reserve of a half and less changes nothing.
    let limit = Mass::from_mg(all.saturating_mul(2)).max(order.carrier(carrier).limit());
    with_limit(order, carrier, limit)
}

/// With a pack or bed whose room is not watched.
pub fn with_no_room(order: &MoveOrder, carrier: CarrierIx) -> MoveOrder {
    let mut order = order.clone();
    match &mut order.carriers[carrier.0].riding {
        Riding::Person(p) => p.pack = None,
        Riding::Vehicle(v) => v.bed = None,
    }
    order
}

/// With so many of the item held. What was fixed stays fixed.
pub fn with_held(order: &MoveOrder, item: ItemIx, held: u32) -> MoveOrder {
    let mut order = order.clone();
    order.catalogue = order.catalogue.with(|i, kind| {
        if i == item {
            kind.held = held;
        }
    });
    order
}

/// The same move, but the search starts from this plan too. It counts no
/// changes from it unless a goal asks for that.
pub fn starting_from(order: &MoveOrder, plan: &Plan) -> MoveOrder {
    let before = Some(Before { plan: plan.clone(), astray: Vec::new() });
    MoveOrder { before, ..order.clone() }
}

/// With one rule more.
pub fn with_rule(order: &MoveOrder, kind: RuleKind) -> MoveOrder {
    let mut order = order.clone();
    order.rules.push(Rule { kind, place: None });
    order
}

/// People of parties on foot outside the store, as the parties list them.
pub fn walkers(order: &MoveOrder) -> Vec<CarrierIx> {
    let walking = order.parties.iter().enumerate();
    let walking = walking.filter(|(p, g)| g.travel == Travel::Foot && !order.is_store(PartyIx(*p)));
    let people = walking.flat_map(|(_, g)| g.who.iter().copied());
    people.filter(|c| order.carrier(*c).person().is_some()).collect()
}

/// No walker bears more than this: beside what rules hold back, not on top.
/// `most` gives the most that may be on a walker, what is worn included.
pub fn with_most(order: &MoveOrder, most: impl Fn(CarrierIx, &Carrier) -> Mass) -> MoveOrder {
    let mut changed = order.clone();
    for c in walkers(order) {
        let (usable, most) = (order.usable_limit(c), most(c, order.carrier(c)));
        if most < usable {
            let kind =
                RuleKind::Reserve { reserve: Reserve::Mass(usable - most), carriers: vec![c] };
            changed.rules.push(Rule { kind, place: None });
        }
    }
    changed
}

/// Without this carrier in its party. Rules say nothing of it any more, and
/// what was fixed to it is free. `None` if the party would be empty.
pub fn without_carrier(order: &MoveOrder, carrier: CarrierIx) -> Option<MoveOrder> {
    let at = order.party_of(carrier)?;
    let mut order = order.clone();
    let party = &mut order.parties[at.0];
    party.who.retain(|c| *c != carrier);
    party.aboard.retain(|(person, vehicle)| *person != carrier && *vehicle != carrier);
    if party.who.is_empty() {
        return None;
    }
    order.rules.retain(|r| r.kind.to() != Some(carrier));
    Some(order)
}

/// One carrier more in the party of `like`, in everything like it: rules that
/// bind the one bind the other, but nothing is fixed to it.
pub fn with_another(order: &MoveOrder, like: CarrierIx) -> Option<MoveOrder> {
    let mut order = order.clone();
    let party = order.party_of(like)?;
    let mut fresh = order.carrier(like).clone();
    let number = order.carriers.len();
    fresh.id = (2..)
        .map(|n| format!("{}-{n}", fresh.id))
        .find(|id| order.carriers.iter().all(|c| c.id != *id))
        .unwrap_or_default();
    order.carriers.push(fresh);
    for rule in &mut order.rules {
        if let Some(carriers) = rule.kind.carriers_mut()
            && carriers.contains(&like)
        {
            carriers.push(CarrierIx(number));
        }
    }
    order.parties[party.0].who.push(CarrierIx(number));
    Some(order)
}

/// Without any of the item held. What is in cases stays in them.
pub fn without_item(order: &MoveOrder, item: ItemIx) -> MoveOrder {
    with_held(order, item, 0)
}

/// With these people in the party and no others; its vehicles stay. Who was in
/// another party leaves it; a party left without anybody is the error. Rules
/// that bind everybody on foot bind who comes new.
pub fn with_people(
    order: &MoveOrder,
    party: PartyIx,
    people: &[CarrierIx],
) -> Result<MoveOrder, PartyIx> {
    let old = walkers(order);
    let mut changed = order.clone();
    for c in people {
        let at = changed.party_of(*c);
        if let Some(at) = at.filter(|at| *at != party) {
            changed = without_carrier(&changed, *c).ok_or(at)?;
        }
    }
    let (stay, go): (Vec<CarrierIx>, Vec<CarrierIx>) = order
        .party(party)
        .who
        .iter()
        .partition(|c| order.carrier(**c).vehicle().is_some() || people.contains(c));
    changed.rules.retain(|r| r.kind.to().is_none_or(|c| !go.contains(&c)));
    let vehicles = stay.into_iter().filter(|c| order.carrier(*c).vehicle().is_some());
    changed.parties[party.0].who = people.iter().copied().chain(vehicles).collect();
    if changed.parties[party.0].who.is_empty() {
        return Err(party);
    }
    let new = people.iter().filter(|c| !old.contains(c));
    for rule in &mut changed.rules {
        if let Some(carriers) = rule.kind.carriers_mut()
            && old.iter().all(|c| carriers.contains(c))
        {
            let more: Vec<CarrierIx> =
                new.clone().filter(|c| !carriers.contains(c)).copied().collect();
            carriers.extend(more);
        }
    }
    Ok(changed)
}
