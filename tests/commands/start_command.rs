//! `tumpline start`: a first kit that reads and has a plan at once, whatever
//! the flags; nothing is overwritten, and a kit is there whole or not at all.

use crate::common::folder::{Folder, names, root};
use std::fs;

#[test]
fn every_kit_reads_and_has_a_plan_at_once() {
    let base = Folder::new();
    let mut kits = 0;
    for people in 1..=6 {
        for (units, vehicle) in [("metric", "--vehicle"), ("imperial", "--no-vehicle")] {
            let (folder, people) = (format!("kit-{people}-{units}"), people.to_string());
            let args = ["start", &folder, "--people", &people, "--units", units, vehicle];
            base.run(args).code(0).err("");
            base.run(["check", &folder]).code(0).err("");
            base.run(["tidy", "--check", &folder]).code(0);
            let files = names(&base.path(&folder));
            let order = files.iter().find(|n| n.ends_with(".move.yaml")).unwrap();
            let out = base.run(["split", &format!("{folder}/{order}")]).code(0).out;
            assert!(out.contains("Needs met: 6 of 6") && out.contains("guidance"), "{out}");
            let unit = if units == "metric" { "kg" } else { "lb" };
            assert!(out.contains(&format!(" {unit}  ")), "{out}");
            kits += 1;
        }
    }
    assert_eq!(base.names().len(), kits);
}

#[test]
fn the_files_teach_the_format() {
    let base = Folder::new();
    base.run(["start", "kit"]).code(0);
    let files = names(&base.path("kit"));
    let text: String = files.iter().map(|name| base.read(&format!("kit/{name}"))).collect();
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
        let path = root().join("kits/schema").join(format!("{kind}.schema.json"));
        let schema = fs::read_to_string(path).unwrap();
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
        let base = Folder::with(name, "mine").and("other", "mine too");
        let done = base.run(["start", ".", "--name", "Up"]).code(2).out("");
        done.tells(name).tells("nothing was written");
        assert_eq!(base.names().len(), 2);
        assert_eq!(base.read(name), "mine");
        // Beside other files there is room.
        base.remove(name);
        base.run(["start", ".", "--name", "Up"]).code(0);
        assert_eq!(base.names().len(), 5);
    }
}

#[test]
fn what_cannot_be_is_told_with_what_is_allowed() {
    let base = Folder::new();
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
        base.run([&["start", "kit"], flags].concat()).code(2).out("").tells(told);
        assert!(base.names().is_empty());
    }
    base.write("file", "");
    base.run(["start", "file/kit"]).code(74).out("");
    base.run(["start", "file"]).code(74).out("");
    assert_eq!(base.names(), ["file"]);
}

#[test]
fn a_limit_that_is_too_low_is_said_to_be() {
    let base = Folder::new();
    base.run(["start", "kit", "--limit", "5 kg"]).code(0).tells("no plan was found");
}
