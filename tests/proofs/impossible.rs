//! Moves that have no plan: what cannot hold together, and what would make it
//! work. The family in `tests/impossible` has one for each kind of cause and for
//! causes together, each with its golden explanation; small generated moves are
//! checked against the enumeration of every plan.
//!
//! To accept a change of wording: `INSTA_UPDATE=always cargo test --test
//! impossible`.

use crate::common::folder::{root, tumpline};
use crate::common::{enumerate, random_move};
use serde_yaml::Value;
use std::time::Duration;
use tumpline::ask::{Change, Draft, Explanation, Least, Part, explain, parts};
use tumpline::kit::read_move_text;
use tumpline::load::*;
use tumpline::quantity::{Bulk, Mass};
use tumpline::report::{Edit, Format, More, Style, edits, render_with};
use tumpline::split::{Answer, Options, Outcome, Watch, audit, split};

fn options() -> Options {
    Options { time: Duration::from_secs(300), ..Options::default() }
}

fn explained(order: &MoveOrder) -> (Answer, Explanation) {
    let answer = split(order, &options(), &Watch::default());
    assert!(matches!(answer.outcome, Outcome::NoPlan(_)), "{}: {:?}", order.name(), answer.outcome);
    let why = explain(order, &options(), &Watch::default()).expect("no plan");
    assert!(why.complete, "{}", order.name());
    (answer, why)
}

/// The moves of the family: name and text.
fn family() -> Vec<(String, String)> {
    let folder = root().join("tests/impossible");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let name = name.strip_suffix(".move.yaml").expect("a move").to_string();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

fn read(name: &str, text: &str) -> MoveOrder {
    match read_move_text(&format!("{name}.move.yaml"), text) {
        Ok(read) => {
            assert!(read.warnings.is_empty(), "{name}: {}", read.warnings);
            read.order
        }
        Err(faults) => panic!("{faults}\n{text}"),
    }
}

fn has_plan(order: &MoveOrder) -> bool {
    match split(order, &options(), &Watch::default()).outcome {
        Outcome::Plan(planned) => {
            assert_eq!(audit(order, &planned.plan).faults, []);
            true
        }
        Outcome::NoPlan(_) => false,
        Outcome::NoneFound => panic!("{}: not settled", order.name()),
    }
}

fn beside(why: &Explanation) -> More<'_> {
    More { explanation: Some(why), ..More::default() }
}

#[test]
fn the_family_is_explained() {
    let all = family();
    assert!(all.len() >= 25, "{}", all.len());
    for (name, text) in &all {
        let order = read(name, text);
        let (answer, why) = explained(&order);
        let report = render_with(&order, &answer, &beside(&why), Format::Table, &Style::default());
        insta::assert_snapshot!(name.as_str(), report);
    }
}

/// One of them as it goes to other programs and on paper.
#[test]
fn the_other_forms_say_the_same() {
    let all = family();
    let (name, text) = all.iter().find(|(name, _)| name == "two-causes").unwrap();
    let order = read(name, text);
    let (answer, why) = explained(&order);
    let show = |format| render_with(&order, &answer, &beside(&why), format, &Style::default());
    insta::assert_snapshot!("two-causes_markdown", show(Format::Markdown));
    insta::assert_snapshot!("two-causes_json", show(Format::Json));
    let json: Value = serde_yaml::from_str(&show(Format::Json)).unwrap();
    assert_eq!(json["conflicts"].as_sequence().unwrap().len(), 2);
    assert!(!json["remedies"]["offers"].as_sequence().unwrap().is_empty());
}

/// No part can be left out of a cause, and with its parts alone there is no
/// plan: by the solver, which the generated moves below check by enumeration.
#[test]
fn the_causes_of_the_family_are_irreducible() {
    for (name, text) in family() {
        let order = read(&name, &text);
        let (_, why) = explained(&order);
        assert!(!why.conflicts.is_empty(), "{name}");
        for conflict in &why.conflicts {
            assert!(conflict.irreducible, "{name}");
            check_irreducible(&order, &conflict.parts, has_plan);
        }
    }
}

/// The parts alone are impossible, and possible without any one of them.
fn check_irreducible(order: &MoveOrder, set: &[Part], possible: impl Fn(&MoveOrder) -> bool) {
    let name = order.name();
    let only = |set: &[Part]| {
        let others = parts(order).into_iter().filter(|p| !set.contains(p));
        Draft::new(order).without(others).build()
    };
    assert!(!possible(&only(set)), "{name}: {set:?} can hold together");
    for part in set {
        let others: Vec<Part> = set.iter().copied().filter(|p| p != part).collect();
        assert!(possible(&only(&others)), "{name}: {part:?} is not needed in {set:?}");
    }
}

