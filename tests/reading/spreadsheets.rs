//! `list` and `import`, from files to exit codes.

use crate::common::folder::{Folder, tumpline};
use serde_json::Value;
use std::path::Path;
use tumpline::report::list::{Of, columns};

fn out(args: &[&str]) -> String {
    tumpline(args).code(0).err("").out
}

fn err(args: &[&str], code: i32) -> String {
    tumpline(args).code(code).err
}

const RELAY: &str = "kits/ridge-relay";
const EQUIPMENT: &str = "kits/ridge-relay/equipment.yaml";

#[test]
fn lists_read_well() {
    insta::assert_snapshot!("list_table", out(&["list", RELAY]));
    insta::assert_snapshot!(
        "list_120",
        out(&[
            "list",
            EQUIPMENT,
            "--width",
            "120",
            "--columns",
            "id,name,mass,requires,supplies,contents,uses",
        ])
    );
    insta::assert_snapshot!(
        "list_markdown",
        out(&["list", RELAY, "-f", "markdown", "--tag", "signal"])
    );
    insta::assert_snapshot!("list_csv", out(&["list", RELAY, "-f", "csv", "--only", "carriers"]));
    insta::assert_snapshot!("list_columns", out(&["list", RELAY, "--columns", "help"]));
    for width in ["60", "80", "120"] {
        for line in out(&["list", RELAY, "--width", width]).lines() {
            let wide = unicode_width::UnicodeWidthStr::width(line);
            assert!(wide <= width.parse().unwrap() && line.trim_end() == line, "{line}");
        }
    }
}

#[test]
fn a_list_is_sorted_filtered_and_its_columns_picked() {
    let csv = out(&[
        "list",
        RELAY,
        "-f",
        "csv",
        "--columns",
        "id,mass",
        "--sort",
        "-mass",
        "--tag",
        "signal",
    ]);
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines[..3], ["id,mass (kg)", "relay-set,7.8", "field-telephone,1.2"]);
    assert!(lines.len() > 4);
    let up =
        out(&["list", RELAY, "-f", "csv", "--columns", "id", "--sort", "mass", "--tag", "signal"]);
    assert_eq!(up.lines().last(), Some("relay-set"));
    // The columns tell which of the two is meant.
    assert!(out(&["list", RELAY, "--columns", "id,limit"]).contains("30 %"));
}

#[test]
fn what_a_list_cannot_do_is_told_with_what_it_can() {
    for (args, code, told) in [
        (&["list", RELAY, "--columns", "id,mas"][..], 2, "did you mean `mass`?"),
        (&["list", RELAY, "--sort", "wieght"], 2, "the columns are id, name, mass"),
        (&["list", RELAY, "-f", "csv"], 2, "--only equipment"),
        (&["list", "kits/ridge-relay/weighed.yaml"], 3, "weighed masses"),
        (&["list", "kits"], 74, "no equipment file"),
        (&["list", "no-such-file"], 74, "there is no file"),
        (
            &["list", "kits/ridge-relay/carriers.yaml", "--only", "equipment"],
            2,
            "no equipment to list",
        ),
        (&["split", "kits/day-walk/day-walk.move.yaml", "--columns", "item"], 2, "--format csv"),
        (
            &["split", "kits/day-walk/day-walk.move.yaml", "-f", "csv", "--columns", "itm"],
            2,
            "did you mean `item`?",
        ),
        (&["split", "x", "-f", "csv", "--columns", "help"], 2, "carrier_name"),
    ] {
        let told_is = err(args, code);
        assert!(told_is.contains(told), "{args:?}: {told_is}");
    }
}

