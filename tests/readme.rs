//! The README tells the truth: its output is what the command prints, and it
//! explains every key.
//!
//! To write the output anew after a change of the reports or the optimiser:
//! `TUMPLINE_WRITE_README=1 cargo test --test readme`.

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

const START: &str = "<!-- output: tumpline split kits/ridge-relay/ridge.move.yaml -->\n```text\n";
const END: &str = "```\n<!-- end of output -->\n";

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn readme() -> String {
    std::fs::read_to_string(path("README.md")).unwrap()
}

#[test]
fn the_output_shown_is_what_the_first_command_prints() {
    let done = assert_cmd::Command::cargo_bin("tumpline")
        .unwrap()
        .args(["split", "kits/ridge-relay/ridge.move.yaml"])
        .env_clear()
        .env("LANG", "C.UTF-8")
        .current_dir(path(""))
        .assert()
        .code(0)
        .stderr("");
    let printed = String::from_utf8(done.get_output().stdout.clone()).unwrap();
    let readme = readme();
    let (before, rest) = readme.split_once(START).expect("a block of output");
    let (shown, after) = rest.split_once(END).expect("its end");
    if std::env::var_os("TUMPLINE_WRITE_README").is_some() {
        let fresh = format!("{before}{START}{printed}{END}{after}");
        std::fs::write(path("README.md"), fresh).unwrap();
        return;
    }
    assert!(shown == printed, "stale, see the top of this file; printed:\n{printed}");
}

#[test]
fn every_key_is_explained() {
    let readme = readme();
    let told = words(&readme);
    for kind in ["equipment", "carriers", "move", "plan"] {
        let text = std::fs::read_to_string(path(&format!("kits/schema/{kind}.schema.json")));
        let mut keys = BTreeSet::new();
        collect(&serde_json::from_str(&text.unwrap()).unwrap(), &mut keys);
        assert!(keys.len() > 5, "{kind}: {keys:?}");
        let missing: Vec<_> = keys.iter().filter(|k| !told.contains(k.as_str())).collect();
        assert!(missing.is_empty(), "{kind}: the README does not explain {missing:?}");
    }
}

/// The words in code spans, those in fenced blocks left out.
fn words(text: &str) -> BTreeSet<&str> {
    let prose = text.split("```").step_by(2);
    let spans = prose.flat_map(|p| p.split('`').skip(1).step_by(2));
    let word = |c: char| !c.is_ascii_alphanumeric() && c != '-' && c != '_';
    spans.flat_map(|s| s.split(word)).filter(|w| !w.is_empty()).collect()
}

/// The names of all properties, at any depth.
fn collect(schema: &Value, keys: &mut BTreeSet<String>) {
    match schema {
        Value::Object(object) => {
            for (name, value) in object {
                if let ("properties", Some(fields)) = (name.as_str(), value.as_object()) {
                    keys.extend(fields.keys().cloned());
                }
                collect(value, keys);
            }
        }
        Value::Array(list) => list.iter().for_each(|v| collect(v, keys)),
        _ => {}
    }
}
