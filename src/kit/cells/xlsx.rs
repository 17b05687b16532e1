//! Workbooks (XLSX) as grids. The reader of the format is somebody else's and
//! the file anybody's: its size is checked first, cells come one by one, and it
//! runs in a thread of its own where a panic is caught.

use super::Most;
use super::grid::{Cell, Content, Grid, Merged, Row, letters, span};
use super::unzip::{Seen, look};
use crate::diagnostic::some;
use crate::source::{SourceId, Sources};
use calamine::{DataRef, Reader, SheetVisible, Xlsx};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// The name of the thread that reads workbooks. A panic there is caught and
/// counts as a file that cannot be read.
pub const SHEET_THREAD: &str = "tumpline-sheets";

/// The most that a workbook may hold, packed.
pub(super) const MOST_BYTES: usize = 16 << 20;
/// The most merged cells of a sheet that are looked at.
const MOST_MERGED: usize = 10_000;

/// A sheet as it was read, without a source yet.
#[derive(Debug)]
pub(super) struct Sheet {
    pub name: String,
    pub hidden: bool,
    /// Row and column from zero, in order.
    cells: BTreeMap<(usize, usize), Found>,
    merged: Vec<((usize, usize), usize)>,
    hidden_rows: BTreeSet<usize>,
    hidden_columns: BTreeSet<usize>,
    /// More than is read.
    pub too_many: bool,
}

#[derive(Debug)]
struct Found {
    content: Content,
    formula: Option<String>,
    percent: bool,
}

impl Sheet {
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty() && !self.too_many
    }
}

/// Every sheet of tables, in order.
///
/// # Errors
/// In words, why the file cannot be read.
pub(super) fn sheets(bytes: Vec<u8>, most: Most) -> Result<Vec<Sheet>, String> {
    let thread = std::thread::Builder::new().name(SHEET_THREAD.into()).stack_size(16 << 20);
    let work = move || catch_unwind(AssertUnwindSafe(|| read(bytes, most)));
    let ended = thread.spawn(work).map_err(|e| format!("no thread can be started: {e}"))?.join();
    match ended {
        Ok(Ok(read)) => read,
        _ => Err("its parts contradict each other".into()),
    }
}

fn read(bytes: Vec<u8>, most: Most) -> Result<Vec<Sheet>, String> {
    let mut seen = look(&bytes, most.columns)?;
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(|e| e.to_string())?;
    let all: Vec<(String, bool)> = book
        .sheets_metadata()
        .iter()
        .map(|s| (s.name.clone(), s.visible != SheetVisible::Visible))
        .collect();
    let mut out = Vec::new();
    let mut left = most.cells;
    for (name, hidden) in all {
        match sheet(&mut book, (&name, hidden), &mut seen, most, &mut left) {
            Ok(sheet) => out.push(sheet),
            // A chart or a macro has a sheet too, without cells.
            Err(calamine::XlsxError::NotAWorksheet(_)) => {}
            Err(e) => return Err(format!("sheet `{name}`: {e}")),
        }
    }
    Ok(out)
}

fn sheet(
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    (name, hidden): (&str, bool),
    seen: &mut Seen,
    most: Most,
    left: &mut usize,
) -> Result<Sheet, calamine::XlsxError> {
    let mut sheet = Sheet {
        name: name.to_string(),
        hidden,
        cells: BTreeMap::new(),
        merged: Vec::new(),
        hidden_rows: seen.hidden_rows.remove(name).unwrap_or_default(),
        hidden_columns: seen.hidden_columns.remove(name).unwrap_or_default(),
        too_many: false,
    };
    let mut reader = book.worksheet_cells_reader(name)?;
    while let Some(record) = reader.next_cell_with_formula()? {
        let (row, column) = (record.pos.0 as usize, record.pos.1 as usize);
        let Some(content) = content(&record.value) else { continue };
        if row >= most.rows || column >= most.columns || *left == 0 {
            sheet.too_many = true;
            break;
        }
        *left -= 1;
        let found = Found { content, formula: record.formula, percent: false };
        sheet.cells.insert((row, column), found);
    }
    drop(reader);
    percentages(book, &mut sheet, most)?;
    let merged = book.merge_cells_by_sheet_name(name).unwrap_or_default();
    let merged = merged.iter().take(MOST_MERGED).filter(|m| m.end.0 > m.start.0);
    sheet.merged =
        merged.map(|m| ((m.start.0 as usize, m.start.1 as usize), m.end.0 as usize)).collect();
    Ok(sheet)
}

