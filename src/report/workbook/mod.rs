//! Workbooks (XLSX) to be read by people: for each sheet a title, a header that
//! stays in sight, filters, widths that fit, and totals as formulas.
//!
//! Numbers are real numbers, made from whole base units by one division, with
//! the unit in the header. Whatever a user typed is written as text, never as
//! a formula, a link or a number, and cleaned as everywhere else. The same
//! sheets give the same bytes: the date of creation is fixed, no clock is read.

mod cell;
mod names;
mod write;

pub(crate) use cell::Cell;

use crate::quantity::Units;
use tumpline_core::text::clean;

/// A workbook in the making.
#[derive(Debug, Clone)]
pub(crate) struct Book {
    title: String,
    units: Units,
    sheets: Vec<Sheet>,
}

/// One sheet: lines of text over one table.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    name: String,
    /// Under the title, over the table.
    notes: Vec<String>,
    columns: Vec<Column>,
    rows: Vec<Vec<Cell>>,
    total: Option<String>,
}

/// What a column holds; it decides the unit in the header and how numbers look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Text,
    /// Whole numbers.
    Count,
    /// Kilograms, or pounds in imperial kits.
    Mass,
    /// Litres.
    Bulk,
    /// Percent.
    Share,
    /// Any unit, named in another column.
    Number,
}

#[derive(Debug, Clone)]
struct Column {
    head: String,
    kind: Kind,
    /// Whether the row of totals adds the column up.
    sum: bool,
}

impl Book {
    /// `title` is shown on top of every sheet.
    pub fn new(title: &str, units: Units) -> Self {
        Book { title: clean(title), units, sheets: Vec::new() }
    }

    pub fn sheet(&mut self, sheet: Sheet) {
        self.sheets.push(sheet);
    }

    /// The file.
    ///
    /// # Errors
    /// What the library says, for a table beyond what a sheet holds (1,048,576
    /// rows, 16,384 columns).
    pub fn bytes(&self) -> Result<Vec<u8>, String> {
        write::bytes(self)
    }
}

impl Sheet {
    /// A name that a workbook cannot have, or has already, is changed a little.
    pub fn new(name: &str) -> Self {
        Sheet {
            name: clean(name),
            notes: Vec::new(),
            columns: Vec::new(),
            rows: Vec::new(),
            total: None,
        }
    }

    #[must_use]
    pub fn note(mut self, text: &str) -> Self {
        self.notes.push(clean(text));
        self
    }

    #[must_use]
    pub fn column(mut self, head: &str, kind: Kind) -> Self {
        self.columns.push(Column { head: clean(head), kind, sum: false });
        self
    }

    /// A column that the row of totals adds up.
    #[must_use]
    pub fn summed(mut self, head: &str, kind: Kind) -> Self {
        self.columns.push(Column { head: clean(head), kind, sum: true });
        self
    }

    /// A row of totals at the end, with this word in the first column.
    #[must_use]
    pub fn total(mut self, word: &str) -> Self {
        self.total = Some(clean(word));
        self
    }

    /// One cell for each column; what is short stays empty.
    pub fn row(&mut self, cells: Vec<Cell>) {
        debug_assert_eq!(cells.len(), self.columns.len());
        self.rows.push(cells);
    }
}

#[cfg(test)]
mod tests;
