//! From spreadsheets to kit files: CSV and workbooks (XLSX) that somebody keeps
//! for people, with titles on top, sums at the bottom and numbers as text.
//!
//! ```text
//! bytes  → grid       rows of cells, each with its place       (cells)
//! grid   → table      which row is the header, which column    (header, keys)
//!                     becomes which key
//! table  → records    what each cell says, every fault by cell (rows, field)
//! record → YAML       a line for each key                      (yaml)
//! YAML   → domain     by the reader of the files themselves; what it finds is
//!                     reported of the cell that the line came from
//! ```
//!
//! Nothing is guessed where a cell can be read in two ways, and nothing is lost:
//! columns without a key stay beside each item as comments.
//!
//! `keys.rs` has what people call the keys. The YAML goes through the reader of
//! the kit files, so no rule of the files is written twice. A sheet has no text of
//! its own: `Sources::add_sheet` takes a line for each row and the cells' names,
//! and `kit/render.rs` shows those. A new key of the files needs a column in
//! `report/list`, which has a name, a shape and a function for each, and a key in
//! `keys.rs`; `tests/reading/spreadsheets.rs` insists. Workbooks are written by
//! `report/workbook/`: `Book`, `Sheet`, `Cell` are all there is to know.

mod field;
mod header;
mod keys;
mod made;
mod notation;
mod number;
mod rows;
mod spelling;
mod yaml;

pub use header::Said;
pub use keys::{SheetOf, sheet_keys};
pub use number::Decimal;

use super::cells::{CellsFrom, Grid, Most, Row, letters, open};
use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, Sink};
use super::source::Sources;
use crate::load::Stock;
use header::{Becomes, table};
use rows::records;
use std::path::Path;
use tumpline_core::text::clean;

/// The most of a table that is read: more than any list that somebody keeps.
const MOST: Most = Most { rows: 20_000, columns: 256, cells: 400_000 };

/// How a spreadsheet is to be read.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Where in the file the cells are, and how they are parted.
    pub cells: CellsFrom,
    /// What it is of; found by its header if not said.
    pub of: Option<SheetOf>,
    /// The row of the header.
    pub header: Option<usize>,
    /// What columns become, where their headers do not tell.
    pub said: Vec<Said>,
    /// Whether the comma or the point is decimal.
    pub decimal: Decimal,
}

/// What became of a spreadsheet.
#[derive(Debug, Default)]
pub struct Imported {
    /// `stock.xlsx, sheet Stores`
    pub name: String,
    /// What it was taken for.
    pub of: Option<SheetOf>,
    /// The row of the header, from one.
    pub header_row: usize,
    /// What became of each column, in their order.
    pub columns: Vec<ColumnUse>,
    /// What was passed over, made up or read in a way that might surprise.
    pub notes: Vec<String>,
    /// How many items or carriers.
    pub count: usize,
    /// The kit file.
    pub yaml: String,
    /// The first of the items, as they are in it.
    pub first: String,
    /// What the kit file says, read back; `None` if there are faults.
    pub stock: Option<Stock>,
    /// Faults and warnings.
    pub diagnostics: Diagnostics,
}

/// What becomes of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnUse {
    /// Such as `C`.
    pub letter: String,
    /// As it is in the sheet.
    pub header: String,
    /// In words.
    pub becomes: String,
}

/// Reads a spreadsheet. Never fails as a whole: the faults are in
/// [`Imported::diagnostics`], and there is a [`Stock`] only without any.
pub fn import(path: &Path, asked: &Asked) -> Imported {
    let mut sources = Sources::default();
    let mut sink = Sink::default();
    let mut out = Imported { name: path.display().to_string(), ..Imported::default() };
    let likely = asked.of.map(|of| match of {
        SheetOf::Equipment => "equipment",
        SheetOf::Carriers => "carriers",
    });
    let read = open(path, &asked.cells, likely, MOST, &mut sources, &mut sink);
    if let Some((id, grid)) = read {
        if let Some(source) = sources.get(id) {
            out.name = source.name.clone();
        }
        turn(&grid, asked, &mut out, &mut sink);
    }
    let errors = sink.errors();
    out.diagnostics = sink.finish(sources);
    out.stock = out.stock.filter(|_| errors == 0);
    out
}

/// From the grid to a kit file that reads back.
fn turn(grid: &Grid, asked: &Asked, out: &mut Imported, sink: &mut Sink) {
    out.notes.extend(grid.notes.iter().cloned());
    let Some(table) = table(grid, asked.of, asked.header, &asked.said, sink) else { return };
    out.of = Some(table.of);
    out.header_row = grid.rows.get(table.header).map_or(0, |r| r.number);
    out.columns = table.columns.iter().map(used).collect();
    let records = records(grid, &table, asked.decimal, sink);
    out.notes.extend(records.notes.iter().cloned());
    out.count = records.list.len();
    if out.count == 0 {
        let d = Diagnostic::error(FaultCode::NoHeader, "there is no row under the header");
        let span = grid.rows.get(table.header).and_then(Row::span);
        sink.add(match span {
            Some(span) => d.at(span, "the header"),
            None => d,
        });
        return;
    }
    let (lines, first) = made::file(grid, &table, &records, out);
    out.first = first;
    made::back(&lines, out, &records, sink);
    out.yaml = lines.text;
}

fn used(column: &header::Column) -> ColumnUse {
    let unit = column.unit.map_or(String::new(), |u| format!(", in {u}"));
    let becomes = match column.becomes {
        Becomes::Key(key) if takes_unit(key) => format!("{}{unit}", key.name),
        Becomes::Key(key) => key.name.to_string(),
        Becomes::Reckoned => "nothing: it is reckoned from other columns".into(),
        Becomes::LeftOver => "a comment beside each: no key is meant by it".into(),
        Becomes::Second(key) => {
            format!("a comment beside each: another column is `{}`", key.name)
        }
    };
    ColumnUse { letter: letters(column.column), header: clean(&column.header), becomes }
}

fn takes_unit(key: &keys::Key) -> bool {
    use keys::Kind::{Bulk, Mass, MassOrShare, Size};
    matches!(key.kind, Mass | Bulk | Size | MassOrShare)
}
