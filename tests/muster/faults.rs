//! Faults of stores files and of sheets of counts, told all in one run.

use super::{Folder, ITEMS};
use insta::assert_snapshot;
use tumpline::cli::Code;

/// What is said, without the folder.
fn told(folder: &Folder, args: &[&str]) -> String {
    let done = folder.muster(args);
    assert_eq!((done.code, done.out.as_str()), (Code::BadInput, ""), "{}", done.err);
    done.err.replace(&format!("{}/", folder.0.path().display()), "")
}

#[test]
fn a_stores_file() {
    let folder = Folder::new(
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
    assert_eq!(folder.muster(&[]).code, Code::Io);
    std::fs::remove_file(folder.path("stores.yaml")).unwrap();
    let done = folder.muster(&[]);
    assert_eq!(done.code, Code::Io);
    assert!(done.err.contains("stores.yaml"), "{}", done.err);
}

#[test]
fn a_sheet_of_counts() {
    let folder =
        Folder::new("holdings: [{id: lamp, held: 4, shelf: 1, issued: {ann: 1, bo: 2}}]\n");
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
    assert_eq!(done.code, Code::Io);
}

/// A case that is written down cannot be counted away.
#[test]
fn what_is_written_of_a_case_is_not_lost() {
    let folder = Folder::new("cases: [{case: bag / pouch, found: {tape: 1}}]\n");
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
    let folder = Folder::new("");
    let whole = "item,where,to,case,counted,by,note\n\"lamp\",shelf,,,\"3\",Mo,\"a \"\"b\"\"\n c\"\ntape,,,bag 1 / pouch 1,2,Mo,ü\n";
    for cut in (0..whole.len()).filter(|i| whole.is_char_boundary(*i)) {
        for text in [whole[..cut].to_string(), format!("{}\"{}", &whole[..cut], &whole[cut..])] {
            folder.write("count.csv", &text);
            let done = folder.muster(&["--count", "@count.csv"]);
            assert!(
                matches!(done.code, Code::Ok | Code::No | Code::BadInput),
                "{text:?}: {}",
                done.err
            );
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
        assert!(!matches!(done.code, Code::Bug), "{text:?}");
        assert!(!done.err.contains('\0'));
    }
}
