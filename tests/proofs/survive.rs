//! Plans that survive a drop-out against what "survives" says: whichever one
//! person of a party of two or more on foot drops out, the rest can carry what
//! the party needs, within their emergency limits, out of what it brought.
//! The move of the rest is written down here anew and solved by itself, and on
//! small moves enumerated.

use crate::common::cases::cases;
use crate::common::enumerate::{best, best_of, better};
use crate::common::folder::demo_moves;
use crate::common::random_move::{Random, small};
use std::collections::BTreeMap;
use std::time::Duration;
use tumpline::ask::{Conditioned, Conditions, conditions};
use tumpline::kit::read_move;
use tumpline::load::*;
use tumpline::quantity::*;
use tumpline::split::{Options, Outcome, Status, audit, split};

fn options() -> Options {
    // Of it somewhat less than half is used.
    Options { time: Duration::from_secs(120), gap: Percent::ZERO, seed: 1 }
}

fn survives(order: &MoveOrder, gap: Percent) -> Conditioned {
    let options = Options { gap, ..options() };
    conditions::answer(order, Conditions { survives: true }, &options, &Default::default())
}

/// A small random move whose people can bear more in an emergency.
fn emergency(seed: u64) -> MoveOrder {
    let mut r = Random(seed ^ 0xe3e6);
    let strong = small(seed).changed(|parts| {
        for c in &mut parts.carriers {
            if let Riding::Person(p) = &mut c.riding {
                p.emergency_limit = Mass::from_mg(p.limit.mg() * r.between(100, 140) / 100);
            }
        }
    });
    strong.expect("a move")
}

/// Whose loss is to be borne.
fn people(order: &MoveOrder) -> Vec<(PartyIx, CarrierIx)> {
    let mut all = Vec::new();
    for (p, party) in order.parties().iter().enumerate() {
        let walk: Vec<CarrierIx> =
            party.who.iter().copied().filter(|c| order.carrier(*c).person().is_some()).collect();
        if party.travel == Travel::Foot && order.store() != Some(PartyIx(p)) && walk.len() > 1 {
            all.extend(walk.into_iter().map(|c| (PartyIx(p), c)));
        }
    }
    all
}

/// How many of each item the party brings, loose.
fn brought(order: &MoveOrder, plan: &Plan, party: PartyIx) -> Vec<u32> {
    let mut counts = vec![0; order.catalogue().len()];
    for p in plan.placements() {
        let first = match p.by {
            Bearer::One { carrier, .. } => carrier,
            Bearer::Pair { first, .. } => first,
        };
        if order.party_of(first) == Some(party) {
            counts[p.item.0] += p.count;
        }
    }
    counts
}

/// The move of the rest.
fn rest(order: &MoveOrder, party: PartyIx, out: CarrierIx, held: &[u32]) -> MoveOrder {
    let items = order.catalogue().items().map(|(i, item)| Item { held: held[i.0], ..item.clone() });
    let supplies = order.catalogue().supplies().map(|(_, s)| s.clone()).collect();
    let mut group = order.party(party).clone();
    group.who.retain(|c| *c != out);
    let mut carriers = order.carriers().to_vec();
    for c in &mut carriers {
        if let Riding::Person(p) = &mut c.riding {
            p.limit = p.emergency_limit;
        }
    }
    let who_may =
        |r: &&Rule| matches!(r.kind, RuleKind::KeepOff { .. } | RuleKind::HandsFree { .. });
    let needs = order.needs().iter().filter(|n| n.party == party);
    let rest = MoveOrder::new(MoveParts {
        name: format!("{} without {}", order.name(), order.carrier(out).id),
        units: order.units(),
        catalogue: Catalogue::new(items.collect(), supplies).unwrap(),
        carriers,
        parties: vec![group],
        needs: needs.map(|n| Need { party: PartyIx(0), ..n.clone() }).collect(),
        rules: order.rules().iter().filter(who_may).cloned().collect(),
        goals: vec![Goal { kind: GoalKind::Lightest, give: Percent::ZERO }],
        tolerance: order.tolerance(),
        ..MoveParts::default()
    });
    rest.expect("a move")
}

fn goes(order: &MoveOrder) -> bool {
    match split(order, &options(), &Default::default()).outcome {
        Outcome::Plan(_) => true,
        Outcome::NoPlan(_) => false,
        Outcome::NoneFound => panic!("{}: not settled in two minutes", order.name()),
    }
}

