//! `tumpline split` after something changed: `--after`, `--without`, `--emptied`
//! and `--weighed`, from files to exit codes. That no plan changes less is
//! tested against enumeration in `enumeration.rs`.

use crate::common::folder::{Done, Folder, demo_moves};
use serde_json::Value;

/// Three carry lamps and water to a pass; a truck keeps the rest. All invented.
const MOVE: &str = "\
move: Lamps to the pass
equipment:
  - {id: lamp, name: Signal lamp, mass: 4 kg, held: 2}
  - {id: water, name: Water bag, mass: 3 kg, held: 4, supplies: {water: 3 L}}
  - {id: cloth, name: Ground cloth, mass: 2 kg, held: 3}
  - {id: pole, name: Long pole, mass: 3 kg, carry: [pair]}
carriers:
  people:
    - {id: ann, name: Ann, limit: 9 kg}
    - {id: bo, name: Bo, limit: 9 kg}
    - {id: cy, name: Cy, limit: 9 kg}
    - {id: dee, name: Dee, limit: 9 kg}
  vehicles:
    - {id: van, name: Van, payload: 90 kg}
parties:
  pass: {travel: foot, who: [ann, bo, cy]}
  road: {travel: vehicle, who: [van]}
stays-with: road
needs:
  pass:
    - {need: light, item: {lamp: 2}}
    - {need: drink, supply: water, per-person: 1 L, amount: 3 L}
wants:
  pass: {cloth: {value: 1, up-to: 2}}
";

const NAME: &str = "pass.move.yaml";

/// A folder with the move.
struct Pass(Folder);

impl Pass {
    fn new() -> Pass {
        Pass(Folder::with(NAME, MOVE))
    }
    fn split(&self, args: &[&str]) -> Done {
        self.0.run([&["split", NAME], args].concat())
    }
    /// The plan of the move as it is, in `plan.json`.
    fn packed(&self) -> String {
        self.split(&["-f", "json", "-o", "plan.json"]).code(0);
        self.0.read("plan.json")
    }
    fn json(&self, args: &[&str]) -> Value {
        self.split(&[args, &["-f", "json"]].concat()).code(0).json()
    }
    /// What standard error says of a command that ends with this code.
    fn told(&self, args: &[&str], code: i32) -> String {
        let told = self.split(args).code(code).err;
        assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
        told
    }
}

fn count(plan: &Value, carrier: &str, item: &str) -> u64 {
    let carriers = plan["carriers"].as_array().unwrap();
    let mine = carriers.iter().find(|c| c["id"] == carrier).unwrap();
    let items = mine["items"].as_array().unwrap().iter();
    items.filter(|i| i["id"] == item).map(|i| i["count"].as_u64().unwrap()).sum()
}

/// Nothing changed, so nothing changes: all demo kits keep every placement.
#[test]
fn a_plan_read_back_is_the_plan() {
    let folder = Pass::new();
    for path in demo_moves() {
        let run = |args: &[&str]| {
            let kit = ["split", path.to_str().unwrap(), "-f", "json", "--time", "20s"];
            let done = folder.0.run([&kit, args].concat()).err("");
            assert!(matches!(done.code, 0 | 4), "{}", path.display());
            done.json()
        };
        let before = run(&[]);
        folder.0.write("plan.json", before.to_string());
        let after = run(&["--after", "plan.json"]);
        assert_eq!(after["changes"]["units"], 0, "{}", path.display());
        assert_eq!(after["changes"]["hand_overs"], Value::Array(vec![]));
        assert_eq!(after["carriers"], before["carriers"], "{}", path.display());
        assert_eq!(after["left"], before["left"], "{}", path.display());
    }
}

