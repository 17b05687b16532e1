//! `tumpline compare`.

use super::{CODES, Looks, Search};
use crate::report::Format;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

const CHANGES: &str = "\
Changes for `--vary`, several of them joined by `;`:
  who=ann,bo         these people go with the party on foot, and no others
  who=ridge:ann,bo   the same for the party `ridge`
  limit=90%          the limit of everybody on foot, as a share of what it was
  limit=22kg         the limit of everybody on foot
  without=a,b        none of these items is held
  with=a             one more need: an `a` goes; `with=a=3` for three

";

fn after() -> String {
    format!("{CHANGES}{CODES}")
}

#[derive(Debug, Args)]
#[command(after_long_help = after())]
pub(crate) struct Compare {
    /// Move orders, `.move.yaml` files: a column for each
    #[arg(value_name = "MOVE", required = true)]
    pub paths: Vec<PathBuf>,

    /// One more column: the first move with these changes, as in
    /// `who=ann,bo;limit=90%`; may be given several times
    #[arg(long, value_name = "CHANGES")]
    pub vary: Vec<String>,

    /// The form of the report
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: CompareFormatChoice,

    /// Write the report to a file instead of standard output
    ///
    /// The file is replaced in one step when the report is complete. If
    /// anything goes wrong, what was there before stays.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    #[command(flatten)]
    pub search: Search,

    #[command(flatten)]
    pub looks: Looks,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum CompareFormatChoice {
    /// For the terminal
    #[default]
    Table,
    /// For programs; see `tumpline schema compare`
    Json,
    /// For spreadsheets; a row for each row of the table
    Csv,
    /// For a page or a ticket
    Markdown,
}

impl From<CompareFormatChoice> for Format {
    fn from(choice: CompareFormatChoice) -> Format {
        match choice {
            CompareFormatChoice::Table => Format::Table,
            CompareFormatChoice::Json => Format::Json,
            CompareFormatChoice::Csv => Format::Csv,
            CompareFormatChoice::Markdown => Format::Markdown,
        }
    }
}
