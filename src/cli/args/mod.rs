//! The command line, and the help that goes with it.

mod anew;
mod compare;
mod conditions;
mod guide;
mod import;
mod list;
mod muster;
mod shed;
mod sheet;
mod start;
mod tidy;
mod why;

pub(super) use compare::Compare;
pub(super) use guide::{Guide, Topic};
pub(super) use import::{Import, cells_from};
pub(super) use list::{List, ListFormat};
pub(super) use muster::Muster;
pub(super) use shed::{ByChoice, Shed, ShedFormatChoice};
pub(super) use sheet::{Sheet, SheetFormat};
pub(super) use start::Start;
pub(super) use tidy::Tidy;

use super::env::ColourChoice;
use super::exit::CODES;
use crate::quantity::{Percent, QuantityError, Span};
use crate::report::Format;
use crate::split::Options;
use clap::{Args, Parser, Subcommand, ValueEnum};
use conditions::{Bear, Weights, told};
use std::path::PathBuf;
use std::time::Duration;
pub(super) use why::{Why, WhyFormat};

pub(super) use anew::Anew as AnewArgs;

const EXAMPLES: &str = "\
Examples:
  tumpline start my-kit
      a first kit to try and to change
  tumpline check kits/ridge-relay/ridge.move.yaml
      is everything in the files in order?
  tumpline split kits/ridge-relay/ridge.move.yaml
      who carries what, as a table
  tumpline split --time 60s --gap 0% ridge.move.yaml
      think for up to a minute, settle for nothing but the best
  tumpline split --format xlsx -o plan.xlsx ridge.move.yaml
      a workbook for a spreadsheet
  tumpline list kits/ridge-relay
      what the crew has, and who carries
  tumpline import stock.xlsx
      what a spreadsheet of stores would be as an equipment file
  tumpline sheet ridge.move.yaml -o ridge.html
      on paper: a page for the leader, a card for each person
  tumpline guide
      how to, page by page

A move order is a YAML file that names an equipment file and a carriers file.
The folders under `kits` are worked examples, `tumpline guide files` explains
every key, and `tumpline schema move` prints a JSON Schema that editors
understand.

";

fn top_help() -> String {
    format!("{EXAMPLES}{CODES}")
}

/// Who carries what: splits a crew's kit between people and vehicles
///
/// Tumpline reads what a small crew has, who goes where, and what must work
/// there. It answers who carries each thing and how, what stays, and how good
/// that plan is known to be. Limits are guidance: local rules and qualified
/// people decide.
#[derive(Debug, Parser)]
#[command(name = "tumpline", version, after_long_help = top_help(), max_term_width = 100)]
#[command(after_help = "`tumpline --help` shows examples and exit codes.")]
#[command(arg_required_else_help = true, subcommand_required = true)]
pub(super) struct Cli {
    #[command(subcommand)]
    pub command: Command,

    /// When to use colour
    #[arg(long, global = true, value_name = "WHEN", value_enum, default_value_t)]
    pub color: ColourChoice,

    /// Print long reports on the terminal at once, without a pager
    #[arg(long, global = true)]
    pub no_pager: bool,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Answer a move order: who carries what, and what stays
    Split(Box<Split>),
    /// Print a load sheet: a page for the leader, a card for each person
    Sheet(Box<Sheet>),
    /// Say why an item is where it is, and what another way would cost
    Why(Box<Why>),
    /// What goes first as limits fall or a party gets smaller
    Shed(Box<Shed>),
    /// Loadouts side by side: several moves, or one with changes
    Compare(Box<Compare>),
    /// List what the crew has and who carries
    List(List),
    /// Turn a spreadsheet into an equipment or carriers file
    Import(Box<Import>),
    /// Check the stores: what is held, short, out or broken, case by case
    Muster(Box<Muster>),
    /// Read files and report every fault in them, without answering
    Check(Check),
    /// Make a first kit: an equipment file, a carriers file, a move, a README
    Start(Start),
    /// Put keys, quantities and layout of files in order; remarks are kept
    Tidy(Tidy),
    /// Print a page of the guide, or the topics that it has
    Guide(Guide),
    /// Print the JSON Schema of a kind of file, for editors and programs
    Schema(Schema),
    /// Print a completion script for a shell
    Completions(Completions),
    /// Print the manual page, or that of one command
    Man(Man),
}

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(super) struct Split {
    /// The move order, a `.move.yaml` file
    #[arg(value_name = "MOVE")]
    pub path: PathBuf,

    /// The form of the report
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: FormatChoice,

    /// Of the rows of CSV and XLSX, these columns in this order, as in
    /// `carrier,item,count`; `--columns help` lists them
    #[arg(long, value_name = "NAMES")]
    pub columns: Option<String>,

    /// Write the report to a file instead of standard output
    ///
    /// The file is replaced in one step when the report is complete. If
    /// anything goes wrong, what was there before stays.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    #[command(flatten)]
    pub search: Search,

    /// Where no plan exists, give the reason alone
    ///
    /// Otherwise it is worked out what cannot hold together and what would make
    /// it work, in less than half of the time that is left, or in three seconds.
    #[arg(long)]
    pub no_causes: bool,

    #[command(flatten)]
    pub bear: Bear,

    /// Say on standard error what each stage of the search did
    #[arg(long)]
    pub stats: bool,

    #[command(flatten)]
    pub looks: Looks,

    #[command(flatten)]
    pub anew: AnewArgs,
}

