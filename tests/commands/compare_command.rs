//! `tumpline compare`, from files to exit codes.

use crate::common::folder::{Folder, tumpline};
use serde_json::Value;

const KIT: &str = "kits/ridge-relay";

fn out(args: &[&str]) -> String {
    tumpline(args).code(0).err("").out
}

fn json(args: &[&str]) -> Value {
    tumpline([args, &["-f", "json"]].concat()).code(0).err("").json()
}

fn moves() -> [String; 3] {
    ["ridge", "three-up", "hill-by-truck"].map(|m| format!("{KIT}/{m}.move.yaml"))
}

fn three(more: &[&str]) -> Vec<String> {
    let own = |s: &&str| s.to_string();
    let moves = moves().to_vec().into_iter();
    ["compare", "--time", "60s"].iter().map(own).chain(moves).chain(more.iter().map(own)).collect()
}

#[test]
fn every_form() {
    for format in ["table", "csv", "json", "markdown"] {
        let args = three(&["--format", format]);
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        insta::assert_snapshot!(format!("compare_{format}"), out(&args));
    }
}

#[test]
fn columns_that_do_not_fit_come_below() {
    let ridge = &moves()[0];
    let mut args = vec!["compare", ridge.as_str(), "--width", "60", "--time", "60s"];
    for vary in ["without=mast-head", "without=sleeping-bag", "limit=98%", "who=driver"] {
        args.extend(["--vary", vary]);
    }
    let text = out(&args);
    assert!(text.lines().all(|l| l.chars().count() <= 60), "{text}");
    insta::assert_snapshot!("compare_blocks", text);
}

/// Each column is what `split` says of that move alone.
#[test]
fn a_column_is_the_plan_of_its_move() {
    let args = three(&[]);
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let side = json(&args);
    for (n, path) in moves().iter().enumerate() {
        let alone = json(&["split", path, "--time", "60s"]);
        let column = &side["loadouts"][n];
        for key in ["move", "status", "wants_value", "total_carried_g", "peak_share"] {
            assert_eq!(column[key], alone[key], "{path}: {key}");
        }
        let store = alone["parties"].as_array().unwrap().iter().find(|p| p["store"] == true);
        let store = store.map(|p| p["id"].clone());
        // What a pair carries is with both; nothing here is.
        let mut count = std::collections::BTreeMap::new();
        for c in alone["carriers"].as_array().unwrap().iter() {
            for i in c["items"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|_| Some(&c["party"]) != store.as_ref())
            {
                assert_ne!(i["way"], "pair");
                let n = i["count"].as_u64().unwrap();
                *count.entry(i["id"].as_str().unwrap().to_string()).or_insert(0) += n;
            }
        }
        let items = column["items"].as_array().unwrap();
        assert_eq!(items.len(), count.len(), "{path}");
        for item in items {
            assert_eq!(item["count"], count[item["id"].as_str().unwrap()], "{path}: {item}");
        }
    }
}

/// By hand: relay set 14 W, link controller 4 W and one camp lamp 1.5 W on one
/// battery of 390 Wh; two people at 0.1 L/h on 5 L.
#[test]
fn endurance_is_as_reckoned_by_hand() {
    let side = json(&["compare", &moves()[0], "--time", "60s"]);
    let supplies = side["loadouts"][0]["supplies"].as_array().unwrap();
    let lasts = |id: &str| supplies.iter().find(|s| s["id"] == id).unwrap()["lasts_s"].clone();
    assert_eq!(lasts("power"), 20 * 3600);
    assert_eq!(lasts("water"), 25 * 3600);
    assert_eq!(lasts("line"), Value::Null);
}

#[test]
fn the_json_is_as_the_schema_says() {
    let schema: Value = serde_json::from_str(&tumpline::report::compare_schema()).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    let args = three(&["--vary", "limit=60%", "--vary", "with=ridge-tent"]);
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let side = json(&args);
    let faults: Vec<String> = validator.iter_errors(&side).map(|e| e.to_string()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    assert_eq!(side["loadouts"][1]["status"], "no-plan");
}

#[test]
fn changes_do_what_they_say() {
    let ridge = &moves()[0];
    let vary = |text: &str| {
        let side = json(&["compare", ridge, "--vary", text, "--time", "60s"]);
        side["loadouts"][1].clone()
    };
    let who = vary("who=ridge:operator-1,operator-2,driver");
    assert_eq!(who["people"], serde_json::json!(["operator-1", "operator-2", "driver"]));
    let has = |l: &Value, id: &str| l["items"].as_array().unwrap().iter().any(|i| i["id"] == id);
    assert!(!has(&vary("without=sleeping-bag,stove"), "sleeping-bag"));
    let with = vary("with=field-glasses; limit=28kg");
    assert!(has(&with, "field-glasses"));
    assert_eq!(with["needs"].as_array().map(Vec::len), Some(12));
    // A share of each limit: 98 % of 25.2 kg and of 28 kg.
    let less = vary("limit=98%");
    assert!(less["peak_share"].as_f64().unwrap() <= 1.0, "{less}");
    assert!(less["wants_value"].as_u64().unwrap() <= 17, "{less}");
}

#[test]
fn everything_wrong_is_told_at_once() {
    let ridge = &moves()[0];
    let mut args = vec!["compare", ridge.as_str()];
    for vary in [
        "who=operator-1,drivr",
        "who=rigde:driver",
        "who=pickup",
        "who=driver,driver",
        "without=tarpaulinn",
        "with=stove=0",
        "limit=90",
        "limt=90%",
        "nothing",
    ] {
        args.extend(["--vary", vary]);
    }
    let done = tumpline(&args).code(2).out("");
    insta::assert_snapshot!("compare_wrong", done.err);
    let args = ["compare", ridge, "--vary", "\u{1b}[2J=x"];
    let done = tumpline(args).code(2);
    assert!(!done.err.contains('\u{1b}'));
}

#[test]
fn faulty_files_are_codes_3_and_74_and_no_plan_anywhere_is_1() {
    let ridge = &moves()[0];
    tumpline(["compare", ridge, "no-such.move.yaml"]).code(74).out("");
    tumpline(["compare", ridge, &format!("{KIT}/README.md")]).code(3).out("");
    tumpline(["compare"]).code(2);
    let text = "move: x\nequipment: [{id: rope, mass: 20 kg}]\n\
                carriers: {people: [{id: ann, limit: 12 kg}]}\n\
                parties: {up: {travel: foot, who: [ann]}}\n\
                needs: {up: [{need: rope, item: rope}]}\n";
    Folder::with("x.move.yaml", text).run(["compare", "x.move.yaml"]).code(1).err("");
}
