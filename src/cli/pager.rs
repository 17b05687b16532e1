//! Long reports go through a pager, if a person looks at them.

use super::env::Env;
use super::interrupt;
use crate::report::columns;
use std::io::{self, Write};
use std::process::{Child, Command, Stdio};

/// What became of a text.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Shown {
    /// In the pager, to the end or as far as somebody read.
    Paged,
    /// Not at all: it has to be printed. With what to say about it.
    Not(Option<String>),
}

/// Shows a text that is longer than the screen. The pager is split into words
/// as a shell would, and no shell is started.
pub(super) fn show(env: &Env, text: &str) -> Shown {
    let Some(height) = env.terminal_height.filter(|_| env.out_is_terminal) else {
        return Shown::Not(None);
    };
    let width = env.terminal_width.unwrap_or(80).max(1);
    let (Some(pager), true) = (env.pager(), lines(text, width) >= height) else {
        return Shown::Not(None);
    };
    let named = crate::kit::quoted(pager);
    let words = shell_words::split(pager).unwrap_or_default();
    let Some((program, args)) = words.split_first() else {
        return Shown::Not(Some(format!("the pager {named} cannot be read as a command")));
    };
    let mut command = Command::new(program);
    command.args(args).stdin(Stdio::piped());
    if !env.vars.contains_key("LESS") {
        // Quit if it fits after all, let colours through, leave the text there.
        command.env("LESS", "FRX");
    }
    let _held = interrupt::hold();
    match command.spawn() {
        Ok(child) => fed(child, text, &named),
        // Nobody asked for `less`: where it is not, there is nothing to say.
        Err(_) if !["TUMPLINE_PAGER", "PAGER"].iter().any(|v| env.vars.contains_key(*v)) => {
            Shown::Not(None)
        }
        Err(e) => Shown::Not(Some(format!("the pager {named} could not be started: {e}"))),
    }
}

/// How many lines of a terminal the text takes.
fn lines(text: &str, width: usize) -> usize {
    let plain = anstream::adapter::strip_str(text).to_string();
    plain.lines().map(|line| columns(line).div_ceil(width).max(1)).sum()
}

fn fed(mut child: Child, text: &str, named: &str) -> Shown {
    // Dropped at the end of the line, so that the pager sees the end.
    let written = child.stdin.take().map(|mut to| to.write_all(text.as_bytes()));
    // Whoever leaves before the end has seen what they wanted.
    let left = |e: &io::Error| e.kind() == io::ErrorKind::BrokenPipe;
    let unread = written.is_none_or(|w| w.as_ref().err().is_some_and(|e| !left(e)));
    let ended = loop {
        match child.wait() {
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            ended => break ended,
        }
    };
    // Better shown twice than not at all.
    let failed = ended.is_ok_and(|status| status.code().is_some_and(|code| code != 0));
    if unread || failed {
        return Shown::Not(Some(format!("the pager {named} failed")));
    }
    Shown::Paged
}

#[cfg(test)]
mod tests {
    use super::*;

    fn env(vars: &[(&str, &str)]) -> Env {
        Env {
            vars: vars.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect(),
            out_is_terminal: true,
            terminal_width: Some(80),
            terminal_height: Some(24),
            ..Env::default()
        }
    }

    #[test]
    fn the_first_that_is_set_decides_and_empty_is_none() {
        let xterm = ("TERM", "xterm");
        assert_eq!(env(&[xterm]).pager(), Some("less"));
        assert_eq!(env(&[("TERM", "dumb")]).pager(), None);
        assert_eq!(env(&[xterm, ("PAGER", "more -d")]).pager(), Some("more -d"));
        assert_eq!(env(&[("TUMPLINE_PAGER", ""), ("PAGER", "more")]).pager(), None);
        assert_eq!(env(&[("TUMPLINE_PAGER", "x"), ("PAGER", "")]).pager(), Some("x"));
        assert_eq!(env(&[xterm, ("PAGER", "cat")]).pager(), None);
    }

    #[test]
    fn lines_are_counted_as_a_terminal_shows_them() {
        assert_eq!(lines("a\n\nb\n", 80), 3);
        assert_eq!(lines(&"x".repeat(161), 80), 3);
        assert_eq!(lines("\u{1b}[1mabcd\u{1b}[0m\n", 4), 1);
        assert_eq!(lines("担架担架", 4), 2);
    }

    #[test]
    fn what_is_short_or_not_for_a_screen_is_not_paged() {
        let never = [("PAGER", "no-such-pager-anywhere")];
        let long = "x\n".repeat(24);
        assert_eq!(show(&env(&never), &"x\n".repeat(23)), Shown::Not(None));
        let file = Env { out_is_terminal: false, ..env(&never) };
        assert_eq!(show(&file, &long), Shown::Not(None));
        let unpaged = Env { terminal_height: None, ..env(&never) };
        assert_eq!(show(&unpaged, &long), Shown::Not(None));
    }

    #[cfg(unix)]
    #[test]
    fn a_pager_that_fails_is_told_and_one_left_early_is_fine() {
        let long = "a line of a report\n".repeat(50_000);
        let said = |pager: &str| match show(&env(&[("TUMPLINE_PAGER", pager)]), &long) {
            Shown::Not(Some(said)) => said,
            other => panic!("{pager}: {other:?}"),
        };
        assert!(said("no-such-pager-anywhere").contains("could not be started"));
        assert!(said("'unclosed").contains("cannot be read"));
        assert!(said("sh -c 'exit 127'").contains("failed"));
        assert!(said("false").contains("failed"));
        assert!(said("a\u{1b}b 'c").contains("`a\\u{1b}b 'c`"));
        // `true` reads nothing at all, and text much longer than a pipe.
        assert_eq!(show(&env(&[("PAGER", "true")]), &long), Shown::Paged);
    }

    #[cfg(unix)]
    #[test]
    fn the_pager_gets_the_text_and_the_usual_options() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("seen it");
        let pager = format!("sh -c 'echo \"$LESS\" > \"$0\"; cat >> \"$0\"' '{}'", path.display());
        let long = "x\n".repeat(30);
        assert_eq!(show(&env(&[("PAGER", &pager)]), &long), Shown::Paged);
        assert_eq!(std::fs::read_to_string(&path).unwrap(), format!("FRX\n{long}"));
    }
}
