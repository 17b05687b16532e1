//! Reports as data: a command builds a [`Page`], and terminal, Markdown, CSV,
//! workbook and JSON print it.
//!
//! A page is blocks: headings, paragraphs and tables. A table names each of its
//! columns once, with what its cells are, and each cell keeps its value (a mass,
//! a count, a share, a text that somebody typed), so that every form writes it in
//! its own way: with its unit for people, as a number under a header with the
//! unit for spreadsheets, in whole base units for programs. Everything that is
//! printed is made inert here; who builds a page need not think of it.
//!
//! # A new report
//!
//! It is a function from an answer to a page:
//!
//! ```text
//! pub(crate) fn page(order: &MoveOrder, legs: &[Leg]) -> Page<'static> {
//!     let mut page = Page::titled(order.name(), order.units());
//!     page.push(para("Every leg is walked in daylight.").tone(Tone::Good));
//!     let legs = Table::of(legs)
//!         .col(Column::text("leg"), |leg| leg.name.clone())
//!         .col(Column::mass("load").summed(), |leg| leg.load);
//!     page.section(ALL, "Legs", legs.done().total("Total"));
//!     page.caution();
//!     page
//! }
//! ```
//!
//! and `cli::output` prints it in the form that was asked for. That is all: a
//! block, a row and a column are in every form unless `on` says in which
//! ([`Forms`]), as in the reports whose forms differ by more than looks. A kind of
//! value that no cell has yet is a variant of [`Cell`], with a line for each form
//! in `cell.rs`; the goldens of `tests.rs` show every kind in every form.
//!
//! What each form makes of a page:
//! - Terminal and Markdown have the blocks in their order.
//! - CSV has the first table, and the rows of those after it with the same columns.
//! - A workbook has a sheet for each heading: its paragraphs over its table, with
//!   filters, and totals as formulas.
//! - JSON has the sections, each with its texts and its rows by the keys of the
//!   columns; or a document with a schema of its own (`report/json/`, [`Page::document`]).

mod block;
#[cfg(feature = "spreadsheets")]
mod book;
mod cell;
mod column;
pub(super) mod csv;
mod json;
pub(super) mod markdown;
mod table;
pub(super) mod terminal;
#[cfg(test)]
mod tests;

pub(super) use block::{Block, gap, heading, heading_of, para, sides, term, typed};
pub(super) use cell::{Cell, Entry, Kind};
pub(super) use column::{Column, Place};
pub(super) use json::{rows as json_rows, sums as json_sums};
pub(super) use table::{Head, Row, Table, Whole};
pub(super) use terminal::Tone;

use super::{CAUTION, Format, Style};
use crate::quantity::Units;
use block::{Text, What};
use std::ops::{BitOr, BitXor};

/// What a build without workbooks says.
#[cfg(not(feature = "spreadsheets"))]
pub(crate) const NO_WORKBOOKS: &str = "this build has no spreadsheets: build it with the feature \
                                       `spreadsheets`, or use CSV";

/// A set of the forms that a page is printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Forms(u8);

pub(crate) const TERMINAL: Forms = Forms(1);
pub(crate) const MARKDOWN: Forms = Forms(2);
pub(crate) const CSV: Forms = Forms(4);
pub(crate) const WORKBOOK: Forms = Forms(8);
pub(crate) const JSON: Forms = Forms(16);
/// What people read line by line.
pub(crate) const TEXTS: Forms = Forms(3);
pub(crate) const ALL: Forms = Forms(31);
pub(crate) const NONE: Forms = Forms(0);

impl BitOr for Forms {
    type Output = Forms;
    fn bitor(self, other: Forms) -> Forms {
        self.and(other)
    }
}

impl Default for Forms {
    fn default() -> Self {
        ALL
    }
}

/// What one of them has and the other has not.
impl BitXor for Forms {
    type Output = Forms;
    fn bitxor(self, other: Forms) -> Forms {
        Forms(self.0 ^ other.0)
    }
}

impl Forms {
    pub const fn and(self, other: Forms) -> Forms {
        Forms(self.0 | other.0)
    }

    pub fn has(self, form: Forms) -> bool {
        self.0 & form.0 != 0
    }
}

/// A report.
pub(crate) struct Page<'a> {
    /// What a workbook has on top of each sheet, as somebody typed it.
    pub title: String,
    pub units: Units,
    pub blocks: Vec<Block>,
    /// JSON with a schema of its own.
    document: Option<Box<dyn Fn() -> String + 'a>>,
}

impl<'a> Page<'a> {
    pub fn new(title: &str, units: Units) -> Self {
        Page { title: title.into(), units, blocks: Vec::new(), document: None }
    }

    /// With the title as its first line.
    pub fn titled(title: &str, units: Units) -> Self {
        let mut page = Page::new(title, units);
        page.push(block::title(title));
        page
    }

    /// For programs there is this instead.
    pub fn document(self, document: impl Fn() -> String + 'a) -> Self {
        Page { document: Some(Box::new(document)), ..self }
    }

    pub fn push(&mut self, block: impl Into<Block>) {
        self.blocks.push(block.into());
    }

    /// A heading and a table. Without rows, people see neither; a program and a
    /// workbook see that there are none.
    pub fn section(&mut self, on: Forms, title: &str, table: Table) {
        let rows = |form| table.rows.iter().any(|r| r.on.has(form));
        let seen = |form: Forms| if rows(form) { form } else { NONE };
        let on = Forms(on.0 & (seen(TERMINAL) | seen(MARKDOWN) | CSV | WORKBOOK | JSON).0);
        self.push(heading(title).on(on));
        self.push(Block::from(table).on(on));
    }

    /// What every report ends with; under a heading where it stands by itself.
    pub fn caution(&mut self) {
        self.push(heading("Cautions").on(WORKBOOK | JSON));
        self.caution_on(ALL);
    }

    pub fn caution_on(&mut self, on: Forms) {
        self.push(gap());
        self.push(para(CAUTION).on(on));
    }

    /// The page as text in one of the forms.
    pub fn render(&self, format: Format, style: &Style) -> String {
        match format {
            Format::Table => terminal::render(self, style),
            Format::Markdown => markdown::render(self),
            Format::Csv => csv::render(self),
            Format::Json => self.document.as_ref().map_or_else(|| json::render(self), |d| d()),
        }
    }

    /// The page as a workbook (XLSX).
    ///
    /// # Errors
    /// A table beyond what a sheet holds, in words; so too where this build has no
    /// workbooks.
    pub fn workbook(&self) -> Result<Vec<u8>, String> {
        #[cfg(feature = "spreadsheets")]
        return book::bytes(self);
        #[cfg(not(feature = "spreadsheets"))]
        Err(NO_WORKBOOKS.into())
    }

    /// What one of the forms has, in its order.
    fn of(&self, form: Forms) -> impl Iterator<Item = &What> {
        self.blocks.iter().filter(move |b| b.on.has(form)).map(|b| &b.what)
    }
}
