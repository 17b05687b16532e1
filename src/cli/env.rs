//! What a command may know of its surroundings, and what follows for its looks.

use crate::report::Style;
use clap::ValueEnum;
use std::collections::BTreeMap;
use std::io::IsTerminal;

/// Variables, terminals and their width, taken once so that tests can set them.
#[derive(Debug, Clone, Default)]
pub struct Env {
    /// Environment variables that are valid Unicode.
    pub vars: BTreeMap<String, String>,
    /// Standard output is a terminal.
    pub out_is_terminal: bool,
    /// Standard error is a terminal.
    pub err_is_terminal: bool,
    /// Somebody can be asked.
    pub in_is_terminal: bool,
    /// Columns of the terminal on standard output.
    pub terminal_width: Option<usize>,
    /// Lines of the terminal on standard output; without, nothing is paged.
    pub terminal_height: Option<usize>,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum ColourChoice {
    /// On a terminal, unless `NO_COLOR` is set or `TERM` is `dumb`
    #[default]
    Auto,
    Always,
    Never,
}

impl Env {
    /// The surroundings of this process.
    pub fn of_process() -> Env {
        let size = terminal_size::terminal_size_of(std::io::stdout());
        let size = size.map(|(width, height)| (usize::from(width.0), usize::from(height.0)));
        let vars = std::env::vars_os()
            .filter_map(|(k, v)| Some((k.into_string().ok()?, v.into_string().ok()?)));
        let out_is_terminal = std::io::stdout().is_terminal();
        Env {
            vars: vars.collect(),
            out_is_terminal,
            err_is_terminal: std::io::stderr().is_terminal(),
            in_is_terminal: std::io::stdin().is_terminal(),
            terminal_width: size.map(|(width, _)| width).filter(|_| out_is_terminal),
            terminal_height: size.map(|(_, height)| height).filter(|_| out_is_terminal),
        }
    }

    /// A variable that is set to something.
    fn var(&self, name: &str) -> Option<&str> {
        self.vars.get(name).map(String::as_str).filter(|v| !v.is_empty())
    }

    /// The flag wins over `NO_COLOR`, that over `CLICOLOR_FORCE`, and that
    /// over what the stream is.
    pub(super) fn colour(&self, choice: ColourChoice, is_terminal: bool) -> bool {
        match choice {
            ColourChoice::Always => true,
            ColourChoice::Never => false,
            ColourChoice::Auto => {
                if self.var("NO_COLOR").is_some() {
                    false
                } else if self.var("CLICOLOR_FORCE").is_some_and(|v| v != "0") {
                    true
                } else {
                    is_terminal && self.var("TERM") != Some("dumb")
                }
            }
        }
    }

    /// Whether standard error is a terminal where a line can be wiped.
    pub(super) fn can_show(&self) -> bool {
        self.err_is_terminal && self.var("TERM") != Some("dumb")
    }

    /// Whether the locale says UTF-8: the first of `LC_ALL`, `LC_CTYPE` and
    /// `LANG` that is set decides. Windows terminals take it in any case.
    fn utf8(&self) -> bool {
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"].iter().find_map(|name| self.var(name));
        match locale.map(str::to_ascii_lowercase) {
            Some(locale) => locale.contains("utf-8") || locale.contains("utf8"),
            None => cfg!(windows),
        }
    }

    /// What to show long texts with; none if nobody wants it. `TUMPLINE_PAGER`
    /// wins over `PAGER`, that over `less`; empty is none.
    pub(super) fn pager(&self) -> Option<&str> {
        let set = ["TUMPLINE_PAGER", "PAGER"].iter().find_map(|name| self.vars.get(*name));
        let dumb = self.var("TERM").is_none_or(|t| t == "dumb");
        let pager = match set {
            Some(pager) => Some(pager.trim()),
            None => (!dumb).then_some("less"),
        };
        pager.filter(|p| !p.is_empty() && *p != "cat")
    }

    /// `COLUMNS`, else what the terminal says, else 80.
    pub(super) fn columns(&self) -> usize {
        let given = self.var("COLUMNS").and_then(|c| c.parse().ok()).filter(|c| *c > 0);
        given.or(self.terminal_width).unwrap_or(80)
    }

    /// How a table looks on standard output, or in a file.
    pub(super) fn style(
        &self,
        choice: ColourChoice,
        ascii: bool,
        width: Option<usize>,
        to_file: bool,
    ) -> Style {
        Style {
            width: width.unwrap_or_else(|| if to_file { 80 } else { self.columns() }),
            colour: self.colour(choice, self.out_is_terminal && !to_file),
            unicode: !ascii && self.utf8(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn env(vars: &[(&str, &str)]) -> Env {
        let vars = vars.iter().map(|(k, v)| ((*k).to_string(), (*v).to_string())).collect();
        Env { vars, ..Env::default() }
    }

    #[test]
    fn flag_then_no_color_then_force_then_terminal() {
        use ColourChoice::{Always, Auto, Never};
        let both = env(&[("NO_COLOR", "1"), ("CLICOLOR_FORCE", "1")]);
        assert!(both.colour(Always, false));
        assert!(!both.colour(Auto, true));
        let force = env(&[("NO_COLOR", ""), ("CLICOLOR_FORCE", "1")]);
        assert!(force.colour(Auto, false));
        assert!(!force.colour(Never, true));
        assert!(!env(&[("CLICOLOR_FORCE", "0")]).colour(Auto, false));
        assert!(env(&[("TERM", "xterm")]).colour(Auto, true));
        assert!(!env(&[("TERM", "dumb")]).colour(Auto, true));
        assert!(!env(&[]).colour(Auto, false));
    }

    #[test]
    fn the_first_locale_that_is_set_decides() {
        assert!(env(&[("LANG", "en_GB.UTF-8")]).utf8());
        assert!(!env(&[("LC_ALL", "C"), ("LANG", "en_GB.UTF-8")]).utf8());
        assert!(env(&[("LC_ALL", ""), ("LC_CTYPE", "C.utf8")]).utf8());
        assert!(!env(&[("LANG", "POSIX")]).utf8());
    }

    #[test]
    fn the_width_that_was_asked_for_wins() {
        let mut env = env(&[("COLUMNS", "100")]);
        env.terminal_width = Some(90);
        let width =
            |env: &Env, width, file| env.style(ColourChoice::Auto, false, width, file).width;
        assert_eq!(width(&env, Some(72), false), 72);
        assert_eq!(width(&env, None, false), 100);
        env.vars.insert("COLUMNS".into(), "wide".into());
        assert_eq!(width(&env, None, false), 90);
        assert_eq!(width(&env, None, true), 80);
        env.terminal_width = None;
        assert_eq!(width(&env, None, false), 80);
    }
}
