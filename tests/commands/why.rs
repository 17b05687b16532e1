//! Why an item is where it is: every other way against the enumeration of all
//! plans that go that way, and the command on the demo kits.

use crate::common::cases::cases;
use crate::common::enumerate::best_of;
use crate::common::folder::{Done, root, tumpline};
use crate::common::random_move::small;
use std::time::Duration;
use tumpline::ask::{Instead, Oracle, PlacesInPlan, Verdict, why};
use tumpline::load::*;
use tumpline::quantity::Percent;
use tumpline::split::{Findings, Options, Watch};

/// Units of the item in the party, loose and in cases.
fn there(order: &MoveOrder, plan: &Plan, party: PartyIx, item: ItemIx) -> u32 {
    let of = |p: &&Placement| match p.by {
        Bearer::One { carrier, .. } | Bearer::Pair { first: carrier, .. } => {
            order.party_of(carrier) == Some(party)
        }
    };
    let inside = |p: &Placement| {
        let units = order.catalogue().inside(p.item).iter().find(|(i, _)| *i == item);
        units.map_or(0, |(_, n)| n * p.count)
    };
    plan.placements().iter().filter(of).map(inside).sum()
}

/// Whether a plan goes the way that was asked about.
fn goes(
    order: &MoveOrder,
    item: ItemIx,
    base: (&Plan, &PlacesInPlan),
    instead: Instead,
    plan: &Plan,
    found: &Findings,
) -> bool {
    let now = PlacesInPlan::new(order, found, item);
    match instead {
        Instead::With(c) => now.on(c) > base.1.on(c),
        Instead::Without(c) => now.on(c) < base.1.on(c),
        Instead::Fewer => now.gone < base.1.gone,
        Instead::More(p) => there(order, plan, p, item) > there(order, base.0, p, item),
    }
}

/// Every answer of `why` on small moves is what trying all plans says
/// (enumeration, with nothing of the search in it).
fn check(seeds: impl Iterator<Item = u64>) -> (usize, usize, usize) {
    let options =
        Options { time: Duration::from_secs(60), gap: Percent::ZERO, ..Options::default() };
    let watch = Watch::default();
    let (mut asked, mut forbidden, mut worse) = (0, 0, 0);
    for seed in seeds {
        let order = small(seed);
        if best_of(&order, |_, _| true).is_err() {
            continue;
        }
        for (item, kind) in order.catalogue().items().filter(|(_, i)| i.held > 0) {
            let Ok(why) = why(&order, item, None, &Oracle::new(&options, &watch)) else { break };
            let base = (&why.planned.plan, &why.at);
            for other in &why.others {
                let at = format!("seed {seed}, {}, {:?}", kind.id, other.instead);
                let keep = |plan: &Plan, found: &Findings| {
                    goes(&order, item, base, other.instead, plan, found)
                };
                let best = best_of(&order, keep).unwrap();
                asked += 1;
                let Some(best) = best else {
                    assert!(matches!(other.verdict, Verdict::Forbidden { .. }), "{at}");
                    forbidden += 1;
                    continue;
                };
                let theirs: Vec<_> = other.goals.iter().map(|g| (g.goal, g.reached)).collect();
                assert_eq!(theirs, best.goals, "{at}");
                let first = why.planned.goals.iter().zip(&best.goals);
                let first = first.filter(|(a, b)| a.reached != b.1).map(|(a, _)| a.goal).next();
                match first {
                    Some(goal) => {
                        assert_eq!(other.verdict, Verdict::Worse(goal), "{at}");
                        worse += 1;
                    }
                    None => assert_eq!(other.verdict, Verdict::AsGood, "{at}"),
                }
            }
        }
    }
    (asked, forbidden, worse)
}

#[test]
fn other_ways_are_what_enumeration_says() {
    let (asked, forbidden, worse) = check(1..=cases(4, 12));
    assert!(
        asked > cases(10, 40) && forbidden > cases(2, 8) && worse > cases(2, 8),
        "{asked} {forbidden} {worse}"
    );
}

#[test]
#[ignore = "long"]
fn other_ways_are_what_enumeration_says_many() {
    check(26..=300);
}

fn run(args: &[&str], code: i32) -> Done {
    tumpline([&["why"], args].concat()).code(code)
}

fn out(args: &[&str]) -> String {
    run(args, 0).out
}

const RIDGE: &str = "kits/ridge-relay/ridge.move.yaml";

#[test]
fn what_goes_and_what_stays_read_well() {
    insta::assert_snapshot!("why_relay_set", out(&[RIDGE, "relay-set"]));
    insta::assert_snapshot!("why_mast_head", out(&[RIDGE, "mast-head", "--ascii"]));
    insta::assert_snapshot!("why_at", out(&[RIDGE, "battery-large", "--at", "operator-1"]));
    insta::assert_snapshot!("why_section", out(&[RIDGE, "mast-section", "--at", "operator-2"]));
}

#[test]
fn json_is_by_its_schema() {
    let schema = tumpline(["schema", "why"]).code(0).out;
    let path = root().join("kits/schema/why.schema.json");
    if std::env::var_os("TUMPLINE_WRITE_SCHEMAS").is_some() {
        std::fs::write(&path, &schema).unwrap();
    }
    let committed = std::fs::read_to_string(path).unwrap();
    assert_eq!(committed, schema, "run with TUMPLINE_WRITE_SCHEMAS=1 and commit");
    let schema = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    for item in ["relay-set", "mast-head", "battery-large", "stove"] {
        let json = run(&[RIDGE, item, "-f", "json"], 0).json();
        let faults: Vec<_> = schema.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{item}: {faults:?}");
    }
}

#[test]
fn what_is_not_there_is_told_with_what_was_meant() {
    let told = |args: &[&str]| run(args, 2).out("").err;
    insta::assert_snapshot!(
        "why_faults",
        [
            told(&[RIDGE, "relay-sett"]),
            told(&[RIDGE, "mast"]),
            told(&[RIDGE, "kite"]),
            told(&[RIDGE, "\u{1b}[31m"]),
            told(&[RIDGE, "headset"]),
            told(&[RIDGE, "relay-set", "--at", "operator-3"]),
            told(&[RIDGE, "relay-set", "--at", "driver"]),
            told(&[RIDGE, "relay-set", "--at", "pickup"]),
        ]
        .concat()
    );
}

#[test]
fn an_item_may_be_called_by_its_name() {
    assert_eq!(out(&[RIDGE, "VHF relay set"]), out(&[RIDGE, "relay-set"]));
}
