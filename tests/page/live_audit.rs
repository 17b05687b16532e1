//! The audit of the page's script against that of the program: on random moves
//! and the demo kits, for plans that hold and many that do not, every number
//! and every fault is the same. The two are written apart and in two languages;
//! neither sees the other's code.

use crate::live;

use crate::common::cases::cases;
use crate::common::folder::demo_moves;
use crate::common::random_move::{Random, small};
use crate::common::repacked::repacked;
use crate::live::{Script, broken, enriched, expected};
use std::time::Duration;
use tumpline::kit::read_move;
use tumpline::load::{MoveOrder, Plan};
use tumpline::quantity::{Amount, Bulk, Dimension, Mass, Units};
use tumpline::report::live::{AUDIT, data};
use tumpline::split::{Options, Outcome, Watch, audit, split};

fn plan_of(order: &MoveOrder) -> Option<Plan> {
    let options = Options { time: Duration::from_secs(5), ..Options::default() };
    match split(order, &options, &Watch::default()).outcome {
        Outcome::Plan(planned) => Some(planned.plan),
        _ => None,
    }
}

/// Compares the plan and `tries` broken ones; returns how many had faults.
fn compare(script: &Script, order: &MoveOrder, plan: &Plan, tries: usize, seed: u64) -> usize {
    script.load(&data(order, plan));
    let mut r = Random(seed ^ 0x0af7_e4a1);
    let mut faulty = 0;
    let mut at = plan.clone();
    for k in 0..tries {
        let findings = audit(order, &at);
        faulty += usize::from(!findings.faults.is_empty());
        let (here, there) = (script.audit(order, &at), expected(order, &findings));
        assert_eq!(here, there, "{}, seed {seed}, try {k}: {at:?}", order.name());
        at = broken(order, plan, &at, k, &mut r);
    }
    faulty
}

fn on_moves(first: u64, moves: u64, tries: usize) {
    let script = Script::new();
    let (mut plans, mut faulty, mut sound) = (0, 0, 0);
    for seed in first..first + moves {
        let huge = seed % 12 == 1;
        let order = match seed % 3 {
            0 => small(seed),
            1 => enriched(small(seed), seed, huge),
            _ => enriched(repacked(seed), seed, huge),
        };
        let plan = if huge { None } else { plan_of(&order) };
        plans += usize::from(plan.is_some());
        let bad = compare(&script, &order, &plan.unwrap_or_default(), tries, seed);
        faulty += bad;
        sound += tries - bad;
    }
    script.assert_all_kinds();
    let all = (moves as usize) * tries;
    assert!(plans * 8 >= moves as usize, "{plans} plans of {moves} moves: too few");
    assert!(faulty * 2 > all && sound * 20 > all / 4, "{faulty} broken, {sound} sound of {all}");
}

#[test]
fn on_random_moves_the_script_finds_what_the_audit_finds() {
    on_moves(1, cases(110, 330), cases(12, 24));
}

#[test]
#[ignore = "takes minutes"]
fn on_thousands_more_moves_too() {
    on_moves(500_000, 6_000, 60);
}

#[test]
fn on_the_demo_kits_the_script_finds_what_the_audit_finds() {
    let script = Script::new();
    let mut seen = 0;
    for path in demo_moves() {
        let order = read_move(&path).unwrap().order;
        let plan = plan_of(&order).unwrap_or_else(|| panic!("{}: no plan", path.display()));
        assert_eq!(audit(&order, &plan).faults, [], "{}", path.display());
        compare(&script, &order, &plan, cases(15, 60), 7);
        seen += 1;
    }
    assert!(seen >= 7, "{seen} kits");
}

/// A slip anywhere in the script is found: each of these is one.
#[test]
fn a_slip_in_the_script_is_found() {
    let mut tries = Vec::new();
    for seed in 1..=150u64 {
        let order = enriched(repacked(seed), seed, false);
        let plan = plan_of(&order).unwrap_or_default();
        let mut r = Random(seed);
        let mut at = plan.clone();
        for k in 0..8 {
            let found = expected(&order, &audit(&order, &at));
            tries.push((order.clone(), plan.clone(), at.clone(), found));
            at = broken(&order, &plan, &at, k, &mut r);
        }
    }
    let mut unseen = Vec::new();
    for (from, to) in live::SLIPS {
        assert_eq!(AUDIT.matches(from).count(), 1, "`{from}` is not there once");
        let script = Script::of(&AUDIT.replace(from, to));
        let seen = tries.iter().any(|(order, plan, at, found)| {
            script.load(&data(order, plan));
            script.audit(order, at) != *found
        });
        if !seen {
            unseen.push(from);
        }
    }
    assert_eq!(unseen, [""; 0], "slips that make no difference");
}

/// Masses, bulks and amounts print as the program prints them.
#[test]
fn quantities_print_alike() {
    let script = Script::new();
    let mut r = Random(5);
    let mut values: Vec<u64> = vec![0, 1, 4_999, 5_000, 994_999, 995_000, 999_999, 1_000_000];
    // Around halves of a hundredth of a pound, where rounding turns.
    values.extend((0..200).flat_map(|k| {
        let half = (2 * k + 1) * 45_359_237 / 20_000;
        [half - 1, half, half + 1]
    }));
    values.extend([u64::MAX, u64::MAX - 1, 1 << 53, (1 << 53) + 1, Mass::MOST.mg()]);
    values.extend((0..4_000).map(|_| {
        let bits = r.below(64);
        r.next() >> bits
    }));
    for v in values {
        for (units, word) in [(Units::Metric, "metric"), (Units::Imperial, "imperial")] {
            let mass = Mass::from_mg(v);
            let call = format!("massText({v}n, '{word}')");
            assert_eq!(script.text(&call), mass.rounded(units), "{call}");
            for (dimension, name) in [
                (Dimension::Length, "length"),
                (Dimension::Energy, "energy"),
                (Dimension::Bulk, "bulk"),
                (Dimension::Mass, "mass"),
                (Dimension::Count, "count"),
            ] {
                let call = format!("amountText({v}n, '{name}', '{word}')");
                assert_eq!(script.text(&call), Amount::new(dimension, v).rounded(units), "{call}");
            }
        }
        assert_eq!(script.text(&format!("bulkText({v}n)")), Bulk::from_ml(v).rounded());
        assert_eq!(script.text(&format!("massExact({v}n)")), Mass::from_mg(v).to_string());
    }
}
