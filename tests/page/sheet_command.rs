//! `tumpline sheet`, from files to exit codes.

use crate::common::folder::{Done, Folder, demo_moves, program, root, tumpline};
use crate::markup;
use serde_json::Value;

/// Three carry lamps and water to a pass, two of them a pole; a van keeps the
/// rest. All invented.
const MOVE: &str = "\
move: Lamps to the <pass> & back
equipment:
  - {id: lamp, name: Signal lamp, mass: 4 kg, held: 2, carry: [hand, back]}
  - {id: water, name: Water bag, mass: 3 kg, held: 4, supplies: {water: 3 L}}
  - {id: cloth, name: Ground cloth, mass: 2 kg, held: 3}
  - {id: pole, name: Long pole, mass: 3 kg, carry: [pair]}
carriers:
  people:
    - {id: ann, name: Ann, limit: 10 kg}
    - {id: bo, name: Bo, limit: 10 kg}
    - {id: cy, name: Cy, limit: 10 kg}
    - {id: dee, name: Dee, limit: 10 kg, body-mass: 60 kg, duties: [driver]}
  vehicles:
    - {id: van, name: Van, payload: 90 kg, seats: 2}
parties:
  pass: {travel: foot, who: [ann, bo, cy]}
  road: {travel: vehicle, who: [van, dee]}
stays-with: road
needs:
  pass:
    - {need: light, item: {lamp: 2}}
    - {need: drink, supply: water, per-person: 1 L, amount: 3 L}
    - {need: flag, item: pole}
wants:
  pass: {cloth: {value: 1, up-to: 2}}
";

/// A folder with the move.
struct Pass(Folder);

impl Pass {
    fn new() -> Pass {
        Pass(Folder::with("pass.move.yaml", MOVE))
    }
    fn read(&self, name: &str) -> String {
        self.0.read(name)
    }
    fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        self.0.write(name, content);
    }
    fn sheet(&self, args: &[&str]) -> String {
        self.0.run([&["sheet"], args].concat()).code(0).err("").out
    }
    /// A plan in `plan.json`.
    fn plan(&self, args: &[&str]) -> Value {
        let all = [&["split", "pass.move.yaml", "-f", "json", "-o", "plan.json"], args].concat();
        self.0.run(all).code(0).err("");
        serde_json::from_str(&self.read("plan.json")).unwrap()
    }
    /// What standard error says of a command that ends with this code and
    /// prints nothing.
    fn told(&self, args: &[&str], code: i32) -> String {
        let told = self.0.run([&["sheet"], args].concat()).code(code).out("").err;
        assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
        told
    }
}

const READ: &str = "<p>Read from a plan made before, and audited anew for the move as it is now.</p>\
                    <p>When the plan was made: ";

/// A page without the words on how good its plan is: those of a plan that was
/// read are of then.
fn but_for_the_verdict(page: &str) -> String {
    let (head, rest) = page.split_once("<div class=\"status\"").expect("a status");
    let (_, tail) = rest.split_once("</div>").expect("its end");
    format!("{head}{tail}")
}

/// The two differ in nothing else.
fn assert_alike(of_plan: &str, of_move: &str) {
    assert!(of_plan.contains(READ), "{of_plan}");
    assert_eq!(but_for_the_verdict(of_plan), but_for_the_verdict(of_move));
}

#[test]
fn a_move_gets_the_sheet_of_its_plan() {
    let folder = Pass::new();
    let plan = folder.plan(&[]);
    let text = folder.sheet(&["pass.move.yaml"]);
    assert_eq!(text, folder.sheet(&["pass.move.yaml"]), "the same bytes each time");
    assert!(text.starts_with("<!DOCTYPE html><html lang=\"en\">") && text.ends_with("</html>\n"));
    let page = markup::read(&text);
    let cards = page.all().into_iter().find(|e| e.get("id") == Some("cards")).unwrap();
    for carrier in plan["carriers"].as_array().unwrap() {
        let name = carrier["name"].as_str().unwrap();
        let card = cards.with("data-carrier").into_iter().find(|c| c.text.starts_with(name));
        let card = card.or_else(|| {
            // Who rides stands behind a box to tick.
            let riders = cards.named("li");
            riders.into_iter().find(|li| li.text.contains(name))
        });
        let card = card.unwrap_or_else(|| panic!("no card of {name}"));
        let rows: Vec<(String, String)> = card
            .with("data-way")
            .iter()
            .filter(|r| r.name == "tr")
            .map(|r| {
                let count =
                    r.named("td").iter().find(|td| td.has_class("count")).unwrap().text.clone();
                (count, r.get("data-way").unwrap().to_string())
            })
            .collect();
        let items = carrier["items"].as_array().unwrap();
        let mut expected: Vec<(String, String)> = items
            .iter()
            .map(|i| (i["count"].to_string(), i["way"].as_str().unwrap().to_string()))
            .collect();
        let mut rows = rows;
        rows.sort();
        expected.sort();
        assert_eq!(rows, expected, "{name}");
    }
    assert!(text.contains("<title>Load sheet: Lamps to the &lt;pass&gt; &amp; back</title>"));
}

