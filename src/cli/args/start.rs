//! `tumpline start`.

use super::CODES;
use crate::cli::start::answers;
use crate::quantity::Units;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What is not given is asked for, if standard input is a terminal; else the
/// defaults are taken. Files that are there already are never overwritten.
#[derive(Debug, Args)]
#[command(after_long_help = CODES)]
pub(crate) struct Start {
    /// The folder of the kit; it may be new
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,

    /// What the move is called
    #[arg(long, value_name = "NAME", value_parser = answers::name)]
    pub name: Option<String>,

    /// How many people go, from 1 to 6
    #[arg(long, value_name = "COUNT", value_parser = answers::people)]
    pub people: Option<u32>,

    /// A vehicle keeps what nobody takes
    #[arg(long)]
    pub vehicle: bool,

    /// There is no vehicle
    #[arg(long, conflicts_with = "vehicle")]
    pub no_vehicle: bool,

    /// How numbers are written and printed
    #[arg(long, value_name = "SYSTEM", value_enum)]
    pub units: Option<UnitsChoice>,

    /// Body mass of each, as in `75 kg` or `165 lb`
    #[arg(long, value_name = "MASS", value_parser = answers::body_mass)]
    pub body_mass: Option<String>,

    /// The most each may bear, worn included: `25 %` of body mass, or `18 kg`
    ///
    /// Whatever is given is guidance: no limit makes a load safe.
    #[arg(long, value_name = "LIMIT", value_parser = answers::limit)]
    pub limit: Option<String>,

    /// Ask nothing: take the defaults for what is not given
    #[arg(short, long)]
    pub yes: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitsChoice {
    /// kg, L, m
    Metric,
    /// lb, L, yd
    Imperial,
}

impl From<UnitsChoice> for Units {
    fn from(choice: UnitsChoice) -> Units {
        match choice {
            UnitsChoice::Metric => Units::Metric,
            UnitsChoice::Imperial => Units::Imperial,
        }
    }
}
