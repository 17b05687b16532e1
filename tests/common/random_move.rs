//! Small random move orders that use the whole language of needs and rules.

use tumpline::load::*;
use tumpline::quantity::*;

/// splitmix64: the same numbers on every machine.
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    pub fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }
    pub fn between(&mut self, low: u64, high: u64) -> u64 {
        low + self.below(high - low + 1)
    }
    pub fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len() as u64) as usize]
    }
}

pub fn item(id: &str, mass: Mass, held: u32, ways: &[Way]) -> Item {
    Item {
        id: id.into(),
        name: id.into(),
        mass,
        bulk: Bulk::ZERO,
        held,
        ways: ways.iter().copied().collect(),
        hands: 1,
        pair_shares: [Percent::HALF, Percent::HALF],
        keeper: None,
        requires: vec![],
        supplies: vec![],
        uses: vec![],
        contents: vec![],
        tags: vec![],
        place: None,
    }
}

pub fn person(id: &str, limit: Mass) -> Carrier {
    Carrier {
        id: id.into(),
        name: id.into(),
        riding: Riding::Person(Person {
            body_mass: None,
            limit,
            limit_share: None,
            emergency_limit: limit,
            emergency_given: false,
            worn: Mass::ZERO,
            pack: None,
            duties: vec![],
            slots: Slots::default(),
            uses: vec![],
        }),
        place: None,
    }
}

pub fn vehicle(id: &str, payload: Mass) -> Carrier {
    Carrier {
        id: id.into(),
        name: id.into(),
        riding: Riding::Vehicle(Vehicle { payload, bed: None, seats: 0, hauled: false }),
        place: None,
    }
}

pub fn party(id: &str, travel: Travel, who: &[usize]) -> Party {
    let who = who.iter().map(|c| CarrierIx(*c)).collect();
    Party { id: id.into(), travel, who, aboard: vec![], place: None }
}

pub fn goals(kinds: &[GoalKind]) -> Vec<Goal> {
    kinds.iter().map(|k| Goal { kind: *k, give: Percent::ZERO }).collect()
}

