//! The check of holdings, as a table, JSON, CSV or Markdown, and the form to
//! count with.

mod form;
mod journal;
mod page;
mod words;

pub use form::{FormFormat, form};
pub use journal::{journal_header, journal_lines};

use super::{Format, Style};
use crate::ask::muster::{CaseLine, ItemLine, MoveCheck, Muster};
use crate::load::MoveOrder;
pub(crate) use page::page;

/// A move and what the stores mean for it.
#[derive(Debug, Clone, Copy)]
pub struct MoveLine<'a> {
    /// The file, as the user named it.
    pub file: &'a str,
    /// The move.
    pub order: &'a MoveOrder,
    /// What came of it.
    pub check: &'a MoveCheck,
}

/// All that a report tells.
#[derive(Debug, Clone, Copy)]
pub struct Report<'a> {
    /// What is in the stores.
    pub muster: &'a Muster,
    /// `None` if no move was asked.
    pub moves: Option<&'a [MoveLine<'a>]>,
    /// How long each move was given, in whole seconds.
    pub seconds: u64,
    /// Tables leave out what is in order.
    pub brief: bool,
}

impl Report<'_> {
    /// Whether a table tells of the item.
    fn tells(&self, line: &ItemLine) -> bool {
        !self.brief || !line.in_order() || line.surplus() > 0
    }

    /// Cases that a table tells of.
    fn cases(&self) -> impl Iterator<Item = &CaseLine> {
        let told = |c: &&CaseLine| !self.brief || c.short() > 0 || c.over() > 0;
        self.muster.cases.iter().filter(told)
    }

    /// Nothing is short or unreconciled, and every move has a plan or is not
    /// settled.
    pub fn in_order(&self) -> bool {
        let moves = self.moves.unwrap_or_default();
        self.muster.in_order() && !moves.iter().any(|m| m.check.has_no_plan())
    }

    /// Whether it is not known of some move if it has a plan.
    pub fn unsettled(&self) -> bool {
        self.moves.unwrap_or_default().iter().any(|m| m.check.unsettled())
    }
}

/// The whole report, with a line feed at its end. CSV has the holdings and the
/// contents of cases alone.
pub fn render(report: &Report<'_>, format: Format, style: &Style) -> String {
    page(report).render(format, style)
}

/// The report as a workbook (XLSX).
///
/// # Errors
/// A report beyond what a sheet holds, in words.
pub fn workbook(report: &Report<'_>) -> Result<Vec<u8>, String> {
    page(report).workbook()
}