#[test]
fn somebody_drops_out() {
    let folder = Pass::new();
    let before: Value = serde_json::from_str(&folder.packed()).unwrap();
    let plan = folder.json(&["--without", "cy"]);
    let changes = &plan["changes"];
    assert_eq!(changes["from_plan"], "made");
    assert_eq!(changes["without"], serde_json::json!(["cy"]));
    // By hand: each thing of Cy's goes to somebody or back, once.
    let had: u64 = ["lamp", "water", "cloth"].iter().map(|i| count(&before, "cy", i)).sum();
    let given = changes["hand_overs"].as_array().unwrap().iter().filter(|h| h["from"] == "cy");
    assert_eq!(given.map(|h| h["count"].as_u64().unwrap()).sum::<u64>(), had);
    assert!(changes["units"].as_u64().unwrap() >= had && had > 0);
    assert!(plan["carriers"].as_array().unwrap().iter().all(|c| c["id"] != "cy"));
    // The same plan given is the same question.
    let given = folder.json(&["--without", "cy", "--after", "plan.json"]);
    assert_eq!(given["changes"]["from_plan"], "given");
    assert_eq!(given["changes"]["hand_overs"], changes["hand_overs"]);
    let done = folder.split(&["--without", "cy", "--brief", "--ascii"]).code(0).err("");
    insta::assert_snapshot!("drop_out", done.out);
    let args = ["--without", "cy", "--brief", "-f", "markdown"];
    let done = folder.split(&args).code(0).err("");
    insta::assert_snapshot!("drop_out_markdown", done.out);
}

/// Alone Ann can bear two lamps and no water.
#[test]
fn nobody_can_take_over() {
    let folder = Pass::new();
    let text = folder.split(&["--without", "cy", "--without", "bo"]).code(1).err("").out;
    assert!(text.contains("No plan exists.") && text.contains("Without Cy and Bo"), "{text}");
}

#[test]
fn who_cannot_drop_out() {
    let folder = Pass::new();
    for (who, says) in [
        ("cyy", "no carrier `cyy` in this move; did you mean `cy`?"),
        ("somebody", "its carriers are `ann`, `bo`, `cy`, `dee`, `van`"),
        ("van", "`van` is a vehicle; people drop out"),
        ("dee", "`dee` goes with no party of the move"),
        ("\u{1b}[31m", "no carrier `\\u{1b}[31m` in this move"),
    ] {
        let told = folder.told(&["--without", who], 2);
        assert!(told.contains(says), "{told}");
    }
    let told = folder.told(&["--without", "cy", "--without", "cy"], 2);
    assert!(told.contains("`cy` drops out once, not twice"), "{told}");
    let told = folder.told(&["--without", "cy", "--survives", "1"], 2);
    assert!(told.contains("cannot be used with '--survives"), "{told}");
    assert!(folder.told(&["--brief"], 2).contains("goes with `--after`"));
    let all = ["--without", "ann", "--without", "bo", "--without", "cy"];
    assert!(folder.told(&all, 2).contains("nobody of `pass` is left"));
    folder.0.write("pass.move.yaml", MOVE.replace("[ann, bo, cy]", "[ann]"));
    assert!(folder.told(&["--without", "ann"], 2).contains("nobody of `pass` is left on foot"));
}

/// Three are to have 6 L, in two bags. One is drunk up: it is gone, one still
/// does, and nothing changes hands.
#[test]
fn what_is_used_up_counts_as_met() {
    let folder = Pass::new();
    let before: Value = serde_json::from_str(&folder.packed()).unwrap();
    assert_eq!(before["supplies"][0]["demand"], 6000);
    let plan = folder.json(&["--emptied", "water=1"]);
    assert_eq!(plan["changes"]["units"], 0, "{:#}", plan["changes"]);
    assert_eq!(plan["changes"]["used_up"][0]["count"], 1);
    assert_eq!(plan["supplies"][0]["demand"], 3000);
    assert_eq!(plan["supplies"][0]["there"], 3000);
    let sum =
        |plan: &Value| ["ann", "bo", "cy", "van"].map(|c| count(plan, c, "water")).iter().sum();
    let (was, is): (u64, u64) = (sum(&before), sum(&plan));
    assert_eq!((was, is), (4, 3));
    // From the store it serves nobody.
    let plan = folder.json(&["--emptied", "water=2@van"]);
    assert_eq!(plan["supplies"][0]["demand"], 6000);
    for (text, says) in [
        ("water", "as in `meal=2` or `meal=2@ann`, not `water`"),
        ("water=0", "not `water=0`"),
        ("water=-1", "not `water=-1`"),
        ("water=99999999999999", "not `water=99999999999999`"),
        ("watr=1", "did you mean `water`?"),
        ("water=1@anm", "did you mean `ann`?"),
        ("water=9", "9 of `water` are said to be used up, the plan has 4"),
        ("lamp=2@van", "`van` has 0"),
    ] {
        let told = folder.told(&["--emptied", text], 2);
        assert!(told.contains(says), "{told}");
    }
}

