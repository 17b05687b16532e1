//! Faults of stores files and of sheets of counts, told all in one run.

use super::{ITEMS, stores};
use crate::common::folder::Folder;
use insta::assert_snapshot;

/// What is said, without the folder.
fn told(folder: &Folder, args: &[&str]) -> String {
    let done = folder.muster(args);
    assert_eq!((done.code, done.out.as_str()), (3, ""), "{}", done.err);
    done.err.replace(&format!("{}/", folder.here().display()), "")
}

#[test]
fn a_stores_file() {
    let folder = stores(
        "scale: {lmap: 3, tape: 2, rope: -1}
holdings:
  - {id: lamp, held: four, shelf: 4}
  - {id: lamp, shelf: 4}
  - {id: rope, shelf: 2, issued: {' ann': 1}, on-loan: {club: 100001}}
  - {id: ropes, shelf: 2}
cases:
  - {case: bog, found: {lead: 1}}
  - {case: pouch, found: {tape: 1}}
  - {case: pouch 3, found: {tape: 1}}
  - {case: bag / lead, found: {tape: 1}}
  - {case: bag / pouch 2, found: {tape: 1}}
  - {case: bag, found: {leads: 1}}
  - {case: bag 1, found: {lead: 1}}
  - {case: pouch 1, found: {bag: 1}}
  - {case: pouch 2, found: {pouch: 1}}
",
    );
    assert_snapshot!("stores_meaning", told(&folder, &[]));
    folder.write(
        "stores.yaml",
        "stores: x\nequipment: []\nshelf: 3\nholdings: [{id: lamp, shelves: 4, issued: 3}]\ncases: [{found: {}}]\n",
    );
    assert_snapshot!("stores_structure", told(&folder, &[]));
    folder.write("stores.yaml", ITEMS);
    assert!(told(&folder, &[]).contains("this is no stores file"));
    folder.write("stores.yaml", "stores: x\nequipment: none.yaml\n");
    assert_eq!(folder.muster(&[]).code, 74);
    std::fs::remove_file(folder.path("stores.yaml")).unwrap();
    let done = folder.muster(&[]);
    assert_eq!(done.code, 74);
    assert!(
        done.err.contains("no `stores.yaml`") && done.err.contains("two lines"),
        "{}",
        done.err
    );
    // Those two lines are enough.
    folder.write("equipment.yaml", ITEMS);
    folder.write("stores.yaml", "stores: NAME\nequipment: equipment.yaml\n");
    assert_eq!(folder.muster(&[]).code, 0);
}

#[test]
fn a_sheet_of_counts() {
    let folder = stores("holdings: [{id: lamp, held: 4, shelf: 1, issued: {ann: 1, bo: 2}}]\n");
    folder.write(
        "count.csv",
        "item,where,to,case,counted,by,note,shelves
lmap,,,,3,,,
lamp,,,,3.5,,,
lamp,shlef,,,3,,,
lamp,held,,,3,,,
lamp,issued,,,3,,,
rope,on loan,,,3,,,
rope,shelf,club,,3,,,
,,,,3,,,
tape,,,,3,,,
tape,shelf,,bag / pouch,3,,,
tape,,,pouch,3,,,
tape,,,pouch 4,3,,,
tape,,,puoch 1,3,,,
bag,,,pouch 1,1,,,
rope,,,,1,,,
rope,shelf,,,2,,,
rope,,,,100001,,,
lead,,,,1,,,,oops, a comma
",
    );
    assert_snapshot!("count_meaning", told(&folder, &["--count", "@count.csv"]));
    for (name, text) in [
        ("count_no_columns", "thing;number;number\nlamp;3;3\n"),
        ("count_quote", "item,counted,note\nlamp,3,\"so far\nrope,2,\n"),
    ] {
        folder.write("count.csv", text);
        assert_snapshot!(name, told(&folder, &["--count", "@count.csv"]));
    }
    folder.write("count.csv", "");
    assert!(told(&folder, &["--count", "@count.csv"]).contains("the sheet is empty"));
    std::fs::write(folder.path("count.csv"), b"item,counted\nlamp,\xff\n").unwrap();
    assert!(told(&folder, &["--count", "@count.csv"]).contains("not UTF-8"));
    let done = folder.muster(&["--count", "@none.csv"]);
    assert_eq!(done.code, 74);
}