/// A move with few items, two or three people and perhaps a truck, small
/// enough to enumerate.
pub fn small(seed: u64) -> MoveOrder {
    let mut r = Random(seed);
    let supply = Supply { id: "power".into(), dimension: Dimension::Energy };
    let n = r.between(3, 5) as usize;
    let mut items = Vec::new();
    for i in 0..n {
        let ways: &[Way] = r.pick(&[
            &[Way::Back][..],
            &[Way::Back, Way::Hand],
            &[Way::Pair, Way::Back],
            &[Way::Hand],
            &[Way::Belt],
            &[Way::Pair],
        ]);
        let mass = Mass::from_g(r.between(5, 90) * 100);
        let held = if ways == [Way::Pair] { 1 } else { r.between(1, 2) as u32 };
        let mut it = item(&format!("item-{i}"), mass, held, ways);
        it.bulk = Bulk::from_ml(r.between(1, 9) * 1000);
        it.hands = if r.chance(20) { 2 } else { 1 };
        if r.chance(30) {
            it.pair_shares = [Percent::from_ppm(600_000), Percent::from_ppm(400_000)];
        }
        if r.chance(40) {
            it.keeper = Some("medic".into());
        }
        if r.chance(30) {
            it.supplies
                .push((SupplyIx(0), Amount::new(Dimension::Energy, r.between(50, 200) * 1000)));
        }
        if r.chance(30) {
            let rate = Rate {
                amount: Amount::new(Dimension::Energy, r.between(1, 9) * 1000),
                per: Span::HOUR,
            };
            it.uses.push((SupplyIx(0), Use::Over(rate)));
        }
        items.push(it);
    }
    if r.chance(40) {
        // The last is a case that holds one of the first.
        let first = ItemIx(0);
        items[n - 1].contents.push((first, r.between(1, 2) as u32));
    }
    if r.chance(40) {
        let (a, b) = (r.below(n as u64 - 1) as usize, n - 1);
        let count = if r.chance(50) { Required::Each(1) } else { Required::Shared };
        items[a].requires.push(Requirement { item: ItemIx(b), count });
    }
    let people = r.between(2, 3) as usize;
    let mut carriers: Vec<Carrier> = Vec::new();
    let twins = r.chance(40);
    for p in 0..people {
        if let (true, Some(first)) = (twins, carriers.first()) {
            let id = format!("person-{p}");
            carriers.push(Carrier { name: id.clone(), id, ..first.clone() });
            continue;
        }
        let mut c = person(&format!("person-{p}"), Mass::from_g(r.between(40, 160) * 100));
        if let Riding::Person(p) = &mut c.riding {
            p.worn = Mass::from_g(r.between(0, 10) * 100);
            p.pack = r.chance(60).then(|| Bulk::from_ml(r.between(6, 20) * 1000));
            if r.chance(40) {
                p.duties.push("medic".into());
            }
        }
        carriers.push(c);
    }
    let two_parties = people == 3 && r.chance(30);
    let mut parties = if two_parties {
        vec![party("up", Travel::Foot, &[0, 1]), party("down", Travel::Foot, &[2])]
    } else {
        vec![party("up", Travel::Foot, &(0..people).collect::<Vec<_>>())]
    };
    let mut store = None;
    if r.chance(60) {
        let total: u64 = items.iter().map(|i| i.mass.mg() * u64::from(i.held)).sum();
        let payload = if r.chance(30) { total * 7 / 10 } else { total };
        carriers.push(vehicle("truck", Mass::from_mg(payload)));
        store = Some(PartyIx(parties.len()));
        parties.push(party("road", Travel::Vehicle, &[people]));
    }
    let any_item = |r: &mut Random| ItemIx(r.below(n as u64) as usize);
    let mut needs = Vec::new();
    for k in 0..r.between(1, 2) {
        let leaf = |r: &mut Random| {
            let item = ItemIx(r.below(n as u64) as usize);
            let count = r.between(1, u64::from(items[item.0].held)) as u32;
            NeedNode::Item { item, count }
        };
        let demand = |r: &mut Random| {
            NeedNode::Supply(Demand {
                supply: SupplyIx(0),
                amount: Some(Amount::new(Dimension::Energy, r.between(10, 120) * 1000)),
                per_person: None,
                time: r.chance(60).then(|| Span::from_s(r.between(1, 9) * 3600)),
                slack: Percent::from_ppm(r.between(0, 2) * 100_000),
            })
        };
        let node = match r.below(5) {
            0 => leaf(&mut r),
            1 => NeedNode::Any(vec![leaf(&mut r), leaf(&mut r)]),
            2 => {
                let both = NeedNode::All(vec![leaf(&mut r), leaf(&mut r)]);
                NeedNode::AtLeast { count: 2, of: vec![leaf(&mut r), both, leaf(&mut r)] }
            }
            3 => NeedNode::Any(vec![leaf(&mut r), demand(&mut r)]),
            _ if k == 0 => demand(&mut r),
            _ => leaf(&mut r),
        };
        let party = PartyIx(r.below(if two_parties { 2 } else { 1 }) as usize);
        needs.push(Need { party, name: format!("need {k}"), node, priority: None, place: None });
    }
    let mut wants: Vec<Want> = Vec::new();
    for _ in 0..r.between(0, 2) {
        let item = any_item(&mut r);
        if wants.iter().all(|w| w.item != item) {
            let (value, up_to) = (r.between(1, 9) as u32, r.between(1, 2) as u32);
            wants.push(Want { party: PartyIx(0), item, value, up_to, place: None });
        }
    }
    let mut rules = Vec::new();
    let walkers: Vec<CarrierIx> = (0..people).map(CarrierIx).collect();
    for _ in 0..r.between(0, 2) {
        rules.push(Rule { kind: rule(&mut r, n, &walkers), place: None });
    }
    let mut order = GoalKind::ALL.to_vec();
    for k in (1..order.len()).rev() {
        order.swap(k, r.below(k as u64 + 1) as usize);
    }
    let catalogue = Catalogue::new(items, vec![supply]).expect("no circle was made");
    MoveOrder::new(MoveParts {
        name: format!("random move {seed}"),
        catalogue,
        carriers,
        parties,
        store,
        needs,
        wants,
        rules,
        goals: goals(&order),
        ..MoveParts::default()
    })
    .expect("a move")
}

