//! `tumpline tidy`: in place, checked, or as a diff; never a faulty file.

use assert_cmd::Command;
use std::fs;
use std::path::Path;

const BAD: &str = "equipment:\n- {mass: 0.85kg, id: a}   # one\n# two\n- id: b\n  mass: 9lbs\n";
const GOOD: &str =
    "equipment:\n  - {id: a, mass: 850 g}  # one\n  # two\n  - id: b\n    mass: 9 lb\n";

fn tidy(args: &[&str], folder: &Path, code: i32) -> (String, String) {
    let mut command = Command::cargo_bin("tumpline").unwrap();
    let done = command.arg("tidy").args(args).env_clear().current_dir(folder).assert().code(code);
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (text(&done.get_output().stdout), text(&done.get_output().stderr))
}

fn kit(text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("equipment.yaml"), text).unwrap();
    folder
}

fn read(folder: &Path) -> String {
    fs::read_to_string(folder.join("equipment.yaml")).unwrap()
}

#[test]
fn a_file_is_put_in_order_once() {
    let folder = kit(BAD);
    let (out, err) = tidy(&["equipment.yaml", "."], folder.path(), 0);
    assert_eq!(
        (out.as_str(), err.as_str()),
        ("changed: equipment.yaml\n1 of 1 file changed\n", "")
    );
    assert_eq!(read(folder.path()), GOOD);
    let (out, _) = tidy(&["."], folder.path(), 0);
    assert_eq!(out, "0 of 1 file changed\n");
    let marked = kit(&format!("\u{feff}{GOOD}"));
    tidy(&["."], marked.path(), 0);
    assert_eq!(read(marked.path()), GOOD);
}

#[test]
fn check_and_diff_change_nothing() {
    let folder = kit(BAD);
    let (out, _) = tidy(&["--check", "equipment.yaml"], folder.path(), 1);
    assert_eq!(out, "not tidy: equipment.yaml\n1 of 1 file not tidy\n");
    for (args, code) in [(&["--diff", "."][..], 0), (&["--diff", "--check", "."], 1)] {
        let (out, _) = tidy(args, folder.path(), code);
        let lines = ["-- {mass: 0.85kg, id: a}   # one\n", "+  - {id: a, mass: 850 g}  # one\n"];
        assert!(lines.iter().all(|l| out.contains(l)), "{out}");
    }
    assert_eq!(read(folder.path()), BAD);
    fs::write(folder.path().join("equipment.yaml"), GOOD).unwrap();
    tidy(&["--check", "."], folder.path(), 0);
    assert_eq!(tidy(&["--diff", "."], folder.path(), 0).0, "");
}

#[test]
fn with_a_fault_anywhere_nothing_is_changed() {
    let folder = kit(BAD);
    fs::write(folder.path().join("carriers.yaml"), "people: [{id: ann}]\n").unwrap();
    let (out, err) = tidy(&["."], folder.path(), 3);
    assert!(out.is_empty() && err.contains("needs the field `limit`"), "{err}");
    assert_eq!(read(folder.path()), BAD);
    tidy(&["no-such-file.yaml"], folder.path(), 74);
}

#[cfg(unix)]
#[test]
fn links_are_followed() {
    let folder = kit(BAD);
    std::os::unix::fs::symlink("equipment.yaml", folder.path().join("link.yaml")).unwrap();
    tidy(&["link.yaml"], folder.path(), 0);
    assert!(fs::symlink_metadata(folder.path().join("link.yaml")).unwrap().is_symlink());
    assert_eq!(read(folder.path()), GOOD);
}