#[test]
fn paper_plain_and_drawing() {
    let folder = Pass::new();
    let a4 = folder.sheet(&["pass.move.yaml"]);
    let letter = folder.sheet(&["pass.move.yaml", "--paper", "letter"]);
    assert!(
        a4.contains("@page{size:A4 portrait;") && letter.contains("@page{size:letter portrait;")
    );
    let plain = folder.sheet(&["pass.move.yaml", "--plain"]);
    assert!(!plain.contains("<script") && !plain.contains("by-hand") && plain.contains("checkbox"));
    let svg = folder.sheet(&["pass.move.yaml", "-f", "svg"]);
    assert!(svg.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns="));
    assert!(svg.contains("&lt;pass&gt; &amp; back") && svg.ends_with("</svg>\n"));
    markup::read(&svg);
    for fetched in ["href", "@import", "@font-face", "<script", "<image", "url(http"] {
        assert!(!svg.contains(fetched), "{fetched}");
    }
}

#[test]
fn a_file_is_replaced_only_by_a_sheet() {
    let folder = Pass::new();
    folder.write("load.html", "old");
    let impossible = MOVE.replace("{lamp: 2}", "{lamp: 2, cloth: 3}");
    folder.write("pass.move.yaml", impossible.replace("limit: 10 kg", "limit: 5 kg"));
    let told = folder.told(&["pass.move.yaml", "-o", "load.html"], 1);
    assert!(told.starts_with("no plan exists: "), "{told}");
    assert_eq!(folder.read("load.html"), "old");
    folder.write("pass.move.yaml", MOVE);
    assert_eq!(folder.sheet(&["pass.move.yaml", "-o", "load.html"]), "");
    assert_eq!(folder.read("load.html"), folder.sheet(&["pass.move.yaml"]));
    let told = folder.told(&["pass.move.yaml", "-o", "pass.move.yaml"], 2);
    assert!(told.contains("was read, so it is no place to write"), "{told}");
    assert_eq!(folder.read("pass.move.yaml"), MOVE);
    assert!(folder.told(&["none.move.yaml"], 74).contains("there is no file"));
    assert!(folder.told(&["none.json"], 74).contains("there is no file"));
    folder.write("bad.move.yaml", "move: [");
    folder.told(&["bad.move.yaml"], 3);
    assert!(folder.told(&["pass.move.yaml", "--paper", "a5"], 2).contains("a4, letter"));
    assert!(folder.told(&["pass.move.yaml", "--move", "x"], 2).contains("goes with a plan"));
}

/// Stopped short, the sheet is printed and the code is that of `split`.
#[test]
fn a_plan_that_may_not_be_the_best_is_code_4() {
    let kit = "tests/settled/hands-not-settled.move.yaml";
    let args = ["sheet", kit, "--time", "1s", "--gap", "0%", "--plain"];
    let text = tumpline(args).code(4).err("").out;
    assert!(text.contains("It works, but a better plan may exist"));
    assert!(!text.contains("seconds"), "no clock");
}

#[test]
fn a_plan_gets_the_sheet_of_its_move() {
    let folder = Pass::new();
    let plan = folder.plan(&[]);
    assert_eq!(plan["move_file"], "pass.move.yaml");
    let of_move = folder.sheet(&["pass.move.yaml"]);
    let of_plan = folder.sheet(&["plan.json"]);
    assert_alike(&of_plan, &of_move);
    // A better plan may have become possible since.
    assert!(!of_plan.contains("<p>Proven best") && !of_plan.contains("<p>Good enough"));
    // Whatever it is called, and from another folder.
    folder.write("plan.txt", folder.read("plan.json"));
    assert_eq!(folder.sheet(&["plan.txt"]), of_plan);
    std::fs::create_dir(folder.0.path("below")).unwrap();
    let mut command = program(&folder.0.path("below"), ["sheet", "../plan.json"]);
    Done::of(&mut command).code(0).err("").out(&of_plan);
    // A plan that has lost its move, and one that never had any.
    folder.write(
        "lost.json",
        folder.read("plan.json").replace("\"pass.move.yaml\"", "\"gone.yaml\""),
    );
    assert!(folder.told(&["lost.json"], 74).contains("give it with `--move`"));
    assert_eq!(folder.sheet(&["lost.json", "--move", "pass.move.yaml"]), of_plan);
    folder.write("none.json", folder.read("plan.json").replace("\"pass.move.yaml\"", "null"));
    assert!(folder.told(&["none.json"], 2).contains("give that with `--move`"));
    assert!(folder.told(&["plan.json", "-o", "plan.json"], 2).contains("no place to write"));
}

/// In the words of the page, with names, and in the units that the kit asks for:
/// a limit of 5 kg are 11.02 lb (0.453 592 37 kg to the pound, by the agreement of
/// 1959).
#[test]
fn a_fault_is_told_in_names_and_in_the_units_of_the_move() {
    let folder = Pass::new();
    folder.write("pass.move.yaml", format!("units: imperial\n{MOVE}"));
    folder.plan(&[]);
    let refused = |text: &str| {
        folder.write("pass.move.yaml", format!("units: imperial\n{text}"));
        folder.told(&["plan.json"], 1)
    };
    let told = refused(&MOVE.replace("limit: 10 kg", "limit: 5 kg"));
    let over: Vec<&str> = told.lines().filter(|l| l.contains(" OVER THE LIMIT by ")).collect();
    assert!(!over.is_empty(), "{told}");
    for line in over {
        let known = ["fault: Ann is ", "fault: Bo is ", "fault: Cy is "];
        assert!(known.iter().any(|who| line.starts_with(who)), "{line}");
        assert!(line.contains(" lb: ") && line.ends_with(" of 11.02 lb"), "{line}");
        assert!(!line.contains("kg"), "{line}");
    }
    let told =
        refused(&MOVE.replace("wants:", "rules: [{keep-off: lamp, from: [ann, bo, cy]}]\nwants:"));
    assert!(told.contains("fault: Signal lamp may not be with "), "{told}");
}

/// A move order may be written as JSON too.
#[test]
fn a_move_in_braces_is_a_move() {
    let folder = Pass::new();
    let yaml: serde_json::Value = serde_yaml::from_str(MOVE).unwrap();
    folder.write("braces.move.yaml", yaml.to_string());
    assert_eq!(folder.sheet(&["braces.move.yaml"]), folder.sheet(&["pass.move.yaml"]));
}

#[test]
fn a_plan_that_does_not_hold_gets_no_sheet() {
    let folder = Pass::new();
    folder.plan(&[]);
    folder.write("load.html", "old");
    let refused = |text: &str| {
        folder.write("pass.move.yaml", text);
        let told = folder.told(&["plan.json", "-o", "load.html"], 1);
        assert!(
            told.ends_with("no sheet: the plan does not hold for the move as it is now\n"),
            "{told}"
        );
        assert_eq!(folder.read("load.html"), "old");
        told
    };
    // Each fault is told.
    let told = refused(&MOVE.replace("limit: 10 kg", "limit: 5 kg"));
    assert!(told.matches("fault: ").count() >= 2, "{told}");
    assert!(told.contains(" is OVER THE LIMIT by "), "{told}");
    let told = refused(&MOVE.replace("{lamp: 2}", "{lamp: 2, cloth: 3}"));
    assert!(told.contains("fault: NOT MET for pass: light\n"), "{told}");
    // Somebody and something that the move does not know any more.
    let told = refused(&MOVE.replace("id: cy", "id: cyd").replace("bo, cy]", "bo, cyd]"));
    assert!(told.contains("fault: the move does not know `Cy`"), "{told}");
    let gone = MOVE.replace("id: cloth, name: Ground cloth", "id: mat, name: Mat");
    let told = refused(&gone.replace("{cloth: {value", "{mat: {value"));
    assert!(told.contains("fault: the move does not know `Ground cloth`"), "{told}");
    // A plan that somebody wrote themselves.
    folder.write("pass.move.yaml", MOVE);
    let forged = folder.read("plan.json").replace("\"way\": \"pair\"", "\"way\": \"belt\"");
    folder.write("forged.json", forged);
    let told = folder.told(&["forged.json"], 1);
    assert!(told.contains("fault: Long pole may not be carried by belt\n"), "{told}");
    folder.write("odd.json", "{\"format_version\": 1}");
    assert!(folder.told(&["odd.json"], 3).contains("no plan of tumpline's"));
    folder.write("odd.json", "[]");
    assert!(folder.told(&["odd.json"], 3).contains("T0901"));
    let odd = folder.read("plan.json").replace("\"proven-best\"", "\"splendid\"");
    folder.write("odd.json", odd.replace("\"within-gap\"", "\"splendid\""));
    assert!(folder.told(&["odd.json"], 3).contains("`splendid` is no status of a plan"));
}

/// What the plan was made under holds for its sheet too.
#[test]
fn a_plan_keeps_its_tolerance_weights_and_losses() {
    let folder = Pass::new();
    folder.plan(&["--tolerance", "5%", "--off", "1"]);
    let page = folder.sheet(&["plan.json"]);
    assert!(page.contains("None is passed either if 1 kind weighs 5 % more"), "{page}");
    assert!(page.contains("<dt>At worst</dt>"));
    let of_move = folder.sheet(&["pass.move.yaml", "--tolerance", "5%", "--off", "1"]);
    assert_alike(&page, &of_move);
    // The command line's comes first.
    let told = folder.told(&["plan.json", "--tolerance", "90%"], 1);
    assert!(told.contains(" could be OVER THE LIMIT by "), "{told}");
    folder.write("scales.yaml", "weighed: [{id: lamp, mass: 4.2 kg}, {id: water, mass: 3 kg}]\n");
    folder.plan(&["--weighed", "scales.yaml"]);
    let page = folder.sheet(&["plan.json"]);
    assert!(page.contains("By the scales: 1 kind of thing weighs other"), "{page}");
    assert!(page.contains("data-mg=\"4200000\""));
    // The script knows of the plan by the catalogue, from which few things were
    // to change, in the one case alone.
    let page = folder.sheet(&["plan.json", "--plain"]);
    let of_move = folder.sheet(&["pass.move.yaml", "--weighed", "scales.yaml", "--plain"]);
    assert_alike(&page, &of_move);
    folder.plan(&[]);
    let page = folder.sheet(&["plan.json", "--weighed", "scales.yaml"]);
    assert!(page.contains("data-mg=\"4200000\"") && page.contains("The move has changed"));
    // Cy is out, and a bag is drunk up: the needs are those of two.
    let plan = folder.plan(&["--without", "cy", "--emptied", "water=1"]);
    assert_eq!(plan["changes"]["without"], serde_json::json!(["cy"]));
    let page = folder.sheet(&["plan.json"]);
    assert!(!page.contains("<bdi>Cy</bdi>") && page.contains("Needs met: 3 of 3."));
    assert!(page.contains("<p>Without Cy.</p>") && page.contains("<p>Used up: 1 "), "{page}");
}

/// The picture that the guide shows, in `sheet.md`. To draw it anew:
/// `TUMPLINE_WRITE_README=1 cargo test --test page sheet_command::`.
#[test]
fn the_picture_in_the_guide_is_the_one_drawn() {
    let drawn = tumpline(["sheet", "kits/ridge-relay/ridge.move.yaml", "-f", "svg"]);
    let drawn = drawn.code(0).err("").out;
    let path = root().join("kits/ridge-relay/board.svg");
    if std::env::var_os("TUMPLINE_WRITE_README").is_some() {
        std::fs::write(&path, &drawn).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), drawn);
}

/// Every demo kit: the plan in JSON is read back, holds, and looks the same.
#[test]
fn every_kit_has_its_sheet() {
    let folder = Folder::new();
    let mut seen = 0;
    for path in demo_moves() {
        let path = path.to_str().unwrap();
        let split = ["split", path, "-f", "json", "-o", "plan.json", "--time", "4s", "--gap", "5%"];
        let code = folder.run(split).code;
        assert!(matches!(code, 0 | 4), "{path}");
        let page = folder.run(["sheet", "plan.json"]).code(0).err("").out;
        assert!(page.contains("No limit is passed") && page.contains(READ), "{path}");
        assert!(!page.contains("The move has changed"), "{path}");
        markup::read(&page);
        seen += 1;
    }
    assert!(seen >= 8, "{seen}");
}