/// A case that is written down cannot be counted away.
#[test]
fn what_is_written_of_a_case_is_not_lost() {
    let folder = stores("cases: [{case: bag / pouch, found: {tape: 1}}]\n");
    folder.write("count.csv", "item,case,counted\npouch,bag,0\n");
    let told = told(&folder, &["--count", "@count.csv"]);
    assert!(
        told.contains("count.csv:2:11") && told.contains("take that entry out first"),
        "{told}"
    );
}

/// Whatever a sheet holds, it is read or refused.
#[test]
fn torn_sheets_do_not_make_it_stumble() {
    let folder = stores("");
    let whole = "item,where,to,case,counted,by,note\n\"lamp\",shelf,,,\"3\",Mo,\"a \"\"b\"\"\n c\"\ntape,,,bag 1 / pouch 1,2,Mo,ü\n";
    for cut in (0..whole.len()).filter(|i| whole.is_char_boundary(*i)) {
        for text in [whole[..cut].to_string(), format!("{}\"{}", &whole[..cut], &whole[cut..])] {
            folder.write("count.csv", &text);
            let done = folder.muster(&["--count", "@count.csv"]);
            assert!(matches!(done.code, 0 | 1 | 3), "{text:?}: {}", done.err);
        }
    }
    for text in [
        "\0\0,\n",
        "item,counted\n,,,,,,\n",
        "\"",
        "item\u{0},counted\nlamp,1\n",
        "item;counted,x\nlamp;1\n",
    ] {
        folder.write("count.csv", text);
        let done = folder.muster(&["--count", "@count.csv"]);
        assert!(!matches!(done.code, 70), "{text:?}");
        assert!(!done.err.contains('\0'));
    }
}

/// Whatever the numbers, nothing takes long and nothing overflows.
#[test]
fn large_stores_and_sheets_are_read_or_refused() {
    let started = std::time::Instant::now();
    let folder = stores("holdings: [{id: pouch, held: 10001, shelf: 0}]\n");
    assert!(told(&folder, &[]).contains("more than 10000 cases"));
    let folder = stores("cases: [{case: bag, found: {pouch: 100000}}]\n");
    assert!(told(&folder, &[]).contains("more than 10000 cases"));
    // Cases in cases in cases.
    let chain: String = (0..60)
        .map(|n| format!("  - {{id: c{n}, mass: 1 kg, contents: {{c{}: 1}}}}\n", n + 1))
        .collect();
    let folder = stores("");
    folder.write("stores.yaml", format!("stores: x\nequipment:\n{chain}"));
    assert!(told(&folder, &[]).contains("30 inside each other"));
    // More of it than can be added up.
    let folder = stores("");
    let heavy = "stores: x\nequipment: [{id: a, mass: 100 t, held: 1}]\nholdings: [{id: a, held: 100000, shelf: 3}]\n";
    folder.write("stores.yaml", heavy);
    assert!(told(&folder, &[]).contains("too heavy"));
    let many = "equipment:\n  - {id: cell, mass: 1 g, held: 1, supplies: {power: 100000 kWh}}\n  - {id: bag, mass: 1 kg, contents: {cell: 1}}\n";
    folder.write(
        "stores.yaml",
        format!("stores: x\n{many}cases: [{{case: bag, found: {{cell: 100000}}}}]\n"),
    );
    folder.write("x.move.yaml", format!("move: x\n{many}carriers: {{people: [{{id: ann, limit: 9 kg}}]}}\nparties: {{up: {{travel: foot, who: [ann]}}}}\n"));
    let done = folder.muster(&[]);
    assert_eq!(done.code, 4, "{}{}", done.out, done.err);
    assert!(done.out.contains("too much to work with"), "{}", done.out);
    // Long sheets, of which nothing is right.
    let folder = stores("");
    for row in ["x,1,y\n", "tape,1,pouch 9\n", "lamp,1,\n", "\"\",1,\n"] {
        folder.write("count.csv", format!("item,counted,case\n{}", row.repeat(120_000)));
        let done = folder.muster(&["--count", "@count.csv"]);
        assert_eq!(done.code, 3, "{row}");
    }
    assert!(started.elapsed() < std::time::Duration::from_secs(60), "{:?}", started.elapsed());
}
