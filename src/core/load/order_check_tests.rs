//! Each thing that a move order or a catalogue promises is refused where it is broken.

use super::*;
use crate::quantity::{Amount, Bulk, Dimension, Mass, Percent, Rate, Span};

const MAST: ItemIx = ItemIx(0);
const LINE: SupplyIx = SupplyIx(0);
const ANN: CarrierIx = CarrierIx(0);
const BO: CarrierIx = CarrierIx(1);
const TRUCK: CarrierIx = CarrierIx(2);
const NOBODY: CarrierIx = CarrierIx(9);
const UP: PartyIx = PartyIx(0);
const ROAD: PartyIx = PartyIx(1);
const NOWHERE: PartyIx = PartyIx(9);

fn item(id: &str) -> Item {
    Item {
        id: id.into(),
        name: id.into(),
        mass: Mass::from_g(900),
        bulk: Bulk::ZERO,
        held: 2,
        ways: [Way::Back].into_iter().collect(),
        hands: 1,
        pair_shares: [Percent::HALF; 2],
        keeper: None,
        requires: vec![],
        supplies: vec![],
        uses: vec![],
        contents: vec![],
        tags: vec![],
        place: None,
    }
}

fn person(id: &str) -> Carrier {
    let person = Person {
        body_mass: Some(Mass::from_g(70_000)),
        limit: Mass::from_g(20_000),
        limit_share: None,
        emergency_limit: Mass::from_g(20_000),
        emergency_given: false,
        worn: Mass::ZERO,
        pack: None,
        duties: vec![],
        slots: Slots::default(),
        uses: vec![],
    };
    Carrier { id: id.into(), name: id.into(), riding: Riding::Person(person), place: None }
}

fn vehicle(id: &str, seats: u32) -> Carrier {
    let payload = Mass::from_g(500_000);
    let riding = Riding::Vehicle(Vehicle { payload, bed: None, seats, hauled: false });
    Carrier { id: id.into(), name: id.into(), riding, place: None }
}

fn party(id: &str, travel: Travel, who: &[CarrierIx]) -> Party {
    Party { id: id.into(), travel, who: who.to_vec(), aboard: vec![], place: None }
}

/// Ann on foot, Bo driving the truck that is the store.
fn sound() -> MoveParts {
    let supplies = vec![Supply { id: "line".into(), dimension: Dimension::Length }];
    let mut road = party("road", Travel::Vehicle, &[BO, TRUCK]);
    road.aboard = vec![(BO, TRUCK)];
    MoveParts {
        catalogue: Catalogue::new(vec![item("mast"), item("guy")], supplies).expect("sound"),
        carriers: vec![person("ann"), person("bo"), vehicle("truck", 1)],
        parties: vec![party("up", Travel::Foot, &[ANN]), road],
        store: Some(ROAD),
        ..MoveParts::default()
    }
}

fn need(party: PartyIx, node: NeedNode) -> Need {
    Need { party, name: "x".into(), node, priority: None, place: None }
}

fn demand(supply: SupplyIx, amount: Option<Amount>) -> NeedNode {
    let slack = Percent::ZERO;
    NeedNode::Supply(Demand { supply, amount, per_person: None, time: None, slack })
}

fn person_of(parts: &mut MoveParts, c: CarrierIx) -> &mut Person {
    match &mut parts.carriers[c.0].riding {
        Riding::Person(p) => p,
        Riding::Vehicle(_) => panic!("a vehicle"),
    }
}

#[test]
fn what_goes_together_is_a_move() {
    let order = MoveOrder::new(sound()).expect("a sound move");
    assert_eq!(order.goals().len(), GoalKind::ALL.len());
    let twice = order.changed(|parts| parts.name = "again".into()).expect("a sound change");
    assert_eq!((order.name(), twice.name()), ("", "again"));
}

