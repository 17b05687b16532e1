//! `tumpline shed`.

use super::{CODES, Looks, Search};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(crate) struct Shed {
    /// The move order, a `.move.yaml` file
    #[arg(value_name = "MOVE")]
    pub path: PathBuf,

    /// What gets less: the limits of all people on foot alike, or the people
    #[arg(long, value_name = "WHAT", value_enum, default_value_t)]
    pub by: ByChoice,

    /// With `--by people`, the party; the first one on foot if not given
    #[arg(long, value_name = "PARTY")]
    pub party: Option<String>,

    /// When not even the needs can be met, go on: give up needs by their
    /// `priority`, the highest number first
    #[arg(long)]
    pub needs: bool,

    /// Show in the table what each of them bears at each step
    #[arg(long)]
    pub loads: bool,

    /// The form of the report
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: ShedFormatChoice,

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
pub(crate) enum ByChoice {
    /// The share of their limits that they may use
    #[default]
    Limit,
    /// The number of people of a party on foot
    People,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum ShedFormatChoice {
    /// For the terminal
    #[default]
    Table,
    /// For programs; see `tumpline schema shed`
    Json,
    /// For spreadsheets; a row for each step and change
    Csv,
    /// A drawing: value against limit or people
    Svg,
}
