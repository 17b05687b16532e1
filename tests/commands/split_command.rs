//! `tumpline split` and `tumpline check`, from files to exit codes.

use crate::common::folder::{Done, Folder, program, root, tumpline};

/// Two people, one thing for a pair, two ways to meet a need. All invented.
const MOVE: &str = "\
move: Lamp to the pass
equipment:
  - {id: lamp, name: Signal lamp, mass: 8 kg, carry: [pair]}
  - {id: mast, name: Mast section, mass: 2 kg, held: 3, carry: [back]}
  - {id: pole, name: Wooden pole, mass: 5 kg, carry: [back]}
  - {id: cloth, name: Ground cloth, mass: 1 kg, carry: [back]}
carriers:
  people:
    - {id: ann, name: Ann, limit: 12 kg, worn: 3 kg}
    - {id: bo, name: Bo, limit: 12 kg, worn: 3 kg}
parties:
  pass: {travel: foot, who: [ann, bo]}
needs:
  pass:
    - need: lamp lit
      all: [lamp, {any: [{mast: 2}, pole]}]
wants:
  pass: {cloth: 3}
";

const NAME: &str = "lamp.move.yaml";

fn split(text: &str, args: &[&str]) -> Done {
    Folder::with(NAME, text).run([&["split", NAME], args].concat())
}

/// A box that is needed and two bags that are wanted. All invented.
const HEAVY: &str = "\
move: Two loads
equipment:
  - {id: box, name: Box, mass: 9 kg, carry: [back]}
  - {id: bag, name: Bag, mass: 4 kg, held: 2, carry: [back]}
carriers:
  people:
    - {id: ann, limit: 13 kg, emergency-limit: 18 kg}
    - {id: bo, limit: 13 kg, emergency-limit: 18 kg}
parties: {pass: {travel: foot, who: [ann, bo]}}
needs: {pass: [{need: box there, item: box}]}
wants: {pass: {bag: {value: 3, up-to: 2}}}
goals: [wants]
";

#[test]
fn a_tolerance_is_held_and_its_price_told() {
    let json = |code: i32, args: &[&str]| {
        split(HEAVY, &[&["-f", "json"], args].concat()).code(code).json()
    };
    let plain = json(0, &[]);
    assert_eq!((&plain["wants_value"], &plain["tolerance"]), (&6.into(), &().into()));
    assert!(plain["carriers"][0]["worst_g"].is_null() && plain["survives"].is_null());
    let with = json(0, &["--tolerance", "25%", "--off", "1"]);
    assert_eq!(with["tolerance"], serde_json::json!({"percent": 25.0, "off": 1}));
    let worst = |k: usize| with["carriers"][k]["worst_g"].as_u64().unwrap();
    // 9 kg and a quarter, and two bags of 4 kg and a quarter, apart.
    assert_eq!(worst(0).min(worst(1)), 10_000);
    assert_eq!(worst(0).max(worst(1)), 11_250);
    assert_eq!(with["prices"][0]["of"], "tolerance");
    assert_eq!(with["prices"][0]["goals"][0]["without"], 6);
    // 9 kg may be 13.5 kg, which nobody may bear.
    let none = json(1, &["--tolerance", "50%", "--off", "1"]);
    assert!(none["reason"]["text"].as_str().unwrap().contains("by the catalogue's weights"));
}

#[test]
fn what_cannot_be_asked_for_is_a_usage_error() {
    for (args, told) in [
        (&["--survives", "2"][..], "only the loss of one person can be planned for"),
        (&["--off", "2"], "--tolerance"),
        (&["--tolerance", "101%"], "the most that can be given is 100 %"),
        (&["--tolerance", "5%", "--off", "few"], "write a whole number of kinds"),
    ] {
        split(HEAVY, args).code(2).tells(told);
    }
}

#[test]
fn a_plan_that_survives_tells_who_takes_over() {
    let run = |format| split(HEAVY, &["--survives", "1", "-f", format]).code(0).err("");
    let table = run("table").out;
    assert!(table.contains("Whichever one person drops out"), "{table}");
    assert!(table.contains("without ann  bo   9.00 of 18.00 kg  50.0 %"), "{table}");
    assert!(table.contains("leaves 2 Bag"), "{table}");
    let json = run("json").json();
    let told = &json["survives"][0];
    assert_eq!((&told["party"], &told["without"]), (&"pass".into(), &"ann".into()));
    assert_eq!((&told["fullest"], &told["peak_share"]), (&"bo".into(), &0.5.into()));
    assert_eq!(json["prices"][0]["of"], "survives");
    // The lamp takes two to carry it.
    let text = split(MOVE, &["--survives", "1"]).code(1).out;
    assert!(text.contains("if `ann` drops out, the rest of `pass` cannot"), "{text}");
}

