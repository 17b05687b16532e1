//! The command line, as far as it goes without a move order.

use assert_cmd::Command;

fn tumpline(args: &[&str]) -> Command {
    let mut command = Command::cargo_bin("tumpline").unwrap();
    command.args(args).env_clear();
    command
}

fn out(args: &[&str]) -> String {
    let done = tumpline(args).assert().success().stderr("");
    String::from_utf8(done.get_output().stdout.clone()).unwrap()
}

#[test]
fn help_reads_well() {
    insta::assert_snapshot!("help", out(&["--help"]));
    // The list of commands is the same, and one golden of it is enough.
    let (long, short) = (out(&["--help"]), out(&["-h"]));
    let commands = long.split_once("Commands:\n").and_then(|(_, rest)| rest.split_once("\n\n"));
    let commands = commands.expect("a list of commands").0;
    assert!(short.contains(commands), "{short}");
    insta::assert_snapshot!("help_short", short.replace(commands, "  …"));
    insta::assert_snapshot!("help_split", out(&["split", "--help"]));
    insta::assert_snapshot!("help_sheet", out(&["sheet", "--help"]));
    insta::assert_snapshot!("help_shed", out(&["shed", "--help"]));
    insta::assert_snapshot!("help_compare", out(&["compare", "--help"]));
    insta::assert_snapshot!("help_muster", out(&["muster", "--help"]));
    insta::assert_snapshot!("help_check", out(&["check", "--help"]));
    for line in out(&["--help"]).lines().chain(out(&["split", "--help"]).lines()) {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn every_shell_gets_its_completions() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = out(&["completions", shell]);
        assert!(script.contains("tumpline") && script.contains("split"), "{shell}");
    }
}

#[test]
fn every_command_has_its_manual_page() {
    let page = out(&["man"]);
    assert!(page.contains(".TH tumpline 1"), "{page}");
    assert!(page.contains("Exit codes"), "{page}");
    for command in ["split", "shed", "compare", "muster", "check", "schema", "completions", "man"] {
        let page = out(&["man", command]);
        assert!(page.contains(&format!("tumpline\\-{command}")), "{page}");
    }
    assert!(out(&["man", "split"]).contains("\\-\\-gap"));
    tumpline(&["man", "carry"]).assert().code(2).stdout("");
}

#[test]
fn the_plan_schema_is_printed() {
    let committed = std::fs::read_to_string("kits/schema/plan.schema.json").unwrap();
    assert!(out(&["schema", "plan"]) == committed);
}

#[test]
fn a_wrong_command_line_is_code_2_and_says_what_to_write() {
    for (args, told) in [
        (&["carry"][..], "carry"),
        (&["split"], "MOVE"),
        (&["split", "x", "--time", "soon"], "as in `10s`"),
        (&["split", "x", "--time", "0"], "1 s"),
        (&["split", "x", "--gap", "0,5"], "comma"),
        (&["split", "x", "--width", "20"], "from 60 to 120"),
        (&["split", "x", "--format", "xml"], "markdown"),
        (&["completions", "cmd"], "fish"),
        (&["schema", "kit"], "equipment"),
        (&[], "Usage"),
    ] {
        let done = tumpline(args).assert().code(2).stdout("");
        let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
        assert!(err.contains(told), "{args:?}: {err}");
    }
}

#[test]
fn what_a_user_typed_cannot_act_on_the_terminal() {
    for args in [&["man", "\u{1b}[2J"][..], &["split", "x", "--time", "\u{1b}[2J"], &["\u{1b}[2J"]]
    {
        let done = tumpline(args).assert().code(2);
        assert!(!done.get_output().stderr.contains(&0x1b), "{args:?}");
    }
}

#[test]
fn colour_is_left_out_where_it_is_not_wanted() {
    let coloured = |vars: &[(&str, &str)]| {
        let done = tumpline(&["carry"]).envs(vars.iter().copied()).assert().code(2);
        done.get_output().stderr.contains(&0x1b)
    };
    assert!(!coloured(&[]));
    assert!(coloured(&[("CLICOLOR_FORCE", "1")]));
    assert!(!coloured(&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]));
}

/// `yes | head` manners: a reader that goes away is no fault of ours.
#[cfg(unix)]
#[test]
fn a_closed_pipe_ends_quietly() {
    use std::process::{Command, Stdio};
    let exe = assert_cmd::cargo::cargo_bin("tumpline");
    let mut child = Command::new(exe)
        .args(["completions", "bash"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(0));
    assert!(done.stderr.is_empty());
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_code_74() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let exe = assert_cmd::cargo::cargo_bin("tumpline");
    let done =
        std::process::Command::new(exe).args(["schema", "plan"]).stdout(full).output().unwrap();
    assert_eq!(done.status.code(), Some(74));
    assert!(String::from_utf8_lossy(&done.stderr).contains("standard output could not be written"));
}
