//! Replays the fuzzing corpus on stable, so that what once broke stays fixed.

#[path = "fuzz/entries.rs"]
mod entries;

use std::fs;
use std::path::PathBuf;

fn replay(target: &str, entry: fn(&[u8])) {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(target);
    let mut files: Vec<PathBuf> =
        fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "no corpus in {}", folder.display());
    for file in files {
        println!("{}", file.display());
        entry(&fs::read(&file).unwrap());
    }
}

#[test]
fn quantities() {
    replay("quantities", entries::quantities);
}

#[test]
fn reading() {
    replay("reading", entries::reading);
}