/// Where somebody goes alone nobody takes over: that is said, and nothing that
/// could be read as if the party had been asked.
#[test]
fn whoever_goes_alone_is_not_said_to_be_spared() {
    let alone = "\
move: One alone
equipment: [{id: radio, mass: 2 kg}, {id: tent, mass: 3 kg, held: 2}]
carriers: {people: [{id: ann, limit: 10 kg}, {id: bo, limit: 10 kg}, {id: cy, limit: 10 kg}]}
parties: {hill: {travel: foot, who: [ann]}, lake: {travel: foot, who: [bo, cy]}}
needs: {hill: [{need: call, item: radio}, {need: sleep, item: tent}], lake: [{need: sleep, item: tent}]}
";
    let run = |text: &str, format: &str| {
        split(text, &["--survives", "1", "-f", format]).code(0).err("").out
    };
    let said = |told: &str| told.split_whitespace().collect::<Vec<_>>().join(" ");
    let not_asked = "Not asked of hill: ann is alone there, and nobody would be left for what it \
                     needs.";
    for format in ["table", "markdown"] {
        let told = said(&run(alone, format));
        assert!(told.contains("Whichever one person of lake drops out"), "{told}");
        assert!(told.contains(not_asked), "{told}");
    }
    let json = |text| serde_json::from_str::<serde_json::Value>(&run(text, "json")).unwrap();
    let told = json(alone);
    let one = serde_json::json!([{"party": "hill", "who": "ann"}]);
    assert_eq!(told["survives_not_asked"], one);
    assert_eq!(told["survives"].as_array().map(Vec::len), Some(2), "bo and cy");
    // Nobody but her.
    let only = alone.replace(", lake: {travel: foot, who: [bo, cy]}", "");
    let only = only.replace(", lake: [{need: sleep, item: tent}]", "");
    let table = said(&run(&only, "table"));
    assert!(!table.contains("hichever"), "{table}");
    assert!(table.contains("Nobody's loss is shown to be borne. Not asked of hill"), "{table}");
    assert_eq!(json(&only)["survives_not_asked"], one);
    // Who needs nothing has nothing to lose.
    let idle = alone.replace("hill: [{need: call, item: radio}, {need: sleep, item: tent}], ", "");
    let table = said(&run(&idle, "table"));
    assert!(table.contains("Whichever one person drops out") && !table.contains("Not asked"));
    assert_eq!(json(&idle)["survives_not_asked"], serde_json::json!([]));
}

#[test]
fn a_plan_is_code_0_and_the_same_bytes_each_time() {
    for format in ["table", "json", "csv", "markdown"] {
        let run = || split(MOVE, &["--format", format]).code(0).err("").out;
        let text = run();
        assert!(text.contains("Signal lamp") && text.contains("Ground cloth"), "{text}");
        assert_eq!(text, run(), "{format}");
    }
}

#[test]
fn the_table_of_a_real_plan() {
    let folder = Folder::with(NAME, MOVE);
    let mut command = program(folder.here(), ["split", NAME]);
    // What the terminal can show is not known.
    let done = Done::of(command.env_remove("LANG")).code(0);
    insta::assert_snapshot!("split_table", done.out);
}

#[test]
fn no_plan_is_code_1_and_points_at_the_cause() {
    let run =
        |format| split(&MOVE.replace("limit: 12 kg", "limit: 6 kg"), &["--format", format]).code(1);
    let text = run("table").err("").out;
    assert!(text.contains("No plan exists.\n\nWhy: "), "{text}");
    let note = run("csv").err;
    assert!(note.starts_with("no plan exists: "), "{note}");
    let json = run("json").json();
    assert_eq!(json["status"], "no-plan");
    assert!(json["reason"]["text"].is_string());
}

#[test]
fn a_wrong_file_is_code_3_and_a_missing_one_74() {
    let folder = Folder::with(NAME, MOVE.replace("8 kg", "8 stones"));
    for command in ["split", "check"] {
        folder.run([command, NAME]).code(3).tells("stones").tells("lamp.move.yaml:3");
        folder.run([command, "lmap.move.yaml"]).code(74).tells("lmap.move.yaml");
    }
}

