//! `tumpline shed`, from files to exit codes.

use assert_cmd::Command;
use serde_json::Value;
use std::path::{Path, PathBuf};

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

struct Folder(tempfile::TempDir);

impl Folder {
    fn with(text: &str) -> Folder {
        let folder = Folder(tempfile::tempdir().unwrap());
        std::fs::write(folder.path("lamp.move.yaml"), text).unwrap();
        folder
    }
    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    fn run(&self, args: &[&str]) -> Command {
        let mut command = Command::cargo_bin("tumpline").unwrap();
        command.args(["shed", "lamp.move.yaml"]).args(args);
        command.env_clear().env("LANG", "C.UTF-8").current_dir(&self.0);
        command
    }
    fn out(&self, args: &[&str], code: i32) -> String {
        let done = self.run(args).assert().code(code).stderr("");
        String::from_utf8(done.get_output().stdout.clone()).unwrap()
    }
    fn json(&self, args: &[&str], code: i32) -> Value {
        serde_json::from_str(&self.out(&[args, &["-f", "json"]].concat(), code)).unwrap()
    }
}

#[test]
fn every_form_by_limit() {
    let folder = Folder::with(MOVE);
    let all = ["--needs", "--gap", "0%"];
    for format in ["table", "csv", "json", "svg"] {
        let args = [&all[..], &["--format", format]].concat();
        let text = folder.out(&args, 0);
        assert_eq!(text, folder.out(&args, 0), "{format}: the same bytes each time");
        insta::assert_snapshot!(format!("shed_{format}"), text);
    }
    let loads = folder.out(&[&all[..], &["--loads", "--ascii"]].concat(), 0);
    assert!(loads.is_ascii() && loads.contains("Ann 8.50 kg (85.00 %)"), "{loads}");
}

#[test]
fn every_form_by_people() {
    let folder = Folder::with(MOVE);
    for format in ["table", "csv", "json", "svg"] {
        let text = folder.out(&["--by", "people", "--format", format], 0);
        insta::assert_snapshot!(format!("shed_people_{format}"), text);
    }
}

/// By hand: the lamp puts 4 kg on each, the cloth 1 kg on one, the flares
/// 500 g each. All wants would be 7 kg more. Of 15 kg of kit and 6 kg worn,
/// the least peak is ...
#[test]
fn the_last_step_is_as_reckoned_by_hand() {
    let folder = Folder::with(MOVE);
    let json = folder.json(&["--gap", "0%"], 0);
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
    let folder = Folder::with(MOVE);
    for args in [&["--needs"][..], &[], &["--by", "people"]] {
        let json = folder.json(args, 0);
        let faults: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{args:?}: {faults:?}");
    }
}

#[test]
fn the_drawing_is_sound_xml_and_holds_no_markup_of_a_user() {
    let folder = Folder::with(MOVE);
    for args in [&["-f", "svg"][..], &["-f", "svg", "--by", "people"]] {
        let svg = folder.out(args, 0);
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
    let folder = Folder::with(&MOVE.replace("mass: 8 kg", "mass: 80 kg"));
    let text = folder.out(&[], 1);
    assert!(text.contains("No plan exists, not even at 150 %") && text.contains("Why: "), "{text}");
    let json = folder.json(&[], 1);
    assert_eq!(json["steps"].as_array().map(Vec::len), Some(0));
    assert!(json["reason"]["text"].is_string());
    let text = folder.out(&["--by", "people"], 1);
    assert!(text.contains("no plan meets the needs"), "{text}");
}

#[test]
fn limits_that_must_be_passed_are_told_as_such() {
    let folder = Folder::with(&MOVE.replace("mass: 8 kg", "mass: 14 kg"));
    let text = folder.out(&["--gap", "0%"], 0);
    assert!(text.contains("Nothing that meets the needs fits within the limits."), "{text}");
    assert!(text.contains("Over the limits as declared: not to be carried"), "{text}");
    assert!(!text.contains("Within the limits"), "{text}");
}

#[test]
fn a_wrong_command_line_is_code_2() {
    let folder = Folder::with(MOVE);
    for (args, told) in [
        (&["--by", "people", "--party", "pas"][..], "did you mean `pass`?"),
        (&["--party", "pass"], "goes with `--by people`"),
        (&["--by", "people", "--needs"], "goes with `--by limit`"),
        (&["--by", "mass"], "possible values: limit, people"),
        (&["-o", "lamp.move.yaml"], "was read, so it is no place to write"),
    ] {
        let done = folder.run(args).assert().code(2).stdout("");
        let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
        assert!(err.contains(told), "{args:?}: {err}");
    }
    let plain = MOVE.replace(", priority: 1", "").replace(", priority: 2", "");
    let folder = Folder::with(&plain);
    let done = folder.run(&["--needs"]).assert().code(2);
    let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(err.contains("no need of this move has a `priority`"), "{err}");
}

#[test]
fn a_priority_is_a_whole_number_from_1() {
    for bad in ["0", "first", "1.5", "-1"] {
        let text = MOVE.replace("priority: 2", &format!("priority: {bad}"));
        let done = Folder::with(&text).run(&[]).assert().code(3);
        let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
        assert!(err.contains("a whole number from 1"), "{bad}: {err}");
    }
    // Of a part of a need it is an item like any other.
    let text = MOVE.replace("item: cloth}", "all: [{priority: 1}]}");
    let done = Folder::with(&text).run(&[]).assert().code(3);
    let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(err.contains("unknown item `priority`"), "{err}");
}

/// Too little time for all: what was found is told, and what was not.
#[test]
fn what_is_cut_short_is_code_4_and_says_so() {
    let kit = Path::new(env!("CARGO_MANIFEST_DIR")).join("kits/mountain-rescue/callout.move.yaml");
    let done = Command::cargo_bin("tumpline")
        .unwrap()
        .args(["shed", "--time", "2s", "--gap", "0%", "-f", "json"])
        .arg(kit)
        .env_clear()
        .assert()
        .code(4);
    let json: Value = serde_json::from_slice(&done.get_output().stdout).unwrap();
    assert_eq!(json["cut_short"], true);
}
