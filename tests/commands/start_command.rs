//! `tumpline start`: a first kit that reads and has a plan at once, whatever
//! the flags; nothing is overwritten, and a kit is there whole or not at all.

use assert_cmd::Command;
use std::fs;
use std::path::{Path, PathBuf};

fn tumpline(args: &[&str], folder: &Path) -> Command {
    let mut command = Command::cargo_bin("tumpline").unwrap();
    command.args(args).env_clear().current_dir(folder);
    command
}

/// The files in a folder, those that are hidden too, by name.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut all: Vec<_> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    all.sort();
    all
}

fn move_of(folder: &Path) -> PathBuf {
    let name = names(folder).into_iter().find(|n| n.ends_with(".move.yaml")).unwrap();
    folder.join(name)
}

#[test]
fn every_kit_reads_and_has_a_plan_at_once() {
    let base = tempfile::tempdir().unwrap();
    let mut kits = 0;
    for people in 1..=6 {
        for (units, vehicle) in [("metric", "--vehicle"), ("imperial", "--no-vehicle")] {
            let (folder, people) = (format!("kit-{people}-{units}"), people.to_string());
            let args = ["start", &folder, "--people", &people, "--units", units, vehicle];
            tumpline(&args, base.path()).assert().success().stderr("");
            tumpline(&["check", &folder], base.path()).assert().success().stderr("");
            tumpline(&["tidy", "--check", &folder], base.path()).assert().success();
            let order = move_of(&base.path().join(&folder));
            let done =
                tumpline(&["split", order.to_str().unwrap()], base.path()).assert().success();
            let out = String::from_utf8_lossy(&done.get_output().stdout).into_owned();
            assert!(out.contains("Needs met: 6 of 6") && out.contains("guidance"), "{out}");
            let unit = if units == "metric" { "kg" } else { "lb" };
            assert!(out.contains(&format!(" {unit}  ")), "{out}");
            kits += 1;
        }
    }
    assert_eq!(names(base.path()).len(), kits);
}

#[test]
fn the_files_teach_the_format() {
    let base = tempfile::tempdir().unwrap();
    tumpline(&["start", "kit"], base.path()).assert().success();
    let folder = base.path().join("kit");
    let text: String =
        names(&folder).iter().map(|n| fs::read_to_string(folder.join(n)).unwrap()).collect();
    assert!(text.contains("Invented") && text.contains("no promise"));
    assert!(!text.to_lowercase().contains("a safe") && !text.contains(['«', '»']), "{text}");
    // Every key of the three kinds of file stands somewhere, if in a remark.
    let word = |key: &str| {
        text.match_indices(key).any(|(i, _)| {
            let end = text[i + key.len()..].chars().next();
            let start = text[..i].chars().last();
            end == Some(':') && start.is_none_or(|c| " {\n`(".contains(c))
        })
    };
    for kind in ["equipment", "carriers", "move"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("kits/schema");
        let schema = fs::read_to_string(path.join(format!("{kind}.schema.json"))).unwrap();
        let mut keys = Vec::new();
        collect(&serde_json::from_str(&schema).unwrap(), &mut keys);
        for key in keys {
            // Ways of a person's slots, and the count of `fixed`: not commonly used.
            let rare = ["chest", "belt", "count", "of"];
            assert!(
                rare.contains(&key.as_str()) || word(&key) || text.contains(&format!("`{key}: ")),
                "{kind}: {key}"
            );
        }
    }
}

fn collect(schema: &serde_json::Value, keys: &mut Vec<String>) {
    match schema {
        serde_json::Value::Object(object) => {
            for (name, value) in object {
                if let ("properties", Some(fields)) = (name.as_str(), value.as_object()) {
                    keys.extend(fields.keys().cloned());
                }
                collect(value, keys);
            }
        }
        serde_json::Value::Array(list) => list.iter().for_each(|v| collect(v, keys)),
        _ => {}
    }
}

#[test]
fn nothing_is_overwritten() {
    for name in ["equipment.yaml", "carriers.yaml", "README.md", "up.move.yaml"] {
        let base = tempfile::tempdir().unwrap();
        fs::write(base.path().join(name), "mine").unwrap();
        fs::write(base.path().join("other"), "mine too").unwrap();
        let done =
            tumpline(&["start", ".", "--name", "Up"], base.path()).assert().code(2).stdout("");
        let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
        assert!(err.contains(name) && err.contains("nothing was written"), "{err}");
        assert_eq!(names(base.path()).len(), 2);
        assert_eq!(fs::read_to_string(base.path().join(name)).unwrap(), "mine");
        // Beside other files there is room.
        fs::remove_file(base.path().join(name)).unwrap();
        tumpline(&["start", ".", "--name", "Up"], base.path()).assert().success();
        assert_eq!(names(base.path()).len(), 5);
    }
}

#[test]
fn what_cannot_be_is_told_with_what_is_allowed() {
    let base = tempfile::tempdir().unwrap();
    for (flags, told) in [
        (&["--people", "0"][..], "1 to 6"),
        (&["--people", "three"], "1 to 6"),
        (&["--units", "feet"], "imperial"),
        (&["--body-mass", "75"], "unit"),
        (&["--body-mass", "9 kg"], "from 20 kg"),
        (&["--limit", "0 %"], "up to 100 %"),
        (&["--limit", "4,2 kg"], "comma"),
        (&["--name", "a\nb"], "on one line"),
        (&["--vehicle", "--no-vehicle"], "cannot be used with"),
    ] {
        let args = [&["start", "kit"], flags].concat();
        let done = tumpline(&args, base.path()).assert().code(2).stdout("");
        let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
        assert!(err.contains(told), "{flags:?}: {err}");
        assert!(names(base.path()).is_empty());
    }
    fs::write(base.path().join("file"), "").unwrap();
    tumpline(&["start", "file/kit"], base.path()).assert().code(74).stdout("");
    tumpline(&["start", "file"], base.path()).assert().code(74).stdout("");
    assert_eq!(names(base.path()), ["file"]);
}

#[test]
fn a_limit_that_is_too_low_is_said_to_be() {
    let base = tempfile::tempdir().unwrap();
    let done = tumpline(&["start", "kit", "--limit", "5 kg"], base.path()).assert().success();
    let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(err.contains("no plan was found"), "{err}");
}
