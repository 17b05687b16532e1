//! `tumpline tidy`: in place, checked, or as a diff; never a faulty file.

use crate::common::folder::{Done, Folder};

const BAD: &str = "equipment:\n- {mass: 0.85kg, id: a}   # one\n# two\n- id: b\n  mass: 9lbs\n";
const GOOD: &str =
    "equipment:\n  - {id: a, mass: 850 g}  # one\n  # two\n  - id: b\n    mass: 9 lb\n";

fn tidy(args: &[&str], folder: &Folder, code: i32) -> Done {
    folder.run([&["tidy"], args].concat()).code(code)
}

fn kit(text: &str) -> Folder {
    Folder::with("equipment.yaml", text)
}

fn read(folder: &Folder) -> String {
    folder.read("equipment.yaml")
}

#[test]
fn a_file_is_put_in_order_once() {
    let folder = kit(BAD);
    let done = tidy(&["equipment.yaml", "."], &folder, 0);
    done.out("changed: equipment.yaml\n1 of 1 file changed\n").err("");
    assert_eq!(read(&folder), GOOD);
    tidy(&["."], &folder, 0).out("0 of 1 file changed\n");
    let marked = kit(&format!("\u{feff}{GOOD}"));
    tidy(&["."], &marked, 0);
    assert_eq!(read(&marked), GOOD);
}

#[test]
fn check_and_diff_change_nothing() {
    let folder = kit(BAD);
    let done = tidy(&["--check", "equipment.yaml"], &folder, 1);
    done.out("not tidy: equipment.yaml\n1 of 1 file not tidy\n");
    for (args, code) in [(&["--diff", "."][..], 0), (&["--diff", "--check", "."], 1)] {
        let out = tidy(args, &folder, code).out;
        let lines = ["-- {mass: 0.85kg, id: a}   # one\n", "+  - {id: a, mass: 850 g}  # one\n"];
        assert!(lines.iter().all(|l| out.contains(l)), "{out}");
    }
    assert_eq!(read(&folder), BAD);
    folder.write("equipment.yaml", GOOD);
    tidy(&["--check", "."], &folder, 0);
    tidy(&["--diff", "."], &folder, 0).out("");
}

#[test]
fn with_a_fault_anywhere_nothing_is_changed() {
    let folder = kit(BAD);
    folder.write("carriers.yaml", "people: [{id: ann}]\n");
    tidy(&["."], &folder, 3).out("").tells("needs the field `limit`");
    assert_eq!(read(&folder), BAD);
    tidy(&["no-such-file.yaml"], &folder, 74);
}

#[cfg(unix)]
#[test]
fn links_are_followed() {
    let folder = kit(BAD);
    std::os::unix::fs::symlink("equipment.yaml", folder.path("link.yaml")).unwrap();
    tidy(&["link.yaml"], &folder, 0);
    assert!(std::fs::symlink_metadata(folder.path("link.yaml")).unwrap().is_symlink());
    assert_eq!(read(&folder), GOOD);
}
