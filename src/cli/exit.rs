//! What the process returns: the one place where outcomes become numbers.

use crate::split::{Answer, Outcome, Status};
use std::fmt;
use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

/// For `--help` and the man page.
pub(super) const CODES: &str = "\
Exit codes:
  0   a plan, proven best or within the gap asked for; all is in order
  1   no plan exists; stores are not in order; with `tidy --check`, a file is
      not tidy
  2   the command line is wrong
  3   a file is wrong
  4   stopped before it had what was asked: no plan was found in the time
      given, or the plan found may be further from the best than `--gap`
  70  a bug in tumpline
  74  a file could not be read or written";

/// The exit codes, as in `--help`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Code {
    /// What was asked for is there, or in order.
    Ok = 0,
    /// No plan exists, or something is not in order.
    No = 1,
    /// The command line is wrong.
    Usage = 2,
    /// A file is wrong.
    BadInput = 3,
    /// Stopped before it had what was asked.
    Limit = 4,
    /// A bug in tumpline.
    Bug = 70,
    /// A file could not be read or written.
    Io = 74,
}

impl From<Code> for ExitCode {
    fn from(code: Code) -> ExitCode {
        ExitCode::from(code as u8)
    }
}

impl Code {
    pub(super) fn of(answer: &Answer) -> Code {
        match &answer.outcome {
            Outcome::Plan(planned) => match planned.status {
                Status::ProvenBest | Status::WithinGap => Code::Ok,
                Status::Feasible => Code::Limit,
            },
            Outcome::NoPlan(_) => Code::No,
            Outcome::NoneFound => Code::Limit,
        }
    }
}

/// Why a command came to nothing.
#[derive(Debug)]
pub(super) enum Failure {
    /// The command line asks for something that makes no sense.
    Usage(String),
    /// Faults in the files, rendered for the terminal.
    Input(String),
    /// A file could not be read, rendered for the terminal.
    Unread(String),
    /// Writing failed; no path means standard output.
    Write { path: Option<PathBuf>, error: io::Error },
    /// Something of ours did not pass its own check.
    Bug(String),
}

impl Failure {
    pub(super) fn code(&self) -> Code {
        match self {
            Failure::Usage(_) => Code::Usage,
            Failure::Input(_) => Code::BadInput,
            Failure::Unread(_) | Failure::Write { .. } => Code::Io,
            Failure::Bug(_) => Code::Bug,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Usage(text) => write!(f, "error: {text}"),
            Failure::Input(text) | Failure::Unread(text) => f.write_str(text.trim_end()),
            Failure::Write { path: Some(path), error } => {
                let path = tumpline_core::text::clean(&path.display().to_string());
                write!(f, "error: `{path}` could not be written: {error}")
            }
            Failure::Bug(what) => {
                write!(f, "error: this is a bug in tumpline, please report it: {what}")
            }
            Failure::Write { path: None, error } => {
                write!(f, "error: standard output could not be written: {error}")
            }
        }
    }
}
