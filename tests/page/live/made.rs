//! Moves with more of the language than the small ones have, and plans that
//! mostly break something.

use super::super::common::random_move::{Random, item, party, person, rule, vehicle};
use tumpline::load::*;
use tumpline::quantity::*;

/// A seat for the driver.
fn seat(vehicle: &mut Carrier) {
    if let Riding::Vehicle(v) = &mut vehicle.riding {
        v.seats = 1;
    }
}

fn is_vehicle(carrier: &Carrier) -> bool {
    carrier.vehicle().is_some()
}

/// The move with a sledge on foot, people aboard, slots, once-only uses,
/// demands by head, more supplies, cases in cases, bounds on weights, lists of
/// what to bring. A `huge` one has masses and amounts near what 64 bits hold,
/// which no file can say and the search need not bear.
pub fn enriched(order: MoveOrder, seed: u64, huge: bool) -> MoveOrder {
    let mut r = Random(seed ^ 0xe7_41c4);
    let supplies = [
        ("power", Dimension::Energy),
        ("water", Dimension::Bulk),
        ("line", Dimension::Length),
        ("meals", Dimension::Count),
    ];
    let supplies: Vec<Supply> = supplies
        .iter()
        .map(|(id, dimension)| Supply { id: (*id).into(), dimension: *dimension })
        .collect();
    let amount = |r: &mut Random, s: usize| {
        let base = if huge { u64::MAX / r.between(1, 40) } else { r.between(1, 4_000) };
        Amount::new(supplies[s].dimension, base)
    };
    let used = |r: &mut Random, s: usize| {
        let amount = amount(r, s);
        match r.below(3) {
            0 => Use::Once(amount),
            _ => Use::Over(Rate { amount, per: Span::from_s(r.pick(&[1, 7, 3600, 86_400])) }),
        }
    };
    let mut parts = order.into_parts();
    let mut items: Vec<Item> = parts.catalogue.items().map(|(_, x)| x.clone()).collect();
    let n = items.len();
    for x in &mut items {
        let s = r.between(1, 3) as usize;
        if r.chance(40) {
            x.supplies.push((SupplyIx(s), amount(&mut r, s)));
        }
        if r.chance(25) {
            x.uses.push((SupplyIx(s), used(&mut r, s)));
        }
        if r.chance(15) {
            x.pair_shares = [Percent::from_ppm(333_333), Percent::from_ppm(666_667)];
        }
        if r.chance(30) {
            x.ways = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand, Way::Pair]
                .into_iter()
                .filter(|_| r.chance(50))
                .chain([Way::Back])
                .collect();
        }
        if r.chance(6) {
            x.ways = [Way::Bed].into_iter().collect();
        }
        if huge {
            x.mass = Mass::from_mg(u64::MAX / r.between(2, 9));
            x.bulk = Bulk::from_ml(u64::MAX / r.between(2, 9));
        } else if r.chance(50) {
            x.mass = Mass::from_mg(x.mass.mg() + r.below(1000));
        }
        x.held += r.below(3) as u32;
    }
    if r.chance(40) {
        let shared = Requirement { item: ItemIx(0), count: Required::Shared };
        items[1].requires.push(shared);
    }
    let mut boxed = item("box", Mass::from_g(900), 2, &[Way::Back, Way::Hand]);
    boxed.contents = vec![(ItemIx(n - 1), 2), (ItemIx(1), 3)];
    boxed.tags = vec!["boxes".into()];
    boxed.requires = vec![Requirement { item: ItemIx(0), count: Required::Each(2) }];
    items.push(boxed);
    parts.catalogue = Catalogue::new(items, supplies.clone()).expect("no circle was made");

    for (k, c) in parts.carriers.iter_mut().enumerate() {
        let Riding::Person(p) = &mut c.riding else { continue };
        if r.chance(40) {
            let few = |r: &mut Random| r.chance(70).then(|| r.below(3) as u32);
            p.slots = Slots {
                back: few(&mut r),
                chest: few(&mut r),
                shoulder: few(&mut r),
                belt: few(&mut r),
                hand: r.below(3) as u32,
            };
        }
        p.body_mass = Some(Mass::from_g(60_000 + k as u64));
        if r.chance(40) {
            let s = r.between(1, 3) as usize;
            p.uses.push((SupplyIx(s), used(&mut r, s)));
        }
        if huge {
            p.limit = Mass::from_mg(u64::MAX / r.between(1, 3));
            p.emergency_limit = p.limit;
        }
    }
    // A sledge with the first party, a driver in the truck, and a bystander.
    parts.carriers.push(vehicle("sledge", Mass::from_g(r.between(20, 400) * 100)));
    let sledge = parts.carriers.len() - 1;
    if let Riding::Vehicle(v) = &mut parts.carriers[sledge].riding {
        v.hauled = true;
        v.bed = r.chance(50).then(|| Bulk::from_ml(r.between(2, 30) * 1000));
    }
    parts.parties[0].who.push(CarrierIx(sledge));
    let mut driver = person("driver", Mass::from_g(20_000));
    if let Riding::Person(p) = &mut driver.riding {
        p.body_mass = Some(Mass::from_g(81_500));
        p.worn = Mass::from_g(1_234);
    }
    parts.carriers.push(driver);
    let driver = CarrierIx(sledge + 1);
    match parts.store {
        Some(store) => {
            let truck = parts.parties[store.0].who[0];
            parts.parties[store.0].who.push(driver);
            parts.parties[store.0].aboard.push((driver, truck));
            seat(&mut parts.carriers[truck.0]);
        }
        None if r.chance(50) => {
            parts.carriers.push(vehicle("van", Mass::from_g(r.between(300, 1500) * 100)));
            parts.parties.push(party("rear", Travel::Vehicle, &[driver.0, driver.0 + 1]));
            let rear = parts.parties.len() - 1;
            parts.parties[rear].aboard.push((driver, CarrierIx(driver.0 + 1)));
            seat(&mut parts.carriers[driver.0 + 1]);
        }
        None => {}
    }
    parts.carriers.push(person("bystander", Mass::from_g(9_000)));

    let parties = parts.parties.len() as u64;
    for k in 0..r.between(1, 4) {
        let party = PartyIx(r.below(parties) as usize);
        let s = r.below(4) as usize;
        let demand = |r: &mut Random| {
            NeedNode::Supply(Demand {
                supply: SupplyIx(s),
                amount: r.chance(60).then(|| amount(r, s)),
                per_person: r.chance(50).then(|| amount(r, s)),
                time: r.chance(60).then(|| Span::from_s(r.between(1, 9 * 3600))),
                slack: Percent::from_ppm(r.below(400_000)),
            })
        };
        let leaf = |r: &mut Random| NeedNode::Item {
            item: ItemIx(r.below(n as u64 + 1) as usize),
            count: r.between(1, 4) as u32,
        };
        let node = match r.below(6) {
            0 => demand(&mut r),
            1 => NeedNode::Any(vec![demand(&mut r), leaf(&mut r), demand(&mut r)]),
            2 => NeedNode::All(vec![leaf(&mut r), NeedNode::Any(vec![demand(&mut r)])]),
            3 => {
                let of = vec![demand(&mut r), leaf(&mut r), demand(&mut r)];
                NeedNode::AtLeast { count: r.between(1, 3) as u32, of }
            }
            4 => {
                let both = NeedNode::All(vec![demand(&mut r), leaf(&mut r)]);
                NeedNode::Any(vec![both, NeedNode::All(vec![leaf(&mut r), leaf(&mut r)])])
            }
            _ => leaf(&mut r),
        };
        let name = format!("more {k}");
        parts.needs.push(Need { party, name, node, priority: None, place: None });
    }
    // Nothing is fixed to who takes no kit, and a vehicle has no hands.
    let takers: Vec<CarrierIx> = parts
        .parties
        .iter()
        .flat_map(|p| p.who.iter().map(move |c| (p.travel, *c)))
        .filter(|(travel, c)| *travel == Travel::Foot || is_vehicle(&parts.carriers[c.0]))
        .map(|(_, c)| c)
        .collect();
    let all: Vec<CarrierIx> = (0..parts.carriers.len()).map(CarrierIx).collect();
    let people: Vec<CarrierIx> =
        all.iter().copied().filter(|c| !is_vehicle(&parts.carriers[c.0])).collect();
    let some = |r: &mut Random, of: &[CarrierIx]| -> Vec<CarrierIx> {
        of.iter().copied().filter(|_| r.chance(60)).collect()
    };
    let things =
        |r: &mut Random| -> Vec<ItemIx> { (0..=n).map(ItemIx).filter(|_| r.chance(50)).collect() };
    for _ in 0..r.below(5) {
        let kind = rule(&mut r, n + 1, &takers);
        let number = match kind.number() {
            Some(RuleNumber::Kept(_)) if r.chance(50) => {
                RuleNumber::Kept(Reserve::Mass(Mass::from_mg(r.below(3_000_000))))
            }
            Some(RuleNumber::Kept(_)) => {
                RuleNumber::Kept(Reserve::Share(Percent::from_ppm(r.below(300_000))))
            }
            _ => RuleNumber::Count(r.below(4) as u32),
        };
        let hands = matches!(kind, RuleKind::HandsFree { .. });
        let bound = if hands { &people } else { &all };
        let kind = kind.with_items(things(&mut r)).with_carriers(some(&mut r, bound));
        let kind = kind.with_number(number);
        parts.rules.push(Rule { kind, place: None });
    }
    if r.chance(40) {
        parts.tolerance = Some(Tolerance {
            share: Percent::from_ppm(r.between(1, 300_000)),
            off: r.pick(&[None, Some(0), Some(1), Some(2)]),
        });
    }
    for _ in 0..r.below(3) {
        let any = (0..r.between(1, 2))
            .map(|_| (ItemIx(r.below(n as u64 + 1) as usize), r.between(1, 2) as u32))
            .collect();
        parts.brings.push(Brings { party: PartyIx(r.below(parties) as usize), any });
    }
    if r.chance(30) {
        parts.spent.push((PartyIx(0), SupplyIx(r.below(4) as usize), r.between(1, 5_000)));
    }
    MoveOrder::new(parts).expect("a move")
}