/// Marks what is shown as a percentage: 30 % is kept as 0.3.
fn percentages(
    book: &mut Xlsx<Cursor<Vec<u8>>>,
    sheet: &mut Sheet,
    most: Most,
) -> Result<(), calamine::XlsxError> {
    let mut reader = book.worksheet_cells_reader(&sheet.name)?;
    let mut left = 2 * most.cells;
    while let Some((row, column, style)) = reader.next_style_id()? {
        left -= 1;
        if left == 0 {
            break;
        }
        let format = reader.styles().get(style).and_then(|s| s.number_format.as_ref());
        if format.is_some_and(|f| f.format_code.contains('%'))
            && let Some(found) = sheet.cells.get_mut(&(row as usize, column as usize))
        {
            found.percent = true;
        }
    }
    Ok(())
}

fn content(value: &DataRef<'_>) -> Option<Content> {
    let text =
        |t: &str| (!super::grid::trimmed(t).is_empty()).then(|| Content::Text(t.to_string()));
    match value {
        DataRef::Empty => None,
        DataRef::String(t) => text(t),
        DataRef::SharedString(t) => text(t),
        DataRef::Int(n) => Some(Content::Number(*n as f64)),
        DataRef::Float(n) if n.is_finite() => Some(Content::Number(*n)),
        DataRef::Float(n) => Some(Content::Error(n.to_string())),
        DataRef::Bool(flag) => Some(Content::Flag(*flag)),
        DataRef::DateTime(date) => {
            let (y, m, d, ..) = date.to_ymd_hms_milli();
            Some(Content::Date(format!("{y:04}-{m:02}-{d:02}")))
        }
        DataRef::DateTimeIso(t) | DataRef::DurationIso(t) => Some(Content::Date(t.clone())),
        DataRef::Error(e) => Some(Content::Error(e.to_string())),
    }
}

/// The sheet as a grid, with a line of text in `sources` for each of its rows.
pub(super) fn grid(file: &str, sheet: Sheet, sources: &mut Sources) -> (SourceId, Grid) {
    let mut grid = Grid::default();
    notes(&sheet, &mut grid.notes);
    let rows: BTreeSet<usize> = sheet.cells.keys().map(|(row, _)| *row).collect();
    let mut all: BTreeMap<(usize, usize), (&Found, Option<Merged>)> =
        sheet.cells.iter().map(|(at, found)| (*at, (found, None))).collect();
    for ((row, column), last) in &sheet.merged {
        let Some(found) = sheet.cells.get(&(*row, *column)) else { continue };
        let merged = Some(Merged { first: row + 1, last: last + 1 });
        // Rows that hold nothing else stay empty.
        for row in rows.range(row..=last) {
            all.insert((*row, *column), (found, merged));
        }
    }
    let (mut text, mut starts) = (String::new(), Vec::new());
    // One source for the sheet: its id is known once the text is.
    let id = SourceId(sources.iter().count());
    let mut line = 0;
    for ((row, column), (found, merged)) in all {
        let new = grid.rows.last().is_none_or(|r| r.number != row + 1);
        if new {
            text.extend(std::iter::repeat_n('\n', row - line));
            line = row;
            grid.rows.push(Row { number: row + 1, width: 0, cells: Vec::new() });
        } else {
            text.push_str(" | ");
        }
        let mut cell = Cell {
            column,
            content: found.content.clone(),
            span: span(id, text.len(), text.len()),
            formula: found.formula.clone(),
            percent: found.percent,
            merged,
        };
        starts.push((text.len(), format!("{}{}", letters(column), row + 1)));
        text.push_str(&tumpline_core::text::clean(&cell.text()));
        cell.span.end = text.len();
        if let Some(row) = grid.rows.last_mut() {
            row.width = column + 1;
            row.cells.push(cell);
        }
    }
    let name = format!("{file}, sheet {}", sheet.name);
    let id = sources.add_sheet(&name, &text, starts);
    (id, grid)
}

fn notes(sheet: &Sheet, notes: &mut Vec<String>) {
    if sheet.hidden {
        notes.push("the sheet is hidden in the workbook".into());
    }
    let rows = sheet
        .hidden_rows
        .iter()
        .filter(|r| sheet.cells.range((**r - 1, 0)..(**r, 0)).next().is_some());
    let rows: Vec<String> = rows.map(ToString::to_string).collect();
    if !rows.is_empty() {
        notes.push(format!("hidden rows are read like the others: {}", some(&rows)));
    }
    let used: BTreeSet<usize> = sheet.cells.keys().map(|(_, c)| *c).collect();
    let columns: Vec<String> =
        sheet.hidden_columns.intersection(&used).map(|c| letters(*c)).collect();
    if !columns.is_empty() {
        notes.push(format!("hidden columns are read like the others: {}", some(&columns)));
    }
    let formulas = sheet.cells.values().filter(|f| f.formula.is_some()).count();
    if formulas > 0 {
        let cells = if formulas == 1 {
            "1 cell holds a formula"
        } else {
            &format!("{formulas} cells hold formulas")
        };
        notes.push(format!("{cells}: what they last came to is read"));
    }
}