/// The move has changed since: what it does not know is told and is no fault.
#[test]
fn a_plan_of_an_older_move() {
    let folder = Pass::new();
    folder.packed();
    let now = MOVE
        .replace("move: Lamps to the pass", "move: Lamps, again")
        .replace("id: cloth", "id: clothes")
        .replace("{cloth: ", "{clothes: ")
        .replace("held: 2}", "held: 3}")
        .replace("id: bo,", "id: bob,")
        .replace("bo, cy]", "bob, cy]");
    folder.0.write("pass.move.yaml", now);
    let told = folder.told(&["--after", "plan.json", "--brief"], 0);
    for says in [
        "the plan was made for `Lamps to the pass`, the move is `Lamps, again`",
        "`cloth` of the plan are not in the catalogue",
        "`bo` of the plan is not in the move",
        "did you mean `bob`?",
        "--> plan.json:",
    ] {
        assert!(told.contains(says), "{told}");
    }
    let done = folder.split(&["--after", "plan.json", "--brief", "--ascii"]).code(0);
    insta::assert_snapshot!("older_move", done.out);
}

#[test]
fn a_pair_keeps_its_ends() {
    let folder = Pass::new();
    let text = MOVE.replace("carry: [pair]", "carry: [pair], pair-shares: [70 %, 30 %]");
    let text = text.replace("- {need: light", "- {need: pole, item: pole}\n    - {need: light");
    folder.0.write("pass.move.yaml", text);
    let before: Value = serde_json::from_str(&folder.packed()).unwrap();
    let after = folder.json(&["--after", "plan.json"]);
    assert_eq!(after["changes"]["units"], 0);
    assert_eq!(after["carriers"], before["carriers"]);
}

const WEIGHED: &str = "\
weighed:
  - {id: lamp, mass: 4.6 kg}
  - {id: water, mass: 3 kg}
  - {id: cloth, mass: 1.9 kg}
";

#[test]
fn weighed_masses_stand_for_those_of_the_catalogue() {
    let folder = Pass::new();
    folder.0.write("weighed.yaml", WEIGHED);
    let plan = folder.json(&["--weighed", "weighed.yaml"]);
    let differ = plan["weighed"]["differences"].as_array().unwrap();
    assert_eq!(differ.len(), 2, "the water weighs what the catalogue says");
    assert_eq!((&differ[0]["catalogue_g"], &differ[0]["weighed_g"]), (&4000.into(), &4600.into()));
    // Nobody is over by the new masses, whoever would have been by the old plan.
    for c in plan["carriers"].as_array().unwrap() {
        assert!(c["load_g"].as_f64() <= c["usable_g"].as_f64());
    }
    let tight = WEIGHED.replace("4.6 kg", "8.5 kg");
    folder.0.write("weighed.yaml", tight);
    let done = folder.split(&["--weighed", "weighed.yaml", "--brief", "--ascii"]).code(0);
    insta::assert_snapshot!("weighed", done.out);
    folder.0.run(["check", "weighed.yaml"]).code(0).out("weighed.yaml: weighed, 3 masses\n");
}

#[test]
fn faults_of_weighed_files_are_told_with_their_place() {
    let folder = Pass::new();
    let faulty = "\
weighed:
  - {id: lmap, mass: 4.6 kg}
  - {id: lamp, mass: 0 kg}
  - {id: lamp, mass: 4 stones}
  - {id: water, mass: 4,2 kg}
";
    for (text, says) in [
        (
            faulty.replace("  - {id: water, mass: 4,2 kg}\n", ""),
            vec!["two weighed ids are `lamp`", "zero"],
        ),
        (WEIGHED.replace("id: lamp", "id: lmap"), vec!["unknown item `lmap`", "`lamp`", ":2:"]),
        (WEIGHED.replace("4.6 kg", "4.6 stones"), vec!["stones", "allowed"]),
        (WEIGHED.replace("mass: 4.6", "mas: 4.6"), vec!["`mas`", "did you mean `mass`?"]),
        ("weighed: []\n".into(), vec!["`weighed` is empty"]),
        (MOVE.into(), vec!["this is no file of weighed masses"]),
        (WEIGHED.replace("4.6 kg", ".nan"), vec![".nan"]),
    ] {
        folder.0.write("weighed.yaml", &text);
        let told = folder.told(&["--weighed", "weighed.yaml"], 3);
        for says in says {
            assert!(told.contains(says), "{says}: {told}");
        }
    }
    assert!(folder.told(&["--weighed", "none.yaml"], 74).contains("none.yaml"));
}