#[test]
fn faults_are_coloured_only_on_request() {
    let faulty = MOVE.replace("8 kg", "8 stones");
    for (choice, coloured) in [("auto", false), ("never", false), ("always", true)] {
        let done = split(&faulty, &["--color", choice]).code(3);
        assert_eq!(done.err.contains('\u{1b}'), coloured, "{choice}");
    }
}

#[test]
fn check_says_what_it_read() {
    let done = Folder::with(NAME, MOVE).run(["check", NAME]).code(0);
    done.err("").out("lamp.move.yaml: move, 1 party, 1 need, 1 want\n");
}

#[test]
fn check_names_a_faulty_file_as_such_and_counts_what_is_wrong() {
    let faulty = MOVE.replace("8 kg", "8 stones").replace("mass: 2 kg", "mass: 2");
    let done = Folder::with(NAME, faulty).run(["check", NAME]).code(3);
    let told = done.out("lamp.move.yaml: move, WITH FAULTS\n").err;
    assert!(told.ends_with("\n\n2 errors in all\n"), "{told}");
}

#[test]
fn nothing_that_was_read_is_overwritten() {
    let (list, rest) = MOVE.split_once("carriers:").unwrap();
    let list = list.strip_prefix("move: Lamp to the pass\n").unwrap();
    let rest = format!("move: Lamp\nequipment: equipment.yaml\ncarriers:{rest}");
    let folder = Folder::with("equipment.yaml", list).and(NAME, &rest);
    for file in ["equipment.yaml", "./lamp.move.yaml"] {
        let done = folder.run(["split", NAME, "-o", file]).code(2).out("");
        done.tells(&format!("`{file}` was read"));
    }
    assert_eq!(folder.read("equipment.yaml"), list);
    assert_eq!(folder.read(NAME), rest);
}

#[test]
fn a_file_takes_the_report_and_keeps_its_old_content_on_failure() {
    let folder = Folder::with(NAME, "move: [").and("plan.json", "old");
    let args = ["split", NAME, "--format", "json", "-o", "plan.json"];
    folder.run(args).code(3);
    assert_eq!(folder.read("plan.json"), "old");
    folder.write(NAME, MOVE);
    folder.run(args).code(0).out("").err("");
    assert!(folder.read("plan.json").starts_with("{\n  \"format_version\": 1,"));
    folder.run(["split", NAME, "-o", "no-such-folder/plan.json"]).code(74).out("");
    assert_eq!(folder.names().len(), 2, "nothing is left behind");
}

#[test]
fn stages_are_told_on_standard_error() {
    let told = split(MOVE, &["--stats"]).code(0).err;
    assert!(told.contains("wants") && told.trim_end().ends_with("in all"), "{told}");
}

#[test]
fn every_schema_is_a_schema() {
    for kind in [
        "equipment",
        "carriers",
        "move",
        "weighed",
        "stores",
        "plan",
        "why",
        "shed",
        "compare",
        "muster",
    ] {
        let done = tumpline(["schema", kind]).code(0).err("");
        assert!(done.out.ends_with("}\n"), "{kind}");
        assert!(jsonschema::draft7::new(&done.json()).is_ok(), "{kind}");
    }
}

/// Ctrl-C ends the search, not the answer: the best audited plan so far is
/// printed, and the exit code says that it is not what was asked.
#[cfg(unix)]
#[test]
fn an_interrupt_prints_the_best_plan_so_far() {
    use std::process::{Command, Stdio};
    use std::time::Duration;

    let kit = "kits/mountain-rescue/callout.move.yaml";
    // Proof of the last per mille takes far longer than the wait below.
    let args = ["split", kit, "--gap", "0%", "--time", "10 min", "--format", "json"];
    let child = program(&root(), args)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary starts");
    std::thread::sleep(Duration::from_secs(3));
    let told = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(told.is_ok_and(|s| s.success()), "the signal is sent");
    let ran = child.wait_with_output().expect("the binary ends");
    assert_eq!(ran.status.code(), Some(4));
    let plan: serde_json::Value = serde_json::from_slice(&ran.stdout).expect("JSON");
    assert_eq!(plan["stopped"], "interrupt");
    assert_eq!(plan["status"], "feasible");
    assert!(plan["needs"].as_array().is_some_and(|n| n.iter().all(|n| n["met"] == true)));
}
