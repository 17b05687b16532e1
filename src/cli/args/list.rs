//! `tumpline list`.

use super::{CODES, Looks};
use crate::report::Format;
use crate::report::list::{Of, columns};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

fn after() -> String {
    let names = |of| columns(of).iter().map(|c| c.name).collect::<Vec<_>>().join(", ");
    format!(
        "Columns of equipment: {}\n\nColumns of carriers: {}\n\n{CODES}",
        names(Of::Equipment),
        names(Of::Carriers)
    )
}

#[derive(Debug, Args)]
#[command(after_long_help = after())]
pub(crate) struct List {
    /// An equipment file, a carriers file, the folder of a kit or a move order
    #[arg(value_name = "PATH")]
    pub path: PathBuf,

    /// Of what there is both of, equipment or carriers alone
    #[arg(long, value_name = "KIND", value_enum)]
    pub only: Option<OfChoice>,

    /// The form of the list
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: ListFormat,

    /// These columns in this order, as in `id,name,mass`
    ///
    /// `--columns help` says what each of them means. By default tables and
    /// Markdown have a few, the other forms all of them.
    #[arg(long, value_name = "NAMES")]
    pub columns: Option<String>,

    /// Sort by a column; `-mass` sorts by mass with the largest first
    #[arg(long, value_name = "COLUMN", allow_hyphen_values = true)]
    pub sort: Option<String>,

    /// Only items with this tag; may be given several times
    #[arg(long, value_name = "TAG")]
    pub tag: Vec<String>,

    /// Write the list to a file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    #[command(flatten)]
    pub looks: Looks,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum OfChoice {
    /// Items
    Equipment,
    /// People and vehicles
    Carriers,
}

impl From<OfChoice> for Of {
    fn from(choice: OfChoice) -> Of {
        match choice {
            OfChoice::Equipment => Of::Equipment,
            OfChoice::Carriers => Of::Carriers,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum ListFormat {
    /// For the terminal
    #[default]
    Table,
    /// For programs
    Json,
    /// For spreadsheets; `tumpline import` reads it back
    Csv,
    /// For a page or a ticket
    Markdown,
    /// A workbook for spreadsheets; `tumpline import` reads it back
    Xlsx,
}

impl ListFormat {
    /// The form, if it is one of text.
    pub fn text(self) -> Option<Format> {
        match self {
            ListFormat::Table => Some(Format::Table),
            ListFormat::Json => Some(Format::Json),
            ListFormat::Csv => Some(Format::Csv),
            ListFormat::Markdown => Some(Format::Markdown),
            ListFormat::Xlsx => None,
        }
    }
}
