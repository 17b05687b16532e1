//! `tumpline sheet`.

use super::{CODES, Search, Weights};
use crate::report::sheet::Paper;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

const FORMS: &str = "\
A move order is answered as by `split`, with its options. A plan in JSON is
taken as it is: nothing is searched. It is audited anew against the move as it is
now, and a plan that does not hold gets no sheet (code 1).

";

fn after() -> String {
    format!("{FORMS}{CODES}")
}

#[derive(Debug, Args)]
#[command(after_long_help = after())]
pub(in crate::cli) struct Sheet {
    /// A move order, or a plan that `split --format json` wrote
    #[arg(value_name = "MOVE|PLAN.json")]
    pub path: PathBuf,

    /// The form: the whole sheet, or its drawing of the loads alone
    #[arg(short, long, value_name = "FORMAT", value_enum, default_value_t)]
    pub format: SheetFormat,

    /// Write the sheet to a file instead of standard output
    ///
    /// The file is replaced in one step when the sheet is complete. If anything
    /// goes wrong, what was there before stays.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// The paper that it will be printed on
    #[arg(long, value_name = "PAPER", value_enum, default_value_t)]
    pub paper: PaperChoice,

    /// Leave out every script, and what needs one
    #[arg(long)]
    pub plain: bool,

    /// With a plan, its move order, wherever the plan says it is
    ///
    /// Without it the path in the plan is tried, from the current folder and then
    /// from the plan's.
    #[arg(long = "move", value_name = "MOVE")]
    pub move_file: Option<PathBuf>,

    /// A file of measured masses, which stand for those of the catalogue
    #[arg(long, value_name = "FILE")]
    pub weighed: Option<PathBuf>,

    #[command(flatten)]
    pub weights: Weights,

    #[command(flatten)]
    pub search: Search,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(in crate::cli) enum SheetFormat {
    /// The sheet, for paper and screen
    #[default]
    Html,
    /// Everyone's load against their limit, drawn
    Svg,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(in crate::cli) enum PaperChoice {
    #[default]
    A4,
    Letter,
}

impl From<PaperChoice> for Paper {
    fn from(choice: PaperChoice) -> Paper {
        match choice {
            PaperChoice::A4 => Paper::A4,
            PaperChoice::Letter => Paper::Letter,
        }
    }
}
