//! Uncertain weights against the enumeration of every way they can be off: a
//! plan holds if no set of at most so many kinds, each heavier by all of its
//! deviation, takes any carrier over its limit. That is the definition in
//! Bertsimas and Sim 2004, "The Price of Robustness", Operations Research
//! 52(1), 35-53 (from memory); the enumeration here shares nothing with the
//! rows, the search or the audit.

use crate::common::cases::cases;
use crate::common::enumerate::{best, best_of, better};
use crate::common::random_move::{Random, goals, item, party, person, small};
use std::time::Duration;
use tumpline::ask::{Conditions, Cost, Price, conditions};
use tumpline::kit::read_move;
use tumpline::load::*;
use tumpline::quantity::*;
use tumpline::split::{Options, Outcome, Planned, Status, Watch, audit, split};

fn moves() -> u64 {
    cases(36, 180)
}

fn at(seed: u64) -> Tolerance {
    let mut r = Random(seed ^ 0x70_1e2a);
    let share = Percent::from_ppm(r.pick(&[50_000, 123_457, 300_000]));
    Tolerance { share, off: r.pick(&[Some(0), Some(1), Some(1), Some(2), Some(3), None]) }
}

fn uncertain(seed: u64) -> MoveOrder {
    small(seed).with_tolerance(Some(at(seed)))
}

/// `mass · parts`, in millionths, rounded up to a whole milligram.
fn part(mass: u64, parts: u64) -> u64 {
    u64::try_from((u128::from(mass) * u128::from(parts)).div_ceil(1_000_000)).unwrap()
}

/// The heaviest the carrier's kit can be, in mg: every set of kinds is tried.
fn heaviest(order: &MoveOrder, plan: &Plan, carrier: CarrierIx, t: Tolerance) -> u64 {
    let kinds = order.catalogue().len();
    let mut heaviest = 0;
    for set in 0u32..1 << kinds {
        if t.off.is_some_and(|off| set.count_ones() > off) {
            continue;
        }
        let mut sum = 0;
        for p in plan.placements() {
            let mass = order.item(p.item).mass.mg();
            let shares = order.item(p.item).pair_shares;
            let one = match p.by {
                Bearer::One { carrier: c, .. } if c == carrier => mass,
                Bearer::Pair { first, .. } if first == carrier => part(mass, shares[0].ppm()),
                Bearer::Pair { second, .. } if second == carrier => part(mass, shares[1].ppm()),
                _ => continue,
            };
            let off = if set >> p.item.0 & 1 == 1 { part(one, t.share.ppm()) } else { 0 };
            sum += (one + off) * u64::from(p.count);
        }
        heaviest = heaviest.max(sum);
    }
    heaviest
}

/// Whether the plan holds whatever is off, by enumeration.
fn holds(order: &MoveOrder, plan: &Plan, t: Tolerance) -> bool {
    (0..order.carriers().len()).map(CarrierIx).all(|c| {
        let most = order.usable_limit(c).mg();
        order.burden(c).mg() + heaviest(order, plan, c, t) <= most
    })
}

fn answer(order: &MoveOrder) -> Option<Box<Planned>> {
    let options = Options { time: Duration::from_secs(60), gap: Percent::ZERO, seed: 1 };
    match split(order, &options, &Default::default()).outcome {
        Outcome::Plan(planned) => Some(planned),
        Outcome::NoPlan(_) => None,
        Outcome::NoneFound => panic!("{}: nothing found in a minute", order.name()),
    }
}

#[test]
fn the_audit_finds_the_worst_load_of_all_deviations() {
    let (mut seen, mut faults) = (0, 0);
    for seed in 1..=moves() {
        let nominal = small(seed);
        let t = at(seed);
        let Some(planned) = answer(&nominal) else { continue };
        let order = nominal.with_tolerance(Some(t));
        let found = audit(&order, &planned.plan);
        for f in &found.carriers {
            let worst =
                order.burden(f.carrier).mg() + heaviest(&order, &planned.plan, f.carrier, t);
            assert_eq!(f.worst, Some(Mass::from_mg(worst)), "seed {seed}");
        }
        let holds = holds(&order, &planned.plan, t);
        assert_eq!(found.faults.is_empty(), holds, "seed {seed}: {:?}", found.faults);
        seen += 1;
        faults += usize::from(!holds);
    }
    assert!(
        seen >= cases(20, 100) && faults >= cases(4, 20),
        "{seen} plans, {faults} of them fail"
    );
}

#[test]
fn the_best_plan_under_a_tolerance_is_that_of_enumeration() {
    let (mut plans, mut none, mut dearer) = (0, 0, 0);
    for seed in 1..=moves() {
        let order = uncertain(seed);
        let nominal = order.clone().with_tolerance(None);
        let t = at(seed);
        let Ok(expected) = best_of(&nominal, |plan, _| holds(&nominal, plan, t)) else { continue };
        let found = answer(&order);
        assert_eq!(found.is_some(), expected.is_some(), "seed {seed}");
        let (Some(found), Some(expected)) = (found, expected) else {
            none += 1;
            continue;
        };
        assert!(holds(&order, &found.plan, t), "seed {seed}");
        assert_eq!(found.findings.goals, expected.goals, "seed {seed}");
        assert_eq!(found.status, Status::ProvenBest, "seed {seed}");
        plans += 1;
        let without = best(&nominal).unwrap().unwrap();
        dearer += usize::from(better(&nominal, &without, &expected));
    }
    assert!(
        plans >= cases(20, 100) && none >= cases(4, 20) && dearer >= cases(1, 5),
        "{plans} {none} {dearer}"
    );
}