/// Whatever is given for a plan: a message and a code, soon, and no panic.
#[test]
fn hostile_plans_are_refused() {
    let folder = Pass::new();
    let plan = folder.packed();
    let refused = |text: &[u8], says: &str| {
        folder.0.write("bad.json", text);
        let told = folder.told(&["--after", "bad.json"], 3);
        assert!(told.contains(says), "{says}: {told}");
        assert!(told.lines().all(|l| l.chars().count() < 700), "{told}");
    };
    let step = plan.len() / 25;
    for end in (0..plan.len() - 3).step_by(step) {
        refused(&plan.as_bytes()[..end], "[T0901]");
    }
    refused(
        plan.replacen("\"format_version\": 1", "\"format_version\": 2", 1).as_bytes(),
        "version 2",
    );
    refused(plan.replacen("\"count\": 1", "\"count\": NaN", 1).as_bytes(), "this is not JSON");
    refused(plan.replacen("\"count\": 1", "\"count\": -1", 1).as_bytes(), "-1");
    refused(
        plan.replacen("\"count\": 1", "\"count\": 0", 1).as_bytes(),
        "a count from 1 to 100000",
    );
    refused(plan.replacen("\"count\": 1", "\"count\": 4294967296", 1).as_bytes(), "a count from 1");
    refused(
        plan.replacen("\"way\": \"back\"", "\"way\": \"bakc\"", 1).as_bytes(),
        "did you mean `back`?",
    );
    refused(
        plan.replacen("\"way\": \"back\"", "\"way\": \"\\u001b[31m\"", 1).as_bytes(),
        "no way to carry",
    );
    refused("[".repeat(500_000).as_bytes(), "[T0901]");
    let deep = format!("{{\"format_version\": 1, \"x\": {}", "[".repeat(500_000));
    refused(deep.as_bytes(), "[T0901]");
    refused(
        format!("{{\"format_version\": 1, \"{}\": 1}}", "a".repeat(2_000_000)).as_bytes(),
        "[T0901]",
    );
    refused(b"\xff\xfe", "UTF-8");
    refused(b"", "[T0901]");
    refused(MOVE.as_bytes(), "[T0901]");
    refused(b"{\"format_version\": 1}", "missing field");
    let none = plan.replacen("within-gap", "no-plan", 1).replacen("proven-best", "no-plan", 1);
    refused(none.as_bytes(), "this file holds no plan: its status is `no-plan`");
    assert!(folder.told(&["--after", "none.json"], 74).contains("none.json"));
    assert!(folder.told(&["--after", "."], 74).contains("folder"));
}

/// A plan that says what cannot be is mended like any other.
#[test]
fn odd_plans_are_a_start_all_the_same() {
    let folder = Pass::new();
    let mut plan: Value = serde_json::from_str(&folder.packed()).unwrap();
    let items = serde_json::json!([
        {"id": "lamp", "name": "x", "count": 100_000, "way": "bed", "mass_g": 1e3},
        {"id": "pole", "name": "x", "count": 9, "way": "pair", "with": "ann", "mass_g": 1.5},
        {"id": "pole", "name": "x", "count": 9, "way": "pair", "with": "nobody", "mass_g": 1.5},
        {"id": "water", "name": "x", "count": 7, "way": "hand", "mass_g": 0},
    ]);
    plan["carriers"][0]["items"] = items.clone();
    plan["carriers"][1]["items"] = items;
    folder.0.write("odd.json", plan.to_string());
    let after = folder.json(&["--after", "odd.json"]);
    assert!(after["needs"].as_array().unwrap().iter().all(|n| n["met"] == true));
}

#[test]
fn the_plan_that_was_read_is_not_written_over() {
    let folder = Pass::new();
    let plan = folder.packed();
    folder.0.write("weighed.yaml", WEIGHED);
    for (option, file) in [("--after", "plan.json"), ("--weighed", "weighed.yaml")] {
        let told = folder.told(&[option, file, "-o", file], 2);
        assert!(told.contains("was read, so it is no place to write"), "{told}");
    }
    assert_eq!(folder.0.read("plan.json"), plan);
}
