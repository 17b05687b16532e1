//! `tumpline muster`.

use super::import::{EncodingChoice, SeparatorChoice};
use super::{FormatChoice, Looks};
use clap::Args;
use std::path::PathBuf;
use std::time::Duration;

const NOTES: &str = "\
Exit codes:
  0   all in order
  1   something is short or not reconciled, or a move has no plan
  2   the command line is wrong
  3   a file is wrong
  4   all in order, but whether a move has a plan was not settled in time
  70  a bug in tumpline
  74  a file could not be read or written";

#[derive(Debug, Args)]
#[command(after_long_help = NOTES)]
pub(in crate::cli) struct Muster {
    /// The folder of a kit, or its `stores.yaml`
    #[arg(value_name = "KIT")]
    pub path: PathBuf,

    /// A filled-in sheet of counts (CSV or XLSX) to compare with what is recorded
    ///
    /// The report is then as counted. Nothing is written without `--write`.
    #[arg(long, value_name = "FILE")]
    pub count: Option<PathBuf>,

    /// Write what was counted into the stores file, comments kept
    ///
    /// Each change is a line of `stores.journal.csv` beside it. Asks first on a
    /// terminal; elsewhere give `--yes`.
    #[arg(long, requires = "count")]
    pub write: bool,

    /// Write without asking
    #[arg(long, requires = "write")]
    pub yes: bool,

    /// Who counted, where the sheet does not say
    #[arg(long, value_name = "NAME", requires = "write", value_parser = somebody)]
    pub by: Option<String>,

    /// The day for the journal, as in `2026-05-31` [default: today, by UTC]
    #[arg(long, value_name = "DATE", requires = "write", value_parser = date)]
    pub on: Option<String>,

    /// Print a sheet to count with, CSV or Markdown, and nothing else
    #[arg(long, conflicts_with_all = ["count", "write", "no_moves", "moves"])]
    pub blank_count: bool,

    /// Ask this move instead of those of the folder; may be given again
    #[arg(long = "move", value_name = "MOVE")]
    pub moves: Vec<PathBuf>,

    /// Ask no move
    #[arg(long, conflicts_with = "moves")]
    pub no_moves: bool,

    /// Leave out of the table, or of Markdown, what is in order
    #[arg(long)]
    pub brief: bool,

    /// The form of the report
    #[arg(short, long, value_name = "FORMAT", value_enum)]
    pub format: Option<FormatChoice>,

    /// Write the report to a file instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// How long to look for a plan of each move, as in `10s` or `2 min`
    #[arg(long, value_name = "SPAN", default_value = "4s", value_parser = super::time)]
    pub time: Duration,

    /// Show no progress
    #[arg(short, long)]
    pub quiet: bool,

    #[command(flatten)]
    pub looks: Looks,

    // Shown after `--count`, and last here so that the others keep their places.
    /// The sheet of a workbook of counts, where several hold something
    #[arg(long, display_order = 0, value_name = "NAME", requires = "count")]
    pub sheet: Option<String>,

    /// What parts the cells of a CSV file of counts; otherwise the text tells
    #[arg(long, display_order = 0, value_name = "SIGN", value_enum, requires = "count")]
    pub separator: Option<SeparatorChoice>,

    /// How the bytes of a CSV file of counts are to be read
    #[arg(
        long,
        display_order = 0,
        value_name = "NAME",
        value_enum,
        default_value_t,
        requires = "count"
    )]
    pub encoding: EncodingChoice,
}

/// A name that is not blank.
fn somebody(text: &str) -> Result<String, String> {
    match text.trim() {
        "" => Err("write a name".into()),
        name => Ok(name.to_string()),
    }
}

/// A day of the calendar by ISO 8601.
fn date(text: &str) -> Result<String, String> {
    let wrong = || "write a day as year, month and day, as in `2026-05-31`".to_string();
    let parts: Vec<&str> = text.split('-').collect();
    let [y, m, d] = parts.as_slice() else { return Err(wrong()) };
    let digits = |t: &str, n: usize| t.len() == n && t.bytes().all(|b| b.is_ascii_digit());
    if !digits(y, 4) || !digits(m, 2) || !digits(d, 2) {
        return Err(wrong());
    }
    let number = |t: &str| t.parse::<u32>().unwrap_or(0);
    let (y, m, d) = (number(y), number(m), number(d));
    let leap = y.is_multiple_of(4) && (!y.is_multiple_of(100) || y.is_multiple_of(400));
    let days = match m {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => return Err(wrong()),
    };
    if (1..=days).contains(&d) { Ok(text.to_string()) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests {
    use super::date;

    #[test]
    fn days_that_there_are_and_others() {
        for day in ["2026-05-31", "2024-02-29", "2000-02-29", "0001-01-01"] {
            assert_eq!(date(day).as_deref(), Ok(day));
        }
        for day in ["2026-5-31", "2026-02-29", "1900-02-29", "2026-13-01", "31.5.2026", "", "-1-1"]
        {
            assert!(date(day).is_err(), "{day}");
        }
    }
}