/// Checks an answer by solving the move of the rest for each person; gives
/// whether there is a plan.
fn checked(order: &MoveOrder) -> bool {
    let found = survives(order, Options::default().gap);
    let planned = match &found.answer.outcome {
        Outcome::Plan(planned) => planned,
        Outcome::NoPlan(_) => return false,
        Outcome::NoneFound => panic!("{}: none found in two minutes", order.name()),
    };
    assert_eq!(audit(order, &planned.plan).faults, [], "{}", order.name());
    let survival = found.survival.as_ref().expect("a plan that survives");
    let people = people(order);
    assert_eq!(survival.drop_outs.len(), people.len(), "{}", order.name());
    for ((party, out), told) in people.into_iter().zip(&survival.drop_outs) {
        assert_eq!((party, out), (told.party, told.who), "{}", order.name());
        let alone = rest(order, party, out, &brought(order, &planned.plan, party));
        assert!(goes(&alone), "{}", alone.name());
        assert_eq!(audit(&alone, &told.planned.plan).faults, [], "{}", alone.name());
    }
    true
}

/// Each kit has a plan that survives, or the rest of some party could not go
/// on even with everything there is.
#[test]
fn on_the_demo_kits_the_rest_go_on_or_nobody_could() {
    let mut plans = 0;
    for path in demo_moves() {
        let order = read_move(&path).unwrap().order;
        // The first goals say enough, and are soon had.
        let order = order.changed(|parts| parts.goals.truncate(2)).unwrap();
        if checked(&order) {
            plans += 1;
            continue;
        }
        let held: Vec<u32> = order.catalogue().items().map(|(_, item)| item.held).collect();
        let stuck = people(&order).into_iter().any(|(p, c)| !goes(&rest(&order, p, c, &held)));
        assert!(stuck, "{}: why does no plan survive?", path.display());
    }
    assert!(plans >= 5, "{plans}");
}

#[test]
fn on_generated_moves_the_rest_go_on() {
    let (mut plans, mut seed) = (0, 5_000);
    while plans < cases(20, 100) {
        seed += 1;
        plans += usize::from(checked(&emergency(seed)));
        assert!(seed < 6_000, "{plans} plans only");
    }
}

/// The best plan that survives is that of enumeration: of all plans, and for
/// each of all plans of the rest.
#[test]
fn the_best_plan_that_survives_is_that_of_enumeration() {
    let (mut plans, mut none, mut dearer, mut seen) = (0, 0, 0, 0);
    for seed in 1..=cases(45, 180) {
        let mut order = emergency(seed);
        if seed % 4 == 0 {
            let share = Percent::from_ppm(50_000);
            order = order.with_tolerance(Some(Tolerance { share, off: Some(1) }));
        }
        let people = people(&order);
        if people.is_empty() {
            continue;
        }
        let mut known: BTreeMap<(usize, Vec<u32>), bool> = BTreeMap::new();
        let mut too_many = false;
        let expected = best_of(&order, |plan, _| {
            people.iter().enumerate().all(|(k, &(party, out))| {
                let held = brought(&order, plan, party);
                *known.entry((k, held)).or_insert_with_key(|(_, held)| {
                    match best(&rest(&order, party, out, held)) {
                        Ok(found) => found.is_some(),
                        Err(_) => {
                            too_many = true;
                            false
                        }
                    }
                })
            })
        });
        let Ok(expected) = expected else { continue };
        if too_many {
            continue;
        }
        seen += 1;
        let found = survives(&order, Percent::ZERO).answer;
        match (&found.outcome, expected) {
            (Outcome::Plan(found), Some(expected)) => {
                assert_eq!(found.findings.goals, expected.goals, "seed {seed}");
                assert_eq!(found.status, Status::ProvenBest, "seed {seed}");
                plans += 1;
                let plain = best(&order).unwrap().unwrap();
                dearer += usize::from(better(&order, &plain, &expected));
            }
            (Outcome::NoPlan(_), None) => none += 1,
            (found, expected) => {
                panic!("seed {seed}: {} by enumeration, here {found:?}", expected.is_some())
            }
        }
    }
    assert!(
        seen >= cases(30, 120)
            && plans >= cases(10, 40)
            && none >= cases(10, 40)
            && dearer >= cases(0, 2),
        "{seen} {plans} {none} {dearer}"
    );
}
