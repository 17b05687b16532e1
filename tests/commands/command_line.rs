//! The command line, as far as it goes without a move order.

use crate::common::folder::{Done, program, root, tumpline};

fn out(args: &[&str]) -> String {
    tumpline(args).code(0).err("").out
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
    tumpline(["man", "carry"]).code(2).out("");
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
        tumpline(args).code(2).out("").tells(told);
    }
}

#[test]
fn what_a_user_typed_cannot_act_on_the_terminal() {
    for args in [&["man", "\u{1b}[2J"][..], &["split", "x", "--time", "\u{1b}[2J"], &["\u{1b}[2J"]]
    {
        let done = tumpline(args).code(2);
        assert!(!done.err.contains('\u{1b}'), "{args:?}");
    }
}

#[test]
fn colour_is_left_out_where_it_is_not_wanted() {
    let coloured = |vars: &[(&str, &str)]| {
        let mut command = program(&root(), ["carry"]);
        Done::of(command.envs(vars.iter().copied())).code(2).err.contains('\u{1b}')
    };
    assert!(!coloured(&[]));
    assert!(coloured(&[("CLICOLOR_FORCE", "1")]));
    assert!(!coloured(&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]));
}

/// `yes | head` manners: a reader that goes away is no fault of ours.
#[cfg(unix)]
#[test]
fn a_closed_pipe_ends_quietly() {
    use std::process::Stdio;
    let mut command = program(&root(), ["completions", "bash"]);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(0));
    assert!(done.stderr.is_empty());
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_code_74() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let mut command = program(&root(), ["schema", "plan"]);
    Done::of(command.stdout(full)).code(74).tells("standard output could not be written");
}
