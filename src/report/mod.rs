//! From an answer to text: a table for people in a hurry, and JSON, CSV and
//! Markdown for other programs, and a load sheet for paper.
//!
//! Nothing here computes a load: every number comes from the findings of the
//! audit. Every name that a user typed goes through [`clean`](crate::text::clean) first, so that no
//! name can move the cursor, break a row or turn into a formula.

pub mod compare;
mod explained;
mod json;
mod known;
pub mod list;
// The script of the load sheet, for tests that run it without a page.
#[doc(hidden)]
pub mod live;
pub mod muster;
mod page;
mod plan;
mod pretty_json;
pub mod shed;
pub mod sheet;
mod text;
mod why;
mod words;
mod worst;

pub use explained::{Edit, edits};
pub use json::{compare_schema, muster_schema, plan_schema, shed_schema, why_json, why_schema};
pub(crate) use known::verdict;
#[cfg(not(feature = "spreadsheets"))]
pub(crate) use page::NO_WORKBOOKS;
pub(crate) use page::{Page, markdown::escape};
pub use plan::{CARRIED_COLUMNS, More};
pub(crate) use plan::{holds, page as plan_page};
pub(crate) use text::{columns, fit, wrap};
pub(crate) use words::{goal_value, percent};

use crate::ask::Why;
use crate::load::MoveOrder;
use crate::split::Answer;

/// What every report of a plan ends with.
pub const CAUTION: &str = "The limits are guidance. Keeping them does not make a load safe: local \
                           rules and qualified people decide.";

/// The forms a report comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// For people, on a terminal.
    Table,
    /// For programs: see [`plan_schema`].
    Json,
    /// For spreadsheets: a row for each placement.
    Csv,
    /// For documents and web pages.
    Markdown,
}

/// How a table may look. The other forms are the same for everybody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Columns of the terminal. Tables use 60 at the least and 120 at most.
    pub width: usize,
    /// Whether terminal colours may be used. They only repeat what words say.
    pub colour: bool,
    /// Whether the bars may leave ASCII. Names are printed as they are.
    pub unicode: bool,
}

impl Default for Style {
    fn default() -> Self {
        Style { width: 80, colour: false, unicode: true }
    }
}

/// The whole report, with a line feed at its end. Only `Table` minds `style`.
///
/// ```
/// use tumpline::report::{Format, Style, render};
/// use tumpline::split::{Options, Watch, split};
///
/// let order = tumpline::kit::read_move_text("cloth.move.yaml", "
/// move: Cloth to the pass
/// equipment: [{id: cloth, name: Ground cloth, mass: 1200 g}]
/// carriers: {people: [{id: ann, name: Ann, limit: 12 kg}]}
/// parties: {pass: {travel: foot, who: ann}}
/// needs: {pass: [{need: a floor, item: cloth}]}
/// ")?.order;
/// let answer = split(&order, &Options::default(), &Watch::default());
/// let csv = render(&order, &answer, Format::Csv, &Style::default());
/// assert_eq!(csv.lines().nth(1), Some("carried,pass,ann,Ann,cloth,Ground cloth,1,back,,1200.000"));
/// # Ok::<(), tumpline::kit::Diagnostics>(())
/// ```
pub fn render(order: &MoveOrder, answer: &Answer, format: Format, style: &Style) -> String {
    render_with(order, answer, &More::default(), format, style)
}

/// The report with what stands beside the plan; CSV has the plan alone.
pub fn render_with(
    order: &MoveOrder,
    answer: &Answer,
    more: &More,
    format: Format,
    style: &Style,
) -> String {
    plan::page(order, answer, more).render(format, style)
}

/// The report as a workbook (XLSX).
///
/// # Errors
/// A report beyond what a sheet holds, in words.
pub fn workbook(order: &MoveOrder, answer: &Answer, more: &More) -> Result<Vec<u8>, String> {
    plan::page(order, answer, more).workbook()
}

/// Why an item is where it is, for the terminal.
pub fn why_table(order: &MoveOrder, why: &Why, style: &Style) -> String {
    why::page(order, why).render(Format::Table, style)
}