/// A rule of any kind over the first `n` items, binding these carriers.
pub fn rule(r: &mut Random, n: usize, who: &[CarrierIx]) -> RuleKind {
    let two = |r: &mut Random| {
        let a = r.below(n as u64) as usize;
        let b = (a + 1 + r.below(n as u64 - 1) as usize) % n;
        vec![ItemIx(a), ItemIx(b)]
    };
    let any_item = |r: &mut Random| ItemIx(r.below(n as u64) as usize);
    match r.below(7) {
        0 => RuleKind::Apart { items: two(r) },
        1 => RuleKind::Together { items: two(r) },
        2 => RuleKind::AtMost { count: 1, items: two(r), carriers: who.to_vec() },
        3 => RuleKind::Fixed {
            item: any_item(r),
            count: 1,
            carrier: who[r.below(who.len() as u64) as usize],
        },
        4 => RuleKind::KeepOff { items: vec![any_item(r)], carriers: vec![who[0]] },
        5 => RuleKind::HandsFree { hands: 1, carriers: who.to_vec() },
        _ => RuleKind::Reserve {
            reserve: Reserve::Share(Percent::from_ppm(100_000)),
            carriers: who.to_vec(),
        },
    }
}

/// A small move in which people and things use meals by rates that come to parts
/// of a meal, several of them from one supply, under demands that add up.
pub fn rated(seed: u64) -> MoveOrder {
    let mut parts = small(seed).into_parts();
    let mut r = Random(seed ^ 0x0ea7_0000);
    let mut supplies: Vec<Supply> = parts.catalogue.supplies().map(|(_, s)| s.clone()).collect();
    let meals = SupplyIx(supplies.len());
    supplies.push(Supply { id: "meals".into(), dimension: Dimension::Count });
    let count = |n| Amount::new(Dimension::Count, n);
    let rate = |r: &mut Random| {
        let per = r.pick(&[86_400, 86_400, 3_600, 7 * 3_600, 17 * 60]);
        (meals, Use::Over(Rate { amount: count(r.between(1, 2)), per: Span::from_s(per) }))
    };
    let mut items: Vec<Item> = parts.catalogue.items().map(|(_, item)| item.clone()).collect();
    for item in &mut items {
        if r.chance(50) {
            item.supplies.push((meals, count(r.between(2, 5))));
        } else if r.chance(50) {
            item.uses.push(rate(&mut r));
        }
    }
    for c in &mut parts.carriers {
        if let Riding::Person(p) = &mut c.riding
            && r.chance(80)
        {
            p.uses.push(rate(&mut r));
        }
    }
    let demand = |r: &mut Random| {
        NeedNode::Supply(Demand {
            supply: meals,
            amount: r.chance(20).then(|| count(1)),
            per_person: None,
            time: Some(Span::from_s(60 * r.pick(&[51, 113, 240, 420, 480, 1_440]))),
            slack: Percent::from_ppm(r.pick(&[0, 0, 125_000, 333_333])),
        })
    };
    for k in 0..r.between(1, 3) {
        let node = match r.below(3) {
            0 => NeedNode::Any(vec![demand(&mut r), demand(&mut r)]),
            _ => demand(&mut r),
        };
        let name = format!("eat {k}");
        parts.needs.push(Need { party: PartyIx(0), name, node, priority: None, place: None });
    }
    if r.chance(20) {
        parts.spent.push((PartyIx(0), meals, 1));
    }
    parts.catalogue = Catalogue::new(items, supplies).expect("no circle was made");
    MoveOrder::new(parts).expect("a move")
}
