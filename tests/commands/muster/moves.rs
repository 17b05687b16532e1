//! Moves asked with what is fit for use.

use super::{ITEMS, stores};
use crate::common::folder::Folder;
use serde_json::Value;

/// Ann, who can bear everything, goes up; what else is asked is `rest`.
fn folder(holdings: &str, rest: &str) -> Folder {
    let stores = format!("stores: Test store\nequipment: equipment.yaml\n{holdings}");
    let text = format!(
        "move: Up\nequipment: equipment.yaml\n\
         carriers: {{people: [{{id: ann, limit: 100 kg}}, {{id: bo, limit: 100 kg}}]}}\n\
         parties: {{up: {{travel: foot, who: [ann, bo]}}}}\n{rest}"
    );
    Folder::with("equipment.yaml", ITEMS).and("stores.yaml", stores).and("up.move.yaml", text)
}

fn asked(stores: &str, rest: &str) -> (Value, i32) {
    let folder = folder(stores, rest);
    let done = folder.muster(&[]);
    (folder.mustered(&["--time", "20s"])["moves"][0].clone(), done.code)
}

const LIGHT: &str = "needs: {up: [{need: light, item: {lamp: 4}}]}\n";

#[test]
fn what_is_fit_meets_the_need_or_not() {
    // Four are asked for.
    for (holding, outlook) in [
        ("{id: lamp, held: 4, shelf: 4}", "plan"),
        ("{id: lamp, held: 4, shelf: 2, issued: {ann: 2}}", "plan"),
        ("{id: lamp, held: 4, shelf: 3, unserviceable: 1}", "no-longer"),
        ("{id: lamp, held: 4, shelf: 3, on-loan: {club: 1}}", "no-longer"),
        ("{id: lamp, held: 4, shelf: 3}", "no-longer"),
        ("{id: lamp, held: 5, shelf: 4, unserviceable: 1}", "plan"),
    ] {
        let (asked, _) = asked(&format!("holdings: [{holding}]\n"), LIGHT);
        assert_eq!(asked["outlook"], outlook, "{holding}: {asked}");
        if outlook == "no-longer" {
            assert_eq!(asked["needs"][0]["name"], "light", "{asked}");
            assert_eq!(asked["needs"][0]["alone"], true);
            assert_eq!(asked["needs"][0]["for_want_of"][0]["id"], "lamp", "{asked}");
            let text = asked["reason"]["text"].as_str().unwrap();
            assert!(text.contains("4 of Lamp (`lamp`) are asked for, 3 are held in all"), "{text}");
        }
    }
}

/// Three pouches with three tapes each: nine in all.
#[test]
fn what_is_in_cases_counts_as_found() {
    let need = |n: u32| format!("needs: {{up: [{{need: tapes, item: {{tape: {n}}}}}]}}\n");
    for (cases, most) in [
        ("", 9),
        ("cases: [{case: pouch 2, found: {tape: 1}}]\n", 7),
        ("cases: [{case: bag / pouch, found: {tape: 0}}]\n", 6),
        ("cases: [{case: bag, found: {pouch: 0}}]\n", 6),
        ("cases: [{case: bag, found: {pouch: 2}}, {case: bag / pouch 2, found: {tape: 1}}]\n", 10),
        (
            "cases: [{case: pouch 1, found: {tape: 2}}, {case: pouch 2, found: {tape: 2}}, {case: bag / pouch 1, found: {tape: 2}}]\n",
            6,
        ),
        ("cases: [{case: pouch 1, found: {tape: 5}}]\n", 11),
        // Which pouch is out of use is not known: the fullest is taken to be.
        (
            "holdings: [{id: pouch, held: 2, shelf: 1, unserviceable: 1}]\ncases: [{case: pouch 2, found: {tape: 1}}]\n",
            4,
        ),
    ] {
        let (enough, _) = asked(cases, &need(most));
        assert_eq!(enough["outlook"], "plan", "{cases} {most}: {enough}");
        let (more, code) = asked(cases, &need(most + 1));
        let outlook = if most >= 9 { "never" } else { "no-longer" };
        assert_eq!(more["outlook"], outlook, "{cases} {most}: {more}");
        assert_eq!(code, 1);
        if cases.starts_with("cases: [{case: pouch 2,") {
            let want = &more["needs"][0]["for_want_of"][0];
            assert_eq!((&want["id"], &want["case"]), (&"tape".into(), &"pouch 2".into()));
        }
    }
}

