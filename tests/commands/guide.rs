//! `tumpline guide`: the pages of the guide on a terminal.

fn out(args: &[&str], vars: &[(&str, &str)]) -> String {
    let mut command = assert_cmd::Command::cargo_bin("tumpline").unwrap();
    command.args(args).env_clear().env("LANG", "C.UTF-8").envs(vars.iter().copied());
    let done = command.assert().success().stderr("");
    String::from_utf8(done.get_output().stdout.clone()).unwrap()
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
    let mut command = assert_cmd::Command::cargo_bin("tumpline").unwrap();
    let done = command.args(["guide", "mustr"]).env_clear().assert().code(2).stdout("");
    let err = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(err.contains("a similar value exists: 'muster'"), "{err}");
    assert!(err.contains("spreadsheets"), "{err}");
}

#[test]
fn shells_complete_topics_and_the_manual_has_the_command() {
    for shell in ["bash", "fish", "zsh"] {
        let script = out(&["completions", shell], &[]);
        assert!(script.contains("guide") && script.contains("spreadsheets"), "{shell}");
    }
    assert!(out(&["man", "guide"], &[]).contains("tumpline\\-guide"));
}