#[test]
fn every_key_of_the_files_has_a_column() {
    for (kind, records, of) in [
        ("equipment", &["RawItem"][..], Of::Equipment),
        ("carriers", &["RawPerson", "RawVehicle"], Of::Carriers),
    ] {
        let text = std::fs::read_to_string(format!("kits/schema/{kind}.schema.json")).unwrap();
        let schema: Value = serde_json::from_str(&text).unwrap();
        for record in records {
            let keys = schema["definitions"][record]["properties"].as_object().unwrap();
            assert!(keys.len() > 4);
            for key in keys.keys() {
                assert!(columns(of).iter().any(|c| c.name == key && !c.reckoned), "{key}");
                let of = match of {
                    Of::Equipment => tumpline::kit::SheetOf::Equipment,
                    Of::Carriers => tumpline::kit::SheetOf::Carriers,
                };
                assert!(tumpline::kit::sheet_keys(of).any(|k| k == key), "{key}");
            }
        }
    }
}

/// Against sums made here from the file's own text.
#[test]
fn json_has_every_column_and_the_sums() {
    let json: Value = serde_json::from_str(&out(&["list", RELAY, "-f", "json"])).unwrap();
    assert_eq!(json["format_version"], 1);
    let [equipment, carriers] = json["lists"].as_array().unwrap().as_slice() else { panic!() };
    assert_eq!((&equipment["of"], &carriers["of"]), (&"equipment".into(), &"carriers".into()));
    let rows = equipment["rows"].as_array().unwrap();
    let total: f64 =
        rows.iter().map(|r| r["mass_g"].as_f64().unwrap() * r["held"].as_f64().unwrap()).sum();
    assert!((equipment["sums"]["total_g"].as_f64().unwrap() - total).abs() < 1e-6);
    let mast = rows.iter().find(|r| r["id"] == "mast-section").unwrap();
    assert_eq!(mast["mass_g"], 820);
    assert_eq!(mast["requires"]["stay-kit"], "shared");
    assert_eq!(carriers["rows"][3]["hauled"], false);
    assert_eq!(carriers["rows"][0]["limit"], "30 %");
}

const SHELF: &str = "kits/ridge-relay/shelf-list.csv";

#[test]
fn a_spreadsheet_is_shown_first_and_written_if_asked() {
    let folder = Folder::new();
    let to = folder.at("new.yaml");
    insta::assert_snapshot!("import_shelf_list", out(&["import", SHELF]));
    assert!(out(&["import", SHELF, "-o", &to]).contains("Nothing was written"));
    assert!(!Path::new(&to).exists());
    assert!(out(&["import", SHELF, "-o", &to, "--write"]).ends_with("new.yaml\n"));
    insta::assert_snapshot!("import_shelf_list_file", std::fs::read_to_string(&to).unwrap());
    assert!(out(&["check", &to]).contains("equipment, 4 items"));
    let text = std::fs::read_to_string(&to).unwrap();
    assert_eq!(tumpline::kit::tidy_text("new.yaml", &text).unwrap(), text);
    std::fs::write(&to, "mine").unwrap();
    let told = err(&["import", SHELF, "-o", &to, "--write"], 2);
    assert!(told.contains("`--replace`"), "{told}");
    assert_eq!(std::fs::read_to_string(&to).unwrap(), "mine");
    out(&["import", SHELF, "-o", &to, "--write", "--replace"]);
    assert!(std::fs::read_to_string(&to).unwrap().contains("hand-radio-d"));
    // The sheet itself is no place to write to.
    err(&["import", SHELF, "-o", SHELF, "--write", "--replace"], 2);
}

#[test]
fn faults_of_a_sheet_are_told_together_and_nothing_is_written() {
    let folder = Folder::new();
    let to = folder.at("new.yaml");
    let told = err(&["import", "tests/sheets/faults.csv", "-o", &to, "--write"], 3);
    insta::assert_snapshot!("import_faults", told);
    assert!(!Path::new(&to).exists());
}