/// Every offer, written into the text as it says, gives a move that has a plan.
#[test]
fn every_offer_of_the_family_works_once_it_is_written() {
    let mut kinds = std::collections::BTreeSet::new();
    for (name, text) in family() {
        let order = read(&name, &text);
        let (_, why) = explained(&order);
        assert!(!why.offers.is_empty(), "{name}");
        for offer in &why.offers {
            let edits = edits(&order, &offer.changes);
            assert!(!edits.is_empty(), "{name}: {:?}", offer.changes);
            for edit in &edits {
                check_place(&text, edit);
            }
            let changed = written(&text, &edits);
            let again = read(&name, &changed);
            assert!(has_plan(&again), "{name}: {:?}\n{changed}", offer.changes);
            kinds.extend(offer.changes.iter().map(Change::word));
        }
    }
    let all = [
        "allow-way",
        "another-carrier",
        "hold-more",
        "leave-out-need",
        "leave-out-requirement",
        "leave-out-rule",
        "lower-need",
        "lower-requirement",
        "more-room",
        "more-slots",
        "no-store",
        "raise-limit",
        "second-trip",
        "weaken-rule",
    ];
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), all, "every kind of change is offered");
}

/// The place of an edit is that of its record.
fn check_place(text: &str, edit: &Edit) {
    let Some(place) = &edit.place else { return };
    let line = text.lines().nth(place.line - 1).unwrap();
    match edit.record {
        "rule" => assert!(line.trim_start().starts_with('-'), "{line}"),
        "party" => assert!(line.contains(&format!("{}: {{travel", edit.id)), "{line}"),
        "need" => assert!(line.contains(&edit.id), "{line}"),
        _ if edit.is_new() => {}
        _ => assert!(line.contains(&format!("id: {},", edit.id)), "{line}: {edit}"),
    }
}

/// The text of a move with the edits made.
fn written(text: &str, edits: &[Edit]) -> String {
    let mut doc: Value = serde_yaml::from_str(text).unwrap();
    let by_id = |list: &mut Value, key: &str, id: &str| -> usize {
        let list = list.as_sequence().unwrap();
        list.iter().position(|r| r[key] == id).unwrap_or_else(|| panic!("no {id}"))
    };
    for edit in edits {
        let value: Option<Value> = edit.value.as_ref().map(|v| serde_yaml::from_str(v).unwrap());
        let id = edit.id.as_str();
        let set = |record: &mut Value| {
            let record = record.as_mapping_mut().unwrap();
            match &value {
                Some(value) => record.insert(edit.key.unwrap().into(), value.clone()),
                None => record.remove(edit.key.unwrap()),
            };
        };
        match edit.record {
            "item" => {
                let at = by_id(&mut doc["equipment"], "id", id);
                set(&mut doc["equipment"][at]);
            }
            "person" | "vehicle" => {
                let list = if edit.record == "person" { "people" } else { "vehicles" };
                let list = &mut doc["carriers"][list];
                if edit.is_new() {
                    list.as_sequence_mut().unwrap().push(value.clone().unwrap());
                } else {
                    let at = by_id(list, "id", id);
                    set(&mut list[at]);
                }
            }
            "party" => set(&mut doc["parties"][id]),
            "move" => set(&mut doc),
            "need" => {
                let list = &mut doc["needs"][edit.party.as_deref().unwrap()];
                let at = by_id(list, "need", id);
                list[at] = value.unwrap_or(Value::Null);
            }
            "rule" => {
                let at = id.parse::<usize>().unwrap() - 1;
                doc["rules"][at] = value.unwrap_or(Value::Null);
            }
            other => panic!("what is a {other}?"),
        }
    }
    // What was taken out, and lists that are empty now.
    if let Some(rules) = doc.get_mut("rules").and_then(Value::as_sequence_mut) {
        rules.retain(|r| !r.is_null());
    }
    if let Some(needs) = doc.get_mut("needs").and_then(Value::as_mapping_mut) {
        needs.values_mut().for_each(|l| l.as_sequence_mut().unwrap().retain(|n| !n.is_null()));
        needs.retain(|_, l| !l.as_sequence().unwrap().is_empty());
    }
    let top = doc.as_mapping_mut().unwrap();
    top.retain(|_, v| {
        v.as_sequence().is_none_or(|l| !l.is_empty())
            && v.as_mapping().is_none_or(|m| !m.is_empty())
    });
    serde_yaml::to_string(&doc).unwrap()
}

