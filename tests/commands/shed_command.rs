//! `tumpline shed`, from files to exit codes.

use crate::common::folder::{Done, Folder, tumpline};
use serde_json::Value;

/// Two people, wants and needs of every priority, a reserve. All invented.
const MOVE: &str = "\
move: Lamp to <the> & pass
equipment:
  - {id: lamp, name: Signal lamp, mass: 8 kg, carry: [pair]}
  - {id: rope, name: Rope, mass: 2 kg, held: 2, carry: [back]}
  - {id: stove, name: Stove and pot, mass: 3 kg, carry: [back]}
  - {id: cloth, name: Ground cloth, mass: 1 kg, carry: [back]}
  - {id: flare, name: Flare, mass: 500 g, held: 2, carry: [belt]}
carriers:
  people:
    - {id: ann, name: Ann, limit: 10 kg, worn: 3 kg}
    - {id: bo, name: Bo, limit: 11 kg, worn: 3 kg}
parties:
  pass: {travel: foot, who: [ann, bo]}
needs:
  pass:
    - {need: lamp lit, item: lamp, priority: 1}
    - {need: shelter, item: cloth}
    - {need: signal, item: {flare: 2}, priority: 2}
wants:
  pass: {rope: {value: 2, up-to: 2}, stove: 5}
rules:
  - {reserve: 500 g, for: bo}
";

const NAME: &str = "lamp.move.yaml";

fn shed(text: &str, args: &[&str]) -> Done {
    Folder::with(NAME, text).run([&["shed", NAME], args].concat())
}

fn out(args: &[&str]) -> String {
    shed(MOVE, args).code(0).err("").out
}

fn json(args: &[&str]) -> Value {
    shed(MOVE, &[args, &["-f", "json"]].concat()).code(0).err("").json()
}

#[test]
fn every_form_by_limit() {
    let all = ["--needs", "--gap", "0%"];
    for format in ["table", "csv", "json", "svg"] {
        let args = [&all[..], &["--format", format]].concat();
        let text = out(&args);
        assert_eq!(text, out(&args), "{format}: the same bytes each time");
        insta::assert_snapshot!(format!("shed_{format}"), text);
    }
    let loads = out(&[&all[..], &["--loads", "--ascii"]].concat());
    assert!(loads.is_ascii() && loads.contains("Ann 8.50 kg (85.00 %)"), "{loads}");
}

#[test]
fn every_form_by_people() {
    for format in ["table", "csv", "json", "svg"] {
        let text = out(&["--by", "people", "--format", format]);
        insta::assert_snapshot!(format!("shed_people_{format}"), text);
    }
}

/// By hand: the lamp puts 4 kg on each, the cloth 1 kg on one, the flares
/// 500 g each. All wants would be 7 kg more. Of 15 kg of kit and 6 kg worn,
/// the least peak is ...
#[test]
fn the_last_step_is_as_reckoned_by_hand() {
    let json = json(&["--gap", "0%"]);
    let steps = json["steps"].as_array().unwrap();
    // The needs alone: 3 + 4 kg on each, then cloth and flares, 2 kg in halves:
    // 8 kg of 10 kg are 80 %, 8 kg of 11 kg are 72.7 %; 7.5 and 8.5 kg are 75 %
    // and 77.3 %.
    let last = &steps.last().unwrap()["limit"];
    assert_eq!((&last["load_mg"], &last["of_mg"]), (&8_500_000.into(), &11_000_000.into()));
    assert_eq!(steps.last().unwrap()["below"], "no-plan");
    assert_eq!(steps.last().unwrap()["value"], 0);
    assert!(steps.iter().all(|s| s["exact"] == true));
}

#[test]
fn the_json_is_as_the_schema_says() {
    let schema: Value = serde_json::from_str(&tumpline::report::shed_schema()).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    for args in [&["--needs"][..], &[], &["--by", "people"]] {
        let json = json(args);
        let faults: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{args:?}: {faults:?}");
    }
}

#[test]
fn the_drawing_is_sound_xml_and_holds_no_markup_of_a_user() {
    for args in [&["-f", "svg"][..], &["-f", "svg", "--by", "people"]] {
        let svg = out(args);
        assert!(svg.starts_with("<?xml") && svg.ends_with("</svg>\n"));
        assert!(svg.contains("to &lt;the&gt; &amp; pass") && !svg.contains("<the>"), "{svg}");
        assert!(svg.contains("<title id=\"title\">") && svg.contains("<desc id=\"desc\">"));
        for fetched in ["href", "url(http", "@import", "@font-face", "<script", "<image"] {
            assert!(!svg.contains(fetched), "{fetched}");
        }
    }
}

#[test]
fn no_plan_at_any_limit_is_code_1() {
    let run =
        |args: &[&str]| shed(&MOVE.replace("mass: 8 kg", "mass: 80 kg"), args).code(1).err("");
    let text = run(&[]).out;
    assert!(text.contains("No plan exists, not even at 150 %") && text.contains("Why: "), "{text}");
    let json = run(&["-f", "json"]).json();
    assert_eq!(json["steps"].as_array().map(Vec::len), Some(0));
    assert!(json["reason"]["text"].is_string());
    let text = run(&["--by", "people"]).out;
    assert!(text.contains("no plan meets the needs"), "{text}");
}

#[test]
fn limits_that_must_be_passed_are_told_as_such() {
    let heavy = MOVE.replace("mass: 8 kg", "mass: 14 kg");
    let text = shed(&heavy, &["--gap", "0%"]).code(0).err("").out;
    assert!(text.contains("Nothing that meets the needs fits within the limits."), "{text}");
    assert!(text.contains("Over the limits as declared: not to be carried"), "{text}");
    assert!(!text.contains("Within the limits"), "{text}");
}

#[test]
fn a_wrong_command_line_is_code_2() {
    for (args, told) in [
        (&["--by", "people", "--party", "pas"][..], "did you mean `pass`?"),
        (&["--party", "pass"], "goes with `--by people`"),
        (&["--by", "people", "--needs"], "goes with `--by limit`"),
        (&["--by", "mass"], "possible values: limit, people"),
        (&["-o", "lamp.move.yaml"], "was read, so it is no place to write"),
    ] {
        shed(MOVE, args).code(2).out("").tells(told);
    }
    let plain = MOVE.replace(", priority: 1", "").replace(", priority: 2", "");
    shed(&plain, &["--needs"]).code(2).tells("no need of this move has a `priority`");
}

#[test]
fn a_priority_is_a_whole_number_from_1() {
    for bad in ["0", "first", "1.5", "-1"] {
        let text = MOVE.replace("priority: 2", &format!("priority: {bad}"));
        shed(&text, &[]).code(3).tells("a whole number from 1");
    }
    // Of a part of a need it is an item like any other.
    let text = MOVE.replace("item: cloth}", "all: [{priority: 1}]}");
    shed(&text, &[]).code(3).tells("unknown item `priority`");
}

/// Too little time for all: what was found is told, and what was not.
#[test]
fn what_is_cut_short_is_code_4_and_says_so() {
    let kit = "kits/mountain-rescue/callout.move.yaml";
    let done = tumpline(["shed", "--time", "2s", "--gap", "0%", "-f", "json", kit]).code(4);
    assert_eq!(done.json()["cut_short"], true);
}