#[test]
fn texts_of_every_kind_are_read_or_refused_with_their_place() {
    assert!(out(&["import", "tests/sheets/tabs.csv"]).contains("cells are parted by tabs"));
    let told = err(&["import", "tests/sheets/western.csv"], 3);
    assert!(told.contains("byte 20 is 0xFC") && told.contains("windows-1252"), "{told}");
    let read = out(&["import", "tests/sheets/western.csv", "--encoding", "windows-1252"]);
    assert!(read.contains("name: Schlüssel"), "{read}");
    let told = err(&["import", "tests/sheets/open-quote.csv"], 3);
    assert!(told.contains("open-quote.csv:2:1") && told.contains("never closed"), "{told}");
    let folder = Folder::new();
    let none = folder.at("none.csv");
    std::fs::write(&none, "a,b\n1,2\n").unwrap();
    let told = err(&["import", &none], 3);
    assert!(told.contains("no header was found") && told.contains("keys of equipment"), "{told}");
    std::fs::write(&none, "").unwrap();
    err(&["import", &none], 3);
    err(&["import", &folder.at("missing.csv")], 74);
    let told = err(&["import", &none, "--map", "a=mas"], 2);
    assert!(told.contains("did you mean `mass`?"), "{told}");
    let told = err(&["import", &none, "--map", "a"], 2);
    assert!(told.contains("has no `=`"), "{told}");
}

#[test]
fn decimal_signs_are_settled_by_who_knows() {
    let folder = Folder::new();
    let path = folder.at("x.csv");
    std::fs::write(&path, "Name;Mass (kg)\nTent;1,234\n").unwrap();
    let told = err(&["import", &path], 3);
    assert!(told.contains("`1,234` can be 1.234 or 1234"), "{told}");
    assert!(out(&["import", &path, "--decimal", "comma"]).contains("mass: 1.234 kg"));
    assert!(out(&["import", &path, "--decimal", "point"]).contains("mass: 1234 kg"));
}

/// Random bytes and random tables: read or refused, never worse.
#[test]
fn no_text_breaks_the_reader() {
    use proptest::strategy::{Strategy, ValueTree};
    use proptest::test_runner::TestRunner;
    let folder = Folder::new();
    let path = folder.path("x.csv");
    let mut runner = TestRunner::deterministic();
    let cell = "(name|mass|kg|id|held|contents|requires|total|[0-9]{1,4}[.,][0-9]{1,3}|[a-z]{0,3}|[\"' ;=x%-]{0,3}|\\PC{0,4})";
    let text = proptest::collection::vec(proptest::collection::vec(cell, 1..6), 0..12);
    let table = text.prop_map(|rows| {
        rows.iter().map(|r| r.join(";")).collect::<Vec<_>>().join("\n").into_bytes()
    });
    let bytes = proptest::collection::vec(proptest::prelude::any::<u8>(), 0..200);
    for round in 0..400 {
        let bytes = match round % 4 {
            0 => bytes.new_tree(&mut runner).unwrap().current(),
            1 => {
                let mut text = b"id;name;mass (kg);contents;requires;uses\n".to_vec();
                text.extend(table.new_tree(&mut runner).unwrap().current());
                text
            }
            _ => table.new_tree(&mut runner).unwrap().current(),
        };
        std::fs::write(&path, bytes).unwrap();
        tumpline::kit::import(&path, &tumpline::kit::Asked::default());
    }
}

#[cfg(not(feature = "spreadsheets"))]
#[test]
fn a_build_without_workbooks_says_so() {
    for args in [
        &["split", "kits/day-walk/day-walk.move.yaml", "-f", "xlsx", "-o", "x.xlsx"][..],
        &["list", RELAY, "-f", "xlsx", "-o", "x.xlsx"],
    ] {
        let told = err(args, 2);
        assert!(told.contains("this build has no spreadsheets"), "{told}");
    }
    let folder = Folder::new();
    folder.write("x.xlsx", b"PK\x03\x04");
    let told = err(&["import", &folder.at("x.xlsx")], 3);
    assert!(told.contains("this build has no spreadsheets"), "{told}");
}
