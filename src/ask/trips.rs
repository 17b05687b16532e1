//! A second trip: a party on foot brings what it needs in two loads.
//!
//! Everybody of the party, a hauled vehicle too, is there twice: once for either
//! load. Each load is under all of the limits, slots and rules of its carrier,
//! and what is worn weighs on both. The needs are judged on the sum of the two
//! loads; people are counted once, and use their supplies once. What is fixed to
//! somebody goes in the first load, what goes together goes in one load. Pairs
//! carry in the same load: [`by_trips`] sorts the loads so.

use super::vary;
use crate::load::{
    Bearer, CarrierIx, MoveOrder, NeedNode, PartyIx, Placement, Plan, Riding, Travel,
};
use crate::quantity::Amount;

/// The move with the second load of everybody of the party as carriers of
/// their own, in the order of the party. `None` for a party by vehicle.
pub fn second_trip(order: &MoveOrder, party: PartyIx) -> Option<MoveOrder> {
    if order.party(party).travel != Travel::Foot || order.is_store(party) {
        return None;
    }
    let people = order.party(party).who.iter().filter(|c| order.carrier(**c).person().is_some());
    let people = people.count() as u64;
    Some(vary::changed(order, |parts| {
        for need in parts.needs.iter_mut().filter(|n| n.party == party) {
            count_people(&mut need.node, people);
        }
        for &c in &order.party(party).who {
            let number = CarrierIx(parts.carriers.len());
            let mut twin = order.carrier(c).clone();
            let names = |n: usize| format!("{}-trip-{n}", twin.id);
            twin.id = vary::free_id(&parts.carriers, names);
            twin.name = format!("{}, second trip", twin.name);
            if let Riding::Person(p) = &mut twin.riding {
                p.uses.clear();
            }
            parts.carriers.push(twin);
            parts.parties[party.0].who.push(number);
            for rule in &mut parts.rules {
                vary::bind_alike(rule, c, number);
            }
        }
    }))
}

/// Asks for a fixed amount where so much for each person was asked for.
fn count_people(node: &mut NeedNode, people: u64) {
    match node {
        NeedNode::Item { .. } => {}
        NeedNode::Supply(d) => {
            if let Some(each) = d.per_person.take() {
                let fixed = d.amount.map_or(0, |a| a.base);
                let sum = fixed.saturating_add(each.base.saturating_mul(people));
                d.amount = Some(Amount::new(each.dimension, sum));
            }
        }
        NeedNode::All(of) | NeedNode::Any(of) | NeedNode::AtLeast { of, .. } => {
            of.iter_mut().for_each(|n| count_people(n, people));
        }
    }
}

/// The plan of a second trip with whole loads swapped so that every pair walks
/// on the same trip; `None` if no such order of loads exists (three people who
/// each carry with both others, or somebody with themselves). Whether the
/// swapped plan still keeps everything is for the audit to say.
pub fn by_trips(order: &MoveOrder, party: PartyIx, plan: &Plan) -> Option<Plan> {
    let who = &order.party(party).who;
    let half = who.len() / 2;
    let at = |c: CarrierIx| who.iter().position(|x| *x == c);
    let other = |k: usize| if k < half { k + half } else { k - half };
    let mut with: Vec<Option<usize>> = vec![None; who.len()];
    for p in plan.placements() {
        if let Bearer::Pair { first, second } = p.by
            && let (Some(a), Some(b)) = (at(first), at(second))
        {
            (with[a], with[b]) = (Some(b), Some(a));
        }
    }
    // The trip of each load: two loads of one person differ, those of a pair agree.
    let mut trip: Vec<Option<bool>> = vec![None; who.len()];
    for start in 0..who.len() {
        let mut open = vec![(start, false)];
        if trip[start].is_some() {
            continue;
        }
        while let Some((k, second)) = open.pop() {
            match trip[k] {
                Some(old) if old != second => return None,
                Some(_) => {}
                None => {
                    trip[k] = Some(second);
                    open.push((other(k), !second));
                    open.extend(with[k].map(|w| (w, second)));
                }
            }
        }
    }
    let moved = |c: CarrierIx| match at(c) {
        Some(k) if trip[k] != Some(k >= half) => who[other(k)],
        _ => c,
    };
    let placed = plan.placements().iter().map(|p| Placement {
        by: match p.by {
            Bearer::One { carrier, way } => Bearer::One { carrier: moved(carrier), way },
            Bearer::Pair { first, second } => {
                Bearer::Pair { first: moved(first), second: moved(second) }
            }
        },
        ..*p
    });
    Some(Plan::new(placed.collect()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::common::random_move::small;
    use crate::load::{ItemIx, Way};

    /// Three people twice: loads 0, 1, 2 and, of the same people, 3, 4, 5.
    fn twice() -> MoveOrder {
        let order = (1..).map(small).find(|o| o.parties()[0].who.len() == 3);
        second_trip(&order.expect("a party of three"), PartyIx(0)).expect("it walks")
    }

    fn pairs(order: &MoveOrder, all: &[(usize, usize)]) -> Plan {
        let who = &order.parties()[0].who;
        let one = |&(a, b): &(usize, usize)| Placement {
            by: Bearer::Pair { first: who[a], second: who[b] },
            item: ItemIx(0),
            count: 1,
        };
        Plan::new(all.iter().map(one).collect())
    }

    #[test]
    fn pairs_walk_on_one_trip() {
        let order = twice();
        let who = order.parties()[0].who.clone();
        for all in [&[(0, 4)][..], &[(0, 4), (1, 5)], &[(0, 1), (3, 4)]] {
            let plan = by_trips(&order, PartyIx(0), &pairs(&order, all)).expect("an order");
            assert_eq!(plan.placements().len(), all.len());
            for p in plan.placements() {
                let Bearer::Pair { first, second } = p.by else { panic!("a pair") };
                let trip = |c: CarrierIx| who.iter().position(|w| *w == c).unwrap() / 3;
                assert_eq!(trip(first), trip(second), "{all:?}");
            }
        }
        // Somebody with themselves; three who each carry with both others.
        for all in [&[(0, 3)][..], &[(0, 1), (4, 2), (5, 3)]] {
            assert_eq!(by_trips(&order, PartyIx(0), &pairs(&order, all)), None, "{all:?}");
        }
    }

    #[test]
    fn whole_loads_change_places() {
        let order = twice();
        let who = order.parties()[0].who.clone();
        let mut placed = pairs(&order, &[(0, 4)]).placements().to_vec();
        let by = Bearer::One { carrier: who[4], way: Way::Back };
        placed.push(Placement { by, item: ItemIx(1), count: 1 });
        let plan = by_trips(&order, PartyIx(0), &Plan::new(placed)).expect("an order");
        let back = plan.placements().iter().find_map(|p| match p.by {
            Bearer::One { carrier, .. } => Some(carrier),
            Bearer::Pair { .. } => None,
        });
        let pair = plan.placements().iter().find_map(|p| match p.by {
            Bearer::Pair { second, .. } => Some(second),
            Bearer::One { .. } => None,
        });
        assert_eq!(back, pair, "what was in one load stays in one");
    }
}
