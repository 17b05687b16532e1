//! `tumpline guide`: the pages of the guide on a terminal.

use crate::common::folder::{Done, program, root, tumpline};

fn out(args: &[&str], vars: &[(&str, &str)]) -> String {
    let mut command = program(&root(), args);
    Done::of(command.envs(vars.iter().copied())).code(0).err("").out
}

#[test]
fn without_a_topic_the_topics_are_listed() {
    insta::assert_snapshot!("topics", out(&["guide"], &[]));
    insta::assert_snapshot!("help_guide", out(&["guide", "--help"], &[]));
}

#[test]
fn a_page_reads_well_on_a_terminal() {
    insta::assert_snapshot!("codes", out(&["guide", "codes"], &[]));
    insta::assert_snapshot!("tidy_ascii", out(&["guide", "tidy"], &[("LANG", "C")]));
}

/// The name of a command, or another word for the same, finds the page.
#[test]
fn a_page_is_found_by_its_commands() {
    assert_eq!(out(&["guide", "import"], &[]), out(&["guide", "spreadsheets"], &[]));
    assert_eq!(out(&["guide", "check"], &[]), out(&["guide", "files"], &[]));
    assert_eq!(out(&["guide", "guide"], &[]), out(&["guide"], &[]));
    let say = out(&["guide", "say"], &[]);
    assert!(say.starts_with("How do I say …?\n") && say.contains("`- {reserve: 10 %}`"), "{say}");
    assert!(!say.contains("Caution"), "{say}");
}

#[test]
fn what_a_command_printed_is_shown_under_the_command() {
    let page = out(&["guide", "why"], &[]);
    assert!(page.contains("\n$ tumpline why kits/ridge-relay/"), "{page}");
    assert!(page.contains("\n  as planned                        17  44.41 kg"), "{page}");
}

#[test]
fn colour_is_for_those_who_want_it() {
    let coloured = out(&["--color", "always", "guide", "codes"], &[]);
    assert!(coloured.contains("\u{1b}[1mExit codes\u{1b}[0m"), "{coloured}");
    assert!(!out(&["guide", "codes"], &[("NO_COLOR", "1")]).contains('\u{1b}'));
}

#[test]
fn an_unknown_topic_is_code_2_and_says_what_was_meant() {
    let done = tumpline(["guide", "mustr"]).code(2).out("");
    done.tells("a similar value exists: 'muster'").tells("spreadsheets");
}

#[test]
fn shells_complete_topics_and_the_manual_has_the_command() {
    for shell in ["bash", "fish", "zsh"] {
        let script = out(&["completions", shell], &[]);
        assert!(script.contains("guide") && script.contains("spreadsheets"), "{shell}");
    }
    assert!(out(&["man", "guide"], &[]).contains("tumpline\\-guide"));
}
