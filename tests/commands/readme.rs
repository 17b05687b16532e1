//! The README tells the truth: its output is what the commands print, and it
//! explains every key.
//!
//! To write the output anew after a change of the reports or the optimiser:
//! `TUMPLINE_WRITE_README=1 cargo test --test commands readme::`.

use crate::common::folder::tumpline;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

const START: &str = "<!-- output: tumpline ";
const FENCE: &str = " -->\n```text\n";
const END: &str = "```\n<!-- end of output -->\n";

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn readme() -> String {
    std::fs::read_to_string(path("README.md")).unwrap()
}

/// Runs what a block's first line says, as in `(code 1) split MOVE`: an exit code
/// of zero if none is given. Arguments are split at blanks.
fn printed(command: &str) -> String {
    let (code, args) = match command.strip_prefix("(code ").and_then(|c| c.split_once(") ")) {
        Some((code, args)) => (code.parse().unwrap(), args),
        None => (0, command),
    };
    tumpline(args.split(' ')).code(code).err("").out
}

#[test]
fn the_output_shown_is_what_the_commands_print() {
    let readme = readme();
    let (mut fresh, mut rest, mut stale) = (String::new(), readme.as_str(), Vec::new());
    while let Some((before, block)) = rest.split_once(START) {
        let (command, block) = block.split_once(FENCE).expect("a block of output");
        let (shown, after) = block.split_once(END).expect("its end");
        let printed = printed(command);
        if shown != printed {
            stale.push(format!("{command}\n{printed}"));
        }
        fresh.push_str(&format!("{before}{START}{command}{FENCE}{printed}{END}"));
        rest = after;
    }
    fresh.push_str(rest);
    if std::env::var_os("TUMPLINE_WRITE_README").is_some() {
        std::fs::write(path("README.md"), fresh).unwrap();
        return;
    }
    assert!(stale.is_empty(), "stale, see the top of this file; printed:\n{}", stale.join("\n"));
}

#[test]
fn every_key_is_explained() {
    let readme = readme();
    let told = words(&readme);
    for kind in [
        "equipment",
        "carriers",
        "move",
        "weighed",
        "stores",
        "plan",
        "why",
        "shed",
        "compare",
        "muster",
    ] {
        let text = std::fs::read_to_string(path(&format!("kits/schema/{kind}.schema.json")));
        let mut keys = BTreeSet::new();
        collect(&serde_json::from_str(&text.unwrap()).unwrap(), &mut keys);
        assert!(keys.len() > 2, "{kind}: {keys:?}");
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