/// Needs for the case itself, and rules on it, hold where its cases differ.
#[test]
fn cases_that_differ_are_still_of_their_kind() {
    let differ = "cases: [{case: pouch 2, found: {tape: 1}}]\n";
    let all = "needs: {up: [{need: pouches, item: {pouch: 3}}]}\n";
    for (rules, outlook) in [
        ("", "plan"),
        ("rules: [{keep-off: pouch, from: [ann]}]\n", "plan"),
        ("rules: [{keep-off: pouch, from: [ann, bo]}]\n", "no-longer"),
        ("rules: [{at-most: 1, of: [pouch], for: [ann]}]\n", "plan"),
        (
            "rules: [{at-most: 0, of: [pouch], for: [ann]}, {at-most: 1, of: [pouch], for: [bo]}]\n",
            "never",
        ),
        ("rules: [{together: [pouch, rope]}]\n", "plan"),
        ("rules: [{apart: [pouch, rope]}]\n", "plan"),
        ("rules: [{fixed: pouch, to: ann, count: 2}]\n", "plan"),
        ("rules: [{fixed: pouch, to: ann, count: 1}]\n", "plan"),
    ] {
        // The third is in the bag; a rule speaks of loose ones alone.
        let (asked, _) = asked(differ, &format!("{all}{rules}"));
        let outlook = if rules.contains("ann, bo") { "never" } else { outlook };
        assert_eq!(asked["outlook"], outlook, "{rules}: {asked}");
    }
    // Both sorts on one back with nothing else of the list: apart binds kinds.
    let two = "needs: {up: [{need: both, all: [{pouch: 3}, {rope: 2}]}]}\n";
    let apart = "rules: [{apart: [pouch, rope]}, {keep-off: pouch, from: [bo]}, {keep-off: rope, from: [ann]}]\n";
    assert_eq!(asked(differ, &format!("{two}{apart}")).0["outlook"], "plan");
    let none = "rules: [{apart: [pouch, rope]}, {keep-off: pouch, from: [bo]}, {keep-off: rope, from: [bo]}]\n";
    assert_eq!(asked(differ, &format!("{two}{none}")).0["outlook"], "never");
}

/// By the fullest pouch the rule cannot hold with what is needed; by another it
/// may, so nothing is claimed.
#[test]
fn a_rule_on_one_of_several_that_differ_is_not_taken_for_a_proof() {
    let stores = "cases: [{case: pouch 2, found: {tape: 1}}]\n";
    let rest = "rules: [{fixed: pouch, to: ann}]\nneeds: {up: [{need: tapes, item: {tape: 10}}]}\n";
    let (asked, _) = asked(stores, rest);
    assert_eq!(asked["outlook"], "unsettled", "{asked}");
    let text = folder(stores, rest).muster(&[]).out;
    assert!(text.contains("not settled: a rule fixes some of several cases"), "{text}");
}

#[test]
fn wants_that_are_not_to_be_had_are_told() {
    let rest = "wants: {up: {lamp: {value: 2, up-to: 3}, rope: 5}}\n";
    let stores = "holdings: [{id: lamp, held: 4, shelf: 2, unserviceable: 2}, {id: rope, held: 2, shelf: 1, unserviceable: 1}]\n";
    let (asked, _) = asked(stores, rest);
    assert_eq!(asked["outlook"], "plan");
    // One rope is wanted and there; of three lamps two are.
    assert_eq!(asked["wants"].as_array().unwrap().len(), 1, "{asked}");
    assert_eq!((&asked["wants"][0]["before"], &asked["wants"][0]["now"]), (&3.into(), &2.into()));
    let text = folder(stores, rest).muster(&[]).out;
    assert!(text.contains("want Lamp (up): 2 to be had, 3 by the catalogue"), "{text}");
}

