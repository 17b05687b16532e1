//! The pager, on a terminal of its own: `script` (util-linux) makes one. Where
//! there is no `script`, there is nothing to run.
#![cfg(target_os = "linux")]

use crate::common::folder::{Folder, root};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

/// Code and screen of a command line on a terminal of 20 lines.
fn on_a_terminal(vars: &str, args: &str) -> Option<(i32, String)> {
    let exe = env!("CARGO_BIN_EXE_tumpline");
    let line = format!(
        "stty rows 20 cols 80; exec env -i PATH=\"$PATH\" TERM=xterm LANG=C.UTF-8 {vars} '{exe}' {args}"
    );
    let done = Command::new("script")
        .args(["-qec", &line, "/dev/null"])
        .current_dir(root())
        .env("SHELL", "/bin/sh")
        .stdin(Stdio::null())
        .output()
        .ok()?;
    Some((done.status.code()?, String::from_utf8_lossy(&done.stdout).into_owned()))
}

/// A pager that keeps what it gets.
fn keeping(path: &Path, first: &str) -> String {
    format!("TUMPLINE_PAGER=\"sh -c '{first} cat > {}'\"", path.display())
}

const LONG: &str = "split tests/impossible/reserve.move.yaml";

#[test]
fn a_long_report_goes_to_the_pager_in_colour_and_the_code_stays() {
    let folder = Folder::new();
    let path = folder.path("kept");
    let Some((code, screen)) = on_a_terminal(&keeping(&path, ""), LONG) else { return };
    assert_eq!(code, 1, "{screen}");
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{e}: {screen}"));
    assert!(text.contains("No plan exists") && text.contains("\u{1b}["), "{text}");
    assert!(!screen.contains("What cannot hold together"), "{screen}");
    let plain = format!("NO_COLOR=1 {}", keeping(&path, ""));
    on_a_terminal(&plain, LONG).unwrap();
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains("No plan exists") && !text.contains('\u{1b}'), "{text}");
}

#[test]
fn a_page_of_the_guide_goes_to_the_pager() {
    let folder = Folder::new();
    let path = folder.path("kept");
    let Some((code, screen)) = on_a_terminal(&keeping(&path, ""), "guide files") else { return };
    assert_eq!(code, 0, "{screen}");
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{e}: {screen}"));
    assert!(text.contains("emergency-limit") && text.contains("\u{1b}["), "{text}");
}

#[test]
fn ctrl_c_in_the_pager_is_the_pagers() {
    let folder = Folder::new();
    let path = folder.path("kept");
    // As often as an impatient reader: to all that share the terminal.
    let often = "trap : INT; kill -INT 0; kill -INT 0; kill -INT 0;";
    let Some((code, screen)) = on_a_terminal(&keeping(&path, often), LONG) else { return };
    assert_eq!(code, 1, "{screen}");
    assert!(fs::read_to_string(&path).unwrap().contains("No plan exists"));
}

#[test]
fn whoever_wants_no_pager_gets_none() {
    let folder = Folder::new();
    let path = folder.path("kept");
    for (vars, args) in [
        (keeping(&path, ""), format!("--no-pager {LONG}")),
        ("TUMPLINE_PAGER= PAGER=false".into(), LONG.into()),
        ("TUMPLINE_PAGER=no-such-pager-anywhere".into(), LONG.into()),
        (keeping(&path, ""), "check tests/impossible/reserve.move.yaml".into()),
    ] {
        let Some((code, screen)) = on_a_terminal(&vars, &args) else { return };
        assert_eq!(code, i32::from(args.contains("split")), "{vars}: {screen}");
        let shown = if args.contains("split") { "What cannot hold together" } else { "1 need" };
        assert!(screen.contains(shown), "{vars}: {screen}");
        assert!(!path.exists(), "{vars}");
    }
}