/// Another plan to try: a few units moved by hand from the sound plan or from
/// the last one, as a person would, or anything at all.
pub fn broken(order: &MoveOrder, sound: &Plan, last: &Plan, k: usize, r: &mut Random) -> Plan {
    match k % 4 {
        0 => by_hand(order, sound, 1, r),
        1 => by_hand(order, last, 2, r),
        2 => by_hand(order, sound, 4, r),
        _ => wild(order, r),
    }
}

fn by_hand(order: &MoveOrder, plan: &Plan, times: usize, r: &mut Random) -> Plan {
    let mut placed = plan.placements().to_vec();
    for _ in 0..times {
        let take = (!placed.is_empty()).then(|| r.below(placed.len() as u64) as usize);
        let item = match take {
            Some(at) => {
                placed[at].count -= 1;
                placed[at].item
            }
            None => ItemIx(r.below(order.catalogue().len() as u64) as usize),
        };
        placed.retain(|p| p.count > 0);
        if r.chance(10) || item.0 >= order.catalogue().len() {
            continue;
        }
        let to = CarrierIx(r.below(order.carriers().len() as u64) as usize);
        let ways: Vec<Way> = order.item(item).ways.iter().collect();
        let by = match (order.carrier(to).person(), r.pick(&ways)) {
            (None, _) => Bearer::One { carrier: to, way: Way::Bed },
            (Some(_), Way::Pair) => {
                let mates = order.party_of(to).map_or(vec![to], |p| order.party(p).who.clone());
                let anybody = CarrierIx(r.below(order.carriers().len() as u64) as usize);
                let second = if r.chance(25) { anybody } else { r.pick(&mates) };
                Bearer::Pair { first: to, second }
            }
            (Some(_), way) => Bearer::One { carrier: to, way },
        };
        placed.push(Placement { by, item, count: 1 });
    }
    Plan::new(placed)
}

const ALONE: [Way; 6] = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand, Way::Bed];

fn wild(order: &MoveOrder, r: &mut Random) -> Plan {
    let strange = u64::from(r.chance(15));
    let carriers = order.carriers().len() as u64 + strange;
    let items = order.catalogue().len() as u64 + strange;
    let placed = (0..r.below(9)).map(|_| {
        let c = CarrierIx(r.below(carriers) as usize);
        let by = match r.chance(25) {
            true => Bearer::Pair { first: c, second: CarrierIx(r.below(carriers) as usize) },
            // By the way `pair` only two can be said to carry.
            false => Bearer::One { carrier: c, way: r.pick(&ALONE) },
        };
        let item = ItemIx(r.below(items) as usize);
        Placement { by, item, count: r.between(1, 3) as u32 }
    });
    Plan::new(placed.collect())
}
