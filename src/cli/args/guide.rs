//! `tumpline guide`.

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
pub(crate) struct Guide {
    /// The page; without one, the pages that there are. The name of a command
    /// gives the page that it is on
    #[arg(value_name = "TOPIC", value_enum)]
    pub topic: Option<Topic>,
}

/// The pages in the order in which they are best read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Topic {
    /// A first kit of your own, and the demo kits
    Start,
    /// The words, and every key of the files
    #[value(alias = "check", alias = "schema", alias = "words")]
    Files,
    /// Reading a plan; what `split` takes; terminal, pager, colour
    #[value(alias = "completions", alias = "man")]
    Split,
    /// How a plan is made, and how good it is known to be
    Plan,
    /// When it does not fit: what cannot hold together, and what would help
    NoPlan,
    /// Why a thing is where it is, and what another way would cost
    Why,
    /// On paper: the leader's page, a card for each person, changes by hand
    Sheet,
    /// After a change: packed already, weighed, used up, somebody drops out
    Change,
    /// A plan that still works whichever one person drops out
    #[value(alias = "survives")]
    Survive,
    /// A plan that holds although weights are off
    Tolerance,
    /// What goes first as limits fall or a party gets smaller
    Shed,
    /// Loadouts side by side
    Compare,
    /// In the stores: held, short, broken, lent, counted
    #[value(alias = "stores")]
    Muster,
    /// Lists, workbooks, and kits from a spreadsheet
    #[value(alias = "list", alias = "import")]
    Spreadsheets,
    /// Keys, quantities and layout of files in order
    Tidy,
    /// Every key of the JSON that programs read, and the rows of CSV
    #[value(alias = "csv")]
    Json,
    /// What the exit codes mean
    #[value(alias = "exit-codes")]
    Codes,
    /// Large moves, and a build with another solver
    Large,
    /// This guide
    #[value(hide = true)]
    Guide,
}