#[test]
fn each_fault_is_found_alone() {
    use OrderFault as F;
    let count = Amount::new(Dimension::Count, 3);
    let rule = |kind: RuleKind| Rule { kind, place: None };
    let within = Within::Need(0);
    type Break = Box<dyn Fn(&mut MoveParts)>;
    let cases: Vec<(Break, OrderFault)> = vec![
        (
            Box::new(move |p| p.carriers[1].id = "ann".into()),
            F::SameId { within: Within::Carrier(BO), id: "ann".into() },
        ),
        (
            Box::new(move |p| person_of(p, ANN).emergency_limit = Mass::ZERO),
            F::EmergencyLimit { carrier: ANN },
        ),
        (
            Box::new(move |p| person_of(p, ANN).uses.push((SupplyIx(9), Use::Once(count)))),
            F::NoSupply { within: Within::Carrier(ANN), supply: SupplyIx(9) },
        ),
        (
            Box::new(move |p| person_of(p, ANN).uses.push((LINE, Use::Once(count)))),
            F::NotOfSupply { within: Within::Carrier(ANN), supply: LINE },
        ),
        (
            Box::new(move |p| p.parties[1].id = "up".into()),
            F::SameId { within: Within::Party(ROAD), id: "up".into() },
        ),
        (Box::new(move |p| p.parties[0].who.clear()), F::EmptyParty { party: UP }),
        (
            Box::new(move |p| p.parties[0].who.push(NOBODY)),
            F::NoCarrier { within: Within::Party(UP), carrier: NOBODY },
        ),
        (
            Box::new(move |p| p.parties[1].who.push(ANN)),
            F::InTwoParties { carrier: ANN, party: ROAD },
        ),
        (
            Box::new(move |p| p.parties[1].aboard.push((ANN, TRUCK))),
            F::NotAboard { party: ROAD, person: ANN, vehicle: TRUCK },
        ),
        (
            Box::new(move |p| p.parties[1].aboard.push((BO, TRUCK))),
            F::NotAboard { party: ROAD, person: BO, vehicle: TRUCK },
        ),
        (
            Box::new(move |p| p.parties[0].aboard.push((NOBODY, NOBODY))),
            F::NotAboard { party: UP, person: NOBODY, vehicle: NOBODY },
        ),
        (Box::new(move |p| p.carriers[2] = vehicle("truck", 0)), F::Seats { vehicle: TRUCK }),
        (Box::new(move |p| person_of(p, BO).body_mass = None), F::NoBodyMass { person: BO }),
        (
            Box::new(move |p| {
                p.carriers.push(vehicle("van", 0));
                p.parties[0].who.push(CarrierIx(3));
            }),
            F::NotHauled { party: UP, vehicle: CarrierIx(3) },
        ),
        (Box::new(move |p| (p.parties, p.store) = (vec![], None)), F::NoParties),
        (Box::new(move |p| p.store = Some(UP)), F::StoreOnFoot { store: UP }),
        (
            Box::new(move |p| p.store = Some(NOWHERE)),
            F::NoParty { within: Within::Store, party: NOWHERE },
        ),
        (
            Box::new(move |p| p.needs.push(need(NOWHERE, NeedNode::Item { item: MAST, count: 1 }))),
            F::NoParty { within, party: NOWHERE },
        ),
        (
            Box::new(move |p| p.needs.push(need(UP, NeedNode::Item { item: ItemIx(9), count: 1 }))),
            F::NoItem { within, item: ItemIx(9) },
        ),
        (
            Box::new(move |p| p.needs.push(need(UP, demand(SupplyIx(9), None)))),
            F::NoSupply { within, supply: SupplyIx(9) },
        ),
        (
            Box::new(move |p| p.needs.push(need(UP, demand(LINE, Some(count))))),
            F::NotOfSupply { within, supply: LINE },
        ),
        (
            Box::new(move |p| p.needs.push(need(UP, NeedNode::Any(vec![NeedNode::All(vec![])])))),
            F::Empty { within },
        ),
        (
            Box::new(move |p| {
                let of = vec![NeedNode::Item { item: MAST, count: 1 }];
                p.needs.push(need(UP, NeedNode::AtLeast { count: 2, of }));
            }),
            F::Count { within },
        ),
        (
            Box::new(move |p| {
                let each = || demand(LINE, None);
                p.needs.push(need(UP, NeedNode::Any((0..13).map(|_| each()).collect())));
            }),
            F::TooManyChoices { party: UP },
        ),
        (
            Box::new(move |p| {
                let (item, place) = (ItemIx(9), None);
                p.wants.push(Want { party: UP, item, value: 1, up_to: 1, place });
            }),
            F::NoItem { within: Within::Want(0), item: ItemIx(9) },
        ),
        (
            Box::new(move |p| p.rules.push(rule(RuleKind::Apart { items: vec![ItemIx(9)] }))),
            F::NoItem { within: Within::Rule(0), item: ItemIx(9) },
        ),
        (
            Box::new(move |p| {
                let carriers = vec![NOBODY];
                p.rules.push(rule(RuleKind::KeepOff { items: vec![MAST], carriers }));
            }),
            F::NoCarrier { within: Within::Rule(0), carrier: NOBODY },
        ),
        (
            // Bo rides.
            Box::new(move |p| {
                p.rules.push(rule(RuleKind::Fixed { item: MAST, count: 1, carrier: BO }));
            }),
            F::FixedToNobody { rule: 0, carrier: BO },
        ),
        (
            Box::new(move |p| {
                let carriers = vec![ANN, TRUCK];
                p.rules.push(rule(RuleKind::HandsFree { hands: 1, carriers }));
            }),
            F::HandsOfVehicle { rule: 0, carrier: TRUCK },
        ),
        (Box::new(move |p| p.goals.clear()), F::NoGoals),
        (Box::new(move |p| p.goals.push(p.goals[0])), F::GoalTwice { goal: GoalKind::ALL[0] }),
        (
            Box::new(move |p| {
                let by = Bearer::Pair { first: ANN, second: NOBODY };
                let plan = Plan::new(vec![Placement { by, item: MAST, count: 1 }]);
                p.before = Some(Before { plan, astray: vec![] });
            }),
            F::NoCarrier { within: Within::Before, carrier: NOBODY },
        ),
        (
            Box::new(move |p| {
                p.before = Some(Before { plan: Plan::default(), astray: vec![(ItemIx(9), 1)] });
            }),
            F::NoItem { within: Within::Before, item: ItemIx(9) },
        ),
        (
            Box::new(move |p| p.spent.push((NOWHERE, LINE, 1))),
            F::NoParty { within: Within::Spent(0), party: NOWHERE },
        ),
        (
            Box::new(move |p| p.brings.push(Brings { party: UP, any: vec![] })),
            F::Empty { within: Within::Brings(0) },
        ),
        (
            Box::new(move |p| p.brings.push(Brings { party: UP, any: vec![(MAST, 0)] })),
            F::Count { within: Within::Brings(0) },
        ),
    ];
    for (slip, fault) in cases {
        let mut parts = sound();
        slip(&mut parts);
        let broken = MoveOrder::new(parts).expect_err("a fault");
        assert_eq!(broken.faults, [fault]);
        let told = broken.to_string();
        assert!(told.starts_with("the parts of the move do not go together: "), "{told}");
    }
}