#[test]
fn a_move_that_never_had_a_plan_is_told_as_such() {
    let (asked, code) = asked("", "needs: {up: [{need: light, item: {lamp: 5}}]}\n");
    assert_eq!((asked["outlook"].as_str(), code), (Some("never"), 1));
    // Ann has 4 kg left and Bo 3: two ropes of 3 kg would do, a bag of 2 would.
    let heavy = "needs: {up: [{need: rope, item: {rope: 2}}, {need: bag, item: bag}]}\nrules: [{reserve: 96 kg, for: [ann]}, {reserve: 97 kg, for: [bo]}]\n";
    let (asked, _) = super::moves::asked("", heavy);
    assert_eq!(asked["outlook"], "never", "{asked}");
    let names: Vec<&str> =
        asked["needs"].as_array().unwrap().iter().map(|n| n["name"].as_str().unwrap()).collect();
    assert!(!names.is_empty() && asked["needs"][0]["alone"] == false, "{asked}");
}

#[test]
fn which_moves_are_asked() {
    let folder = folder("holdings: [{id: lamp, held: 4, shelf: 3}]\n", LIGHT);
    assert_eq!(folder.mustered(&["--no-moves"])["moves"], Value::Null);
    folder.write(
        "another.move.yaml",
        folder.read("up.move.yaml").replace("Up", "Another").replace("lamp: 4", "lamp: 1"),
    );
    let names = |doc: Value| -> Vec<String> {
        let moves = doc["moves"].as_array().unwrap().clone();
        moves.iter().map(|m| m["move"].as_str().unwrap().to_string()).collect()
    };
    assert_eq!(names(folder.mustered(&[])), ["Another", "Up"]);
    assert_eq!(names(folder.mustered(&["--move", "@another.move.yaml"])), ["Another"]);
    // A move with other equipment is passed over, unless it is named.
    let other = folder
        .read("up.move.yaml")
        .replace("equipment: equipment.yaml", "equipment: [{id: lamp, mass: 1 kg, held: 9}]");
    folder.write("other.move.yaml", &other);
    let doc = folder.mustered(&[]);
    assert_eq!(doc["moves"][1]["outlook"], "other-equipment");
    assert_eq!(folder.muster(&["--move", "@other.move.yaml"]).code, 2);
    // A faulty move is a fault.
    folder.write("faulty.move.yaml", "move: x\n");
    let done = folder.muster(&[]);
    assert_eq!((done.code, done.out.as_str()), (3, ""));
    assert_eq!(folder.muster(&["--no-moves"]).code, 1);
    // Of a folder without moves nothing is asked.
    assert_eq!(stores("").mustered(&[])["moves"], Value::Array(vec![]));
}

/// With all as the catalogue says nothing is changed.
#[test]
fn the_kits_as_written_have_the_plans_of_their_moves() {
    for kit in ["day-walk", "glacier-survey"] {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("kits").join(kit);
        for entry in std::fs::read_dir(&root).unwrap() {
            let path = entry.unwrap().path();
            if !path.to_string_lossy().ends_with(".move.yaml") {
                continue;
            }
            let order = tumpline::kit::read_move(&path).unwrap().order;
            let stores = tumpline::load::Stores::default();
            let fit = tumpline::ask::muster::fit(&order, &stores, order.catalogue()).unwrap();
            assert!(fit.same && !fit.narrowed, "{}", path.display());
            for ((_, a), (_, b)) in fit.order.catalogue().items().zip(order.catalogue().items()) {
                assert_eq!((a.held, &a.contents, a.mass), (b.held, &b.contents, b.mass));
            }
        }
    }
}