/// How to search, for every command that answers a move.
#[derive(Debug, Args)]
pub(super) struct Search {
    /// How long to look for a better plan, as in `10s`, `2 min` or `90`
    /// [default: 10s]
    #[arg(long, value_name = "SPAN", value_parser = time)]
    pub time: Option<Duration>,

    /// How far from the best possible a plan may be, as in `0.5%`
    ///
    /// The search for each goal ends when its value is known to be this close
    /// to the best possible. With `0%` only a proven best will do.
    #[arg(long, value_name = "PERCENT", default_value = "0.5%", value_parser = gap)]
    pub gap: Percent,

    /// Another seed may lead to another plan that is as good
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub seed: u64,

    /// Show no progress
    #[arg(short, long)]
    pub quiet: bool,
}

impl Search {
    pub fn options(&self) -> Options {
        let time = self.time.unwrap_or(Duration::from_secs(10));
        Options { time, gap: self.gap, seed: self.seed }
    }
}

/// How a table looks.
#[derive(Debug, Args)]
pub(super) struct Looks {
    /// Draw the table in ASCII alone; names are printed as they are
    #[arg(long)]
    pub ascii: bool,

    /// Columns of the table, from 60 to 120
    #[arg(long, value_name = "COLUMNS", value_parser = width)]
    pub width: Option<usize>,
}

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(super) struct Check {
    /// Move orders, equipment files or carriers files, or folders of them
    #[arg(value_name = "PATH", required = true)]
    pub paths: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct Schema {
    /// The kind of file
    #[arg(value_name = "KIND", value_enum)]
    pub kind: SchemaKind,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SchemaKind {
    /// A catalogue of equipment
    Equipment,
    /// People and vehicles
    Carriers,
    /// A move order
    Move,
    /// Measured masses, for `split --weighed`
    Weighed,
    /// What is on charge in the stores, for `muster`
    Stores,
    /// What `split --format json` prints
    Plan,
    /// What `why --format json` prints
    Why,
    /// What `shed --format json` prints
    Shed,
    /// What `compare --format json` prints
    Compare,
    /// What `muster --format json` prints
    Muster,
}

#[derive(Debug, Args)]
pub(super) struct Completions {
    /// The shell
    #[arg(value_name = "SHELL", value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(super) struct Man {
    /// A command, as in `tumpline man split`
    #[arg(value_name = "COMMAND")]
    pub command: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum FormatChoice {
    /// For the terminal
    #[default]
    Table,
    /// For programs; see `tumpline schema`
    Json,
    /// For spreadsheets; a row for each thing
    Csv,
    /// For a page or a ticket
    Markdown,
    /// A workbook for spreadsheets, with a sheet for each part of the report
    Xlsx,
}

impl FormatChoice {
    /// The form, if it is one of text.
    pub fn text(self) -> Option<Format> {
        match self {
            FormatChoice::Table => Some(Format::Table),
            FormatChoice::Json => Some(Format::Json),
            FormatChoice::Csv => Some(Format::Csv),
            FormatChoice::Markdown => Some(Format::Markdown),
            FormatChoice::Xlsx => None,
        }
    }
}

/// A span, or a plain number of seconds; a second at the least.
fn time(text: &str) -> Result<Duration, String> {
    let help = "write a span of time, as in `10s` or `2 min`, or a whole number of seconds";
    let digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let spelled = if digits { format!("{text} s") } else { text.to_string() };
    let span: Span = spelled.parse().map_err(|e| match e {
        QuantityError::TooLarge { most, .. } => format!("the most that can be given is {most}"),
        e => told(&e, help),
    })?;
    match span.s() {
        0 => Err("the least that can be given is 1 s".into()),
        s => Ok(Duration::from_secs(s)),
    }
}

/// A percentage, with or without its sign.
fn gap(text: &str) -> Result<Percent, String> {
    let read = match text.parse::<Percent>() {
        Err(QuantityError::NoUnit { .. }) => format!("{text} %").parse(),
        read => read,
    };
    read.map_err(|e| match e {
        QuantityError::TooLarge { most, .. } => format!("the most that can be given is {most}"),
        e => told(&e, "write a percentage, as in `0.5%`"),
    })
}

fn width(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(n) if (60..=120).contains(&n) => Ok(n),
        _ => Err("write a whole number from 60 to 120".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        Cli::command().debug_assert();
    }

    #[test]
    fn spans_and_plain_seconds_are_read() {
        assert_eq!(time("10s"), Ok(Duration::from_secs(10)));
        assert_eq!(time("90"), Ok(Duration::from_secs(90)));
        assert_eq!(time("1 min 30 s"), Ok(Duration::from_secs(90)));
        // Half up, and no less than a second.
        assert_eq!(time("0.5s"), Ok(Duration::from_secs(1)));
        assert_eq!(time("1.4s"), Ok(Duration::from_secs(1)));
        assert_eq!(time("0.4s"), Err("the least that can be given is 1 s".into()));
        for bad in ["", "0", "0 s", "-1", "soon", "1.5.2 s", "99999999999999999999", "2000 d"] {
            let told = time(bad).unwrap_err();
            assert!(!told.is_empty() && !told.ends_with('.'), "{told}");
        }
    }

    #[test]
    fn gaps_are_read_with_and_without_a_sign() {
        assert_eq!(gap("0.5%"), Ok(Percent::from_ppm(5000)));
        assert_eq!(gap("0.5"), Ok(Percent::from_ppm(5000)));
        assert_eq!(gap("0"), Ok(Percent::ZERO));
        for bad in ["", "-1", "0,5", "1 kg", "1e9", "5000%"] {
            assert!(gap(bad).is_err(), "{bad}");
        }
    }
}
