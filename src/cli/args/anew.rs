//! Options of `split` for a plan anew after something changed.

use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Default, Args)]
#[command(next_help_heading = "After a change, with the fewest changes of hands")]
pub(in crate::cli) struct Anew {
    /// The plan that people have packed, as `--format json` wrote it
    ///
    /// The move is split again as it is now, so that as few units as can be
    /// change hands from that plan; then its own goals follow. The report says
    /// who gives what to whom.
    #[arg(long, value_name = "PLAN.json")]
    pub after: Option<PathBuf>,

    /// Somebody on foot drops out; may be given again
    ///
    /// What they carried is taken over, put back or left. What they wear is not
    /// reckoned. Without `--after`, the plan of the move as it stands is what
    /// people have packed.
    #[arg(long, value_name = "PERSON")]
    pub without: Vec<String>,

    /// So many of an item are used up, as in `meal=2` or `meal=2@ann`
    ///
    /// They are gone from what is held and what is packed, and what they
    /// supplied counts as met where they were. May be given again.
    #[arg(long, value_name = "ITEM=COUNT[@CARRIER]")]
    pub emptied: Vec<String>,

    /// A file of measured masses, which stand for those of the catalogue
    ///
    /// The report says which differ, whom the plan by the catalogue (or that of
    /// `--after`) would overload, and what changes hands to mend that.
    #[arg(long, value_name = "FILE")]
    pub weighed: Option<PathBuf>,

    /// Print what changes, or what a condition costs, and not the whole plan
    ///
    /// For the table and Markdown, after a change or with `--tolerance` or
    /// `--survives`.
    #[arg(long)]
    pub brief: bool,
}

impl Anew {
    /// Whether something changed.
    pub fn changed(&self) -> bool {
        self.after.is_some()
            || !self.without.is_empty()
            || !self.emptied.is_empty()
            || self.weighed.is_some()
    }
}