/// A change that is refused leaves the move as it was.
#[test]
fn a_change_is_looked_at_too() {
    let order = MoveOrder::new(sound()).expect("a sound move");
    let broken = order.changed(|parts| parts.store = Some(NOWHERE)).expect_err("a fault");
    assert_eq!(broken.faults.len(), 1);
    assert_eq!(order.store(), Some(ROAD));
}

#[test]
fn each_fault_of_a_catalogue_is_found() {
    use BrokenCatalogue as B;
    let supplies = [Supply { id: "line".into(), dimension: Dimension::Length }];
    let metre = Amount::new(Dimension::Length, 1000);
    let never = Rate { amount: metre, per: Span::from_s(0) };
    let other = ItemIx(1);
    type Break = Box<dyn Fn(&mut Vec<Item>)>;
    let cases: Vec<(Break, BrokenCatalogue)> = vec![
        (Box::new(move |i| i[1].id = "mast".into()), B::SameId(other)),
        (Box::new(move |i| i[1].contents.push((ItemIx(9), 1))), B::NoItem(other)),
        (
            Box::new(move |i| {
                let count = Required::Shared;
                i[1].requires.push(Requirement { item: ItemIx(9), count });
            }),
            B::NoItem(other),
        ),
        (Box::new(move |i| i[1].supplies.push((SupplyIx(9), metre))), B::NoSupply(other)),
        (Box::new(move |i| i[1].supplies = vec![(LINE, metre); 2]), B::Supplies(other)),
        (
            Box::new(move |i| i[1].uses.push((LINE, Use::Once(Amount::new(Dimension::Count, 1))))),
            B::Supplies(other),
        ),
        (Box::new(move |i| i[1].uses.push((LINE, Use::Over(never)))), B::Supplies(other)),
        (Box::new(move |i| i[1].hands = 3), B::Hands(other)),
        (
            Box::new(move |i| i[1].pair_shares = [Percent::HALF, Percent::WHOLE]),
            B::PairShares(other),
        ),
        (
            Box::new(move |i| {
                i[0].contents.push((other, 1));
                i[1].contents.push((MAST, 1));
            }),
            B::Circle(MAST),
        ),
        (
            Box::new(move |i| {
                i[0].contents.push((other, u32::MAX));
                i[1].contents.push((ItemIx(2), 2));
                i.push(item("peg"));
            }),
            B::TooMany(MAST),
        ),
    ];
    for (slip, fault) in cases {
        let mut items = vec![item("mast"), item("guy")];
        slip(&mut items);
        let broken = Catalogue::new(items, supplies.to_vec()).expect_err("a fault");
        assert_eq!(broken, fault, "{broken}");
    }
    let twice = [supplies.to_vec(), supplies.to_vec()].concat();
    let broken = Catalogue::new(vec![], twice).expect_err("a fault");
    assert_eq!(broken, B::SameSupply(SupplyIx(1)), "{broken}");
}
