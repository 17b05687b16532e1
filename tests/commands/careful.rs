//! What must not go wrong unseen: files that are there are not written over,
//! counts are booked to what was counted, numbers are not guessed.

use crate::common::folder::Folder;

const STORES: &str = "\
stores: Hut
equipment:
  - {id: kit, name: Kit, mass: 1 kg, held: 2, contents: {pin: 3}}
  - {id: kit-b, name: Kit 2, mass: 1 kg, contents: {pin: 5}}
  - {id: lamp, name: Lamp, mass: 500 g, held: 4}
  - {id: lamp-2, name: Lamp, mass: 700 g}
  - {id: meal, name: Meal, mass: 400 g, held: 4}
holdings:
  - {id: meal, shelf: 2, issued: {hill hut: 2}}
";

/// What is said on standard output and error; the code has to be this.
fn run(folder: &Folder, code: i32, args: &[&str]) -> String {
    let done = folder.run(args).code(code);
    done.out + &done.err
}

/// The stores after a count was written into them, or what was said against it.
fn counted(rows: &str, code: i32) -> (String, String) {
    let folder = Folder::with("stores.yaml", STORES).and("count.csv", rows);
    let args = ["muster", ".", "--count", "count.csv", "--write", "--yes", "--by", "Ines"];
    let said = run(&folder, code, &args);
    (folder.read("stores.yaml"), said)
}

#[test]
fn a_number_after_an_id_is_which_of_them_and_no_part_of_a_name() {
    let (stores, said) = counted("item,case,counted\npin,kit 2,1\n", 1);
    assert!(stores.contains("case: kit 2"), "{stores}{said}");
    // A name that ends in a number, where no id says otherwise.
    let (stores, said) = counted("item,case,counted\npin,Kit-B,4\n", 1);
    assert!(stores.contains("kit-b"), "{stores}{said}");
}

#[test]
fn who_could_be_meant_twice_is_asked_after() {
    for rows in [
        // Item and name disagree, as where one column was sorted.
        "item,name,counted\nmeal,Lamp,1\n",
        // Two have this name.
        "name,counted\nLAMP,1\n",
    ] {
        let (stores, said) = counted(rows, 3);
        assert_eq!(stores, STORES, "{said}");
        assert!(said.contains("count.csv:2:"), "{said}");
    }
    // They agree: any case of letters, and an id.
    let (stores, said) = counted("item,name,where,counted\nmeal,MEAL,shelf,1\n", 1);
    assert!(stores.contains("shelf: 1"), "{stores}{said}");
}

#[test]
fn a_holder_is_the_one_written_down_already() {
    let (stores, said) = counted("item,where,to,counted\nmeal,issued,Hill Hut,1\n", 1);
    assert!(stores.contains("{hill hut: 1}"), "{stores}{said}");
}

#[test]
fn no_report_is_written_over_a_file_of_a_kit() {
    let folder = Folder::with("stores.yaml", STORES);
    for name in ["other.move.yaml", "weighed.yml", "stores.journal.csv", "stores.yaml.lock"] {
        folder.write(name, "precious");
        let said = run(&folder, 2, &["muster", ".", "--no-moves", "-o", name]);
        assert!(said.contains("is a file of a kit"), "{said}");
        assert_eq!(folder.read(name), "precious");
    }
    // A form that was filled in is not made blank again.
    folder.write("count.csv", "filled in");
    let said = run(&folder, 2, &["muster", ".", "--blank-count", "-o", "count.csv"]);
    assert!(said.contains("there already"), "{said}");
    assert_eq!(folder.read("count.csv"), "filled in");
}

#[test]
fn a_point_before_three_digits_is_not_guessed_where_it_may_part_thousands() {
    let folder = Folder::new();
    for text in ["Name;Mass (g)\nRope;1.200\n", "Name,Mass (g)\nRope,1.200\n"] {
        folder.write("s.csv", text);
        let said = run(&folder, 3, &["import", "s.csv"]);
        assert!(said.contains("T1006"), "{said}");
        let said = run(&folder, 0, &["import", "s.csv", "--decimal", "comma"]);
        assert!(said.contains("mass: 1.2 kg"), "{said}");
    }
    folder.write("s.csv", "Name,Mass (kg)\nRope,1.200\n");
    assert!(run(&folder, 0, &["import", "s.csv"]).contains("mass: 1.2 kg"));
}
