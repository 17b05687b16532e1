//! `tumpline why`.

use super::{CODES, Looks, Search};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(in crate::cli) struct Why {
    /// The move order, a `.move.yaml` file
    #[arg(value_name = "MOVE")]
    pub path: PathBuf,

    /// The id of an item, or its name
    #[arg(value_name = "ITEM")]
    pub item: String,

    /// Ask about this carrier alone: why with it, or why not
    #[arg(long, value_name = "CARRIER")]
    pub at: Option<String>,

    /// The form of the report
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: WhyFormat,

    #[command(flatten)]
    pub search: Search,

    #[command(flatten)]
    pub looks: Looks,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(in crate::cli) enum WhyFormat {
    /// For the terminal
    #[default]
    Table,
    /// For programs; see `tumpline schema why`
    Json,
}