/// Bertsimas and Sim 2004 (from memory): with none off it is the nominal
/// problem, with all off that of the worst case (Soyster 1973), where every
/// kind simply weighs as much as it may; and what is protected more is never
/// better.
#[test]
fn none_off_is_the_nominal_problem_and_all_off_the_worst_case() {
    for seed in 1..=cases(5, 20) {
        let nominal = small(seed);
        let share = Percent::from_ppm(100_000);
        let with = |off| answer(&nominal.clone().with_tolerance(Some(Tolerance { share, off })));
        let goals = |p: &Option<Box<Planned>>| p.as_ref().map(|p| p.findings.goals.clone());
        assert_eq!(goals(&with(Some(0))), goals(&answer(&nominal)), "seed {seed}");
        let kinds = nominal.catalogue().len() as u32;
        assert_eq!(goals(&with(Some(kinds))), goals(&with(None)), "seed {seed}");
        let all: Vec<_> = (0..=kinds).map(|n| with(Some(n))).collect();
        for (less, more) in all.iter().zip(&all[1..]) {
            match (less, more) {
                (Some(less), Some(more)) => {
                    assert!(!better(&nominal, &more.findings, &less.findings), "seed {seed}");
                }
                (None, more) => assert!(more.is_none(), "seed {seed}"),
                (Some(_), None) => {}
            }
        }
    }
}

/// Four things of 10 kg for a limit of 31 kg, 10 % off: with none off three
/// fit, with one off three just fit (30 + 1), with two off only two. By hand.
#[test]
fn one_more_kind_off_costs_a_thing() {
    let things = |n: usize| {
        let each = |k| item(&format!("thing-{k}"), Mass::from_g(10_000), 1, &[Way::Back]);
        (0..n).map(each).collect::<Vec<_>>()
    };
    let want = |k| Want { party: PartyIx(0), item: ItemIx(k), value: 1, up_to: 1, place: None };
    let order = MoveOrder::new(MoveParts {
        name: "four things".into(),
        catalogue: Catalogue::new(things(4), vec![]).unwrap(),
        carriers: vec![person("ann", Mass::from_g(31_000))],
        parties: vec![party("up", Travel::Foot, &[0])],
        wants: (0..4).map(want).collect(),
        goals: goals(&[GoalKind::Wants]),
        ..MoveParts::default()
    });
    let order = order.expect("a move");
    for (off, taken) in [(Some(0), 3), (Some(1), 3), (Some(2), 2), (None, 2)] {
        let share = Percent::from_ppm(100_000);
        let order = order.clone().with_tolerance(Some(Tolerance { share, off }));
        assert_eq!(answer(&order).unwrap().findings.wants_value, taken, "{off:?}");
    }
}

/// What two kinds could add on a carrier, by trying every two.
fn any_two(order: &MoveOrder, plan: &Plan, c: CarrierIx, share: u64) -> (u64, u64) {
    let (mut load, mut more) = (order.burden(c).mg(), vec![0u64; order.catalogue().len()]);
    for p in plan.placements() {
        let (mass, shares) = (order.item(p.item).mass.mg(), order.item(p.item).pair_shares);
        let one = match p.by {
            Bearer::One { carrier, .. } if carrier == c => mass,
            Bearer::Pair { first, .. } if first == c => part(mass, shares[0].ppm()),
            Bearer::Pair { second, .. } if second == c => part(mass, shares[1].ppm()),
            _ => continue,
        };
        load += one * u64::from(p.count);
        more[p.item.0] += part(one, share) * u64::from(p.count);
    }
    let two = |i: usize| (0..more.len()).filter(move |j| *j != i).map(move |j| (i, j));
    let worst = (0..more.len()).flat_map(two).map(|(i, j)| more[i] + more[j]).max();
    (load, worst.unwrap_or(0))
}

/// On the demo kits, through all that answers the command: the plan first made
/// without the tolerance, then with it.
#[test]
fn on_the_demo_kits_no_two_kinds_pass_a_limit() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("kits");
    let (share, mut dearer) = (Percent::from_ppm(50_000), 0);
    for name in [
        "day-walk/day-walk",
        "glacier-survey/traverse",
        "mountain-rescue/callout",
        "mountain-rescue/search",
        "ridge-relay/ridge",
        "ridge-relay/three-up",
    ] {
        let order = read_move(&root.join(format!("{name}.move.yaml"))).unwrap().order;
        let order = order.with_tolerance(Some(Tolerance { share, off: Some(2) }));
        let options = Options { time: Duration::from_secs(cases(3, 10)), ..Options::default() };
        let found = conditions::answer(&order, Conditions::default(), &options, &Watch::default());
        let Outcome::Plan(planned) = &found.answer.outcome else { panic!("{name}: no plan") };
        for f in &planned.findings.carriers {
            let (load, more) = any_two(&order, &planned.plan, f.carrier, share.ppm());
            let (usable, rides) = (order.usable_limit(f.carrier).mg(), !order.takes_kit(f.carrier));
            assert!(rides || load + more <= usable, "{name}: {}", order.carrier(f.carrier).id);
            assert_eq!(f.worst, Some(Mass::from_mg(load + more)), "{name}");
        }
        let costs = |p: &Price| p.goals.iter().any(|g| g.cost() == Cost::Costs);
        dearer += usize::from(found.prices.iter().any(costs));
    }
    assert!(dearer >= 3, "{dearer}");
}