/// Plans that are tried for one small move.
const MOST: u128 = 60_000;

/// A generated move; of three, one as it comes and two with less strength.
fn weakened(seed: u64) -> MoveOrder {
    let order = random_move::small(seed);
    let percent = [100, 70, 50][(seed % 3) as usize];
    let weaker = order.changed(|parts| {
        for carrier in &mut parts.carriers {
            if let Riding::Person(p) = &mut carrier.riding {
                p.limit = Mass::from_g(p.limit.mg() * percent / 100_000);
            }
        }
    });
    weaker.expect("a move")
}

/// On so many generated moves that enumeration finds impossible: every set is
/// irreducible by enumeration, every offer gives a move with a plan, and what is
/// called the least is.
fn check_generated(first: u64, wanted: usize, most: u128) {
    let possible = |order: &MoveOrder| match enumerate::any(order, MOST) {
        Ok(possible) => possible,
        // Too many to try: the solver, whose plan the audit has passed.
        Err(_) => has_plan(order),
    };
    let (mut seed, mut met, mut offers, mut several, mut bounds) = (first, 0, 0, 0, 0);
    while met < wanted {
        seed += 1;
        let order = weakened(seed);
        if enumerate::any(&order, most) != Ok(false) {
            continue;
        }
        met += 1;
        let (_, why) = explained(&order);
        assert!(!why.conflicts.is_empty(), "seed {seed}");
        several += usize::from(why.conflicts.len() > 1);
        for conflict in &why.conflicts {
            assert!(conflict.irreducible, "seed {seed}");
            check_irreducible(&order, &conflict.parts, possible);
        }
        assert!(!why.offers.is_empty(), "seed {seed}");
        for offer in &why.offers {
            offers += 1;
            let made = |changes: &[Change]| {
                let start = Some(Draft::new(&order));
                let done = changes.iter().fold(start, |d, c| d.and_then(|d| c.apply(&d)));
                done.expect("it can be made").build()
            };
            assert!(possible(&made(&offer.changes)), "seed {seed}: {:?}", offer.changes);
            if let ([change], [Least::Proven]) = (&offer.changes[..], &offer.least[..])
                && let Some(less) = a_step_less(change)
            {
                bounds += 1;
                assert!(!possible(&made(&[less])), "seed {seed}: less than {change:?} does");
            }
        }
    }
    // A new kind of rule makes other moves of the seeds.
    assert!(several * 40 > met, "{several} of {met} have more than one cause");
    assert!(offers > 3 * met && bounds > met / 2, "{offers} offers, {bounds} bounds in {met}");
}

fn a_step_less(change: &Change) -> Option<Change> {
    Some(match change {
        Change::Limit { carrier, to } => {
            Change::Limit { carrier: *carrier, to: Mass::from_mg(to.mg() - 1000) }
        }
        Change::Room { carrier, to } => {
            Change::Room { carrier: *carrier, to: Bulk::from_ml(to.ml() - 1) }
        }
        Change::Slots { carrier, way, to } => {
            Change::Slots { carrier: *carrier, way: *way, to: to - 1 }
        }
        Change::Held { item, to } => Change::Held { item: *item, to: to - 1 },
        Change::Need { need, piece, to: NeedNode::Item { item, count } } => {
            let to = NeedNode::Item { item: *item, count: count + 1 };
            Change::Need { need: *need, piece: *piece, to }
        }
        _ => return None,
    })
}

#[test]
fn generated_causes_match_enumeration() {
    check_generated(0, 40, 1_000);
}

/// The long form of the same: `cargo test --release --test proofs impossible:: -- --ignored`.
#[test]
#[ignore = "takes minutes"]
fn many_more_causes_match_enumeration() {
    check_generated(1_000_000, 200, 10_000);
}

#[test]
fn what_has_a_plan_is_not_explained() {
    let path = root().join("kits/ridge-relay/ridge.move.yaml");
    let order = tumpline::kit::read_move(&path).unwrap().order;
    assert!(explain(&order, &options(), &Watch::default()).is_none());
    // Nobody can be spared there: no change of the move's own is offered.
    let args = ["split", "--survives", "1", "kits/ridge-relay/ridge.move.yaml"];
    let told = tumpline(args).code(1).out;
    assert!(told.contains("drops out") && !told.contains("What would make it work"), "{told}");
}
