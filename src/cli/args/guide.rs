//! `tumpline guide`: its topics, and the page of each.

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
    /// How do I say …? Ten things that one often wants to write in a kit
    #[value(alias = "how")]
    Say,
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

impl Topic {
    /// The page as it stands in the project; none for what only lists them.
    pub fn page(self) -> Option<&'static str> {
        Some(match self {
            Topic::Start => include_str!("../guide/start.md"),
            Topic::Say => of_the_readme("## How do I say")?,
            // Where somebody looks who changes a kit.
            Topic::Files => include_str!("../../../kits/README.md"),
            Topic::Split => include_str!("../guide/split.md"),
            Topic::Plan => include_str!("../guide/plan.md"),
            Topic::NoPlan => include_str!("../guide/no-plan.md"),
            Topic::Why => include_str!("../guide/why.md"),
            Topic::Sheet => include_str!("../guide/sheet.md"),
            Topic::Change => include_str!("../guide/change.md"),
            Topic::Survive => include_str!("../guide/survive.md"),
            Topic::Tolerance => include_str!("../guide/tolerance.md"),
            Topic::Shed => include_str!("../guide/shed.md"),
            Topic::Compare => include_str!("../guide/compare.md"),
            Topic::Muster => include_str!("../guide/muster.md"),
            Topic::Spreadsheets => include_str!("../guide/spreadsheets.md"),
            Topic::Tidy => include_str!("../guide/tidy.md"),
            Topic::Json => include_str!("../guide/json.md"),
            Topic::Codes => include_str!("../guide/codes.md"),
            Topic::Large => include_str!("../guide/large.md"),
            Topic::Guide => return None,
        })
    }
}

/// A part of the README, from its heading to the next.
fn of_the_readme(heading: &str) -> Option<&'static str> {
    let readme = include_str!("../../../README.md");
    let part = readme.get(readme.find(heading)?..)?;
    part.split("\n## ").next()
}
