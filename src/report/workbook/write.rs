//! From sheets to the bytes of an XLSX file.

use super::cell::inert;
use super::{Book, Cell, Column, Kind, Sheet, names};
use crate::quantity::Units;
use crate::report::text::{columns, wrap};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Formula, Workbook, Worksheet,
    XlsxError,
};

/// Widths of columns, in characters.
const LEAST_WIDTH: usize = 6;
const MOST_WIDTH: usize = 60;
/// A header up to this many characters stays on one line.
const SHORT_HEAD: usize = 12;
/// Room for the button of the filter.
const BUTTON: usize = 3;
/// The height of a line, in points, and of the tallest row.
const LINE: f64 = 15.0;
const MOST_LINES: usize = 27;

pub(super) fn bytes(book: &Book) -> Result<Vec<u8>, String> {
    written(book).map_err(|e| e.to_string())
}

fn written(book: &Book) -> Result<Vec<u8>, XlsxError> {
    let mut out = Workbook::new();
    // Not the day it was made: the same plan gives the same file.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let properties = DocProperties::new().set_title(inert(&book.title)).set_author("Tumpline");
    out.set_properties(&properties.set_creation_datetime(&made));
    let looks = Looks::new();
    let mut taken = Vec::new();
    for sheet in &book.sheets {
        let name = names::legal(&sheet.name, &taken);
        taken.push(name.clone());
        let mut on = Page { book, sheet, looks: &looks, to: out.add_worksheet() };
        on.to.set_name(name)?;
        on.write()?;
    }
    if book.sheets.is_empty() {
        out.add_worksheet();
    }
    out.save_to_buffer()
}

/// The formats that all sheets share.
struct Looks {
    title: Format,
    note: Format,
    head: Format,
    head_number: Format,
    text: Format,
}

impl Looks {
    fn new() -> Self {
        let head = Format::new()
            .set_bold()
            .set_text_wrap()
            .set_align(FormatAlign::Top)
            .set_border_bottom(FormatBorder::Thin);
        let head_text = head.clone().set_align(FormatAlign::Left).set_indent(1);
        Looks {
            title: Format::new().set_bold().set_font_size(14),
            note: Format::new(),
            head_number: head.set_align(FormatAlign::Right),
            head: head_text,
            // Indented, so that it does not touch the number before it.
            text: Format::new()
                .set_num_format("@")
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_align(FormatAlign::Left)
                .set_indent(1),
        }
    }

    fn number(&self, kind: Kind, units: Units) -> Format {
        Format::new().set_num_format(kind.format(units)).set_align(FormatAlign::Top)
    }
}

struct Page<'a> {
    book: &'a Book,
    sheet: &'a Sheet,
    looks: &'a Looks,
    to: &'a mut Worksheet,
}

impl Page<'_> {
    fn write(&mut self) -> Result<(), XlsxError> {
        self.to.write_string_with_format(0, 0, inert(&self.book.title), &self.looks.title)?;
        let mut line = 1;
        for note in &self.sheet.notes {
            self.to.write_string_with_format(line, 0, inert(note), &self.looks.note)?;
            line += 1;
        }
        let head = line + 1;
        if !self.sheet.columns.is_empty() {
            self.table(head)?;
        }
        self.to.set_landscape();
        // One page wide, and as many long as it takes.
        self.to.set_print_fit_to_pages(1, 0);
        self.to.set_footer("&L&A&RPage &P of &N");
        Ok(())
    }

    fn table(&mut self, head: u32) -> Result<(), XlsxError> {
        let last_column = to_column(self.sheet.columns.len() - 1)?;
        let widths: Vec<usize> =
            self.sheet.columns.iter().enumerate().map(|(i, c)| self.width(i, c)).collect();
        // Not every program that opens it finds the height of wrapped text itself.
        let heads = self.sheet.columns.iter().zip(&widths);
        let heads =
            heads.map(|(c, w)| lines(&heading(c, self.book.units), w.saturating_sub(BUTTON)));
        self.height(head, heads.max())?;
        for (i, column) in self.sheet.columns.iter().enumerate() {
            let at = to_column(i)?;
            let text = heading(column, self.book.units);
            let look = match column.kind {
                Kind::Text => &self.looks.head,
                _ => &self.looks.head_number,
            };
            self.to.write_string_with_format(head, at, inert(&text), look)?;
            self.to.set_column_width(at, widths.get(i).copied().unwrap_or(LEAST_WIDTH) as f64)?;
        }
        let first = head + 1;
        for (row, cells) in (first..).zip(&self.sheet.rows) {
            for (i, (cell, column)) in cells.iter().zip(&self.sheet.columns).enumerate() {
                self.cell(row, to_column(i)?, cell, column.kind)?;
            }
            let tall = cells.iter().zip(&widths).map(|(cell, width)| match cell {
                Cell::Text(text) => lines(text, width.saturating_sub(2)),
                _ => 1,
            });
            self.height(row, tall.max())?;
        }
        let rows =
            u32::try_from(self.sheet.rows.len()).map_err(|_| XlsxError::RowColumnLimitError)?;
        if rows > 0 {
            self.to.autofilter(head, 0, head + rows, last_column)?;
        }
        self.to.set_freeze_panes(first, 0)?;
        self.to.set_repeat_rows(head, head)?;
        if let Some(word) = &self.sheet.total {
            self.totals(first, rows, word)?;
        }
        Ok(())
    }

    fn height(&mut self, row: u32, lines: Option<usize>) -> Result<(), XlsxError> {
        let lines = lines.unwrap_or(1).clamp(1, MOST_LINES);
        if lines > 1 {
            self.to.set_row_height(row, LINE * lines as f64)?;
        }
        Ok(())
    }

    fn cell(&mut self, row: u32, at: u16, cell: &Cell, kind: Kind) -> Result<(), XlsxError> {
        match (cell, cell.number(self.book.units)) {
            (Cell::Text(text), _) => {
                self.to.write_string_with_format(row, at, inert(text), &self.looks.text)?;
            }
            (_, Some(number)) => {
                self.to.write_number_with_format(
                    row,
                    at,
                    number,
                    &self.looks.number(kind, self.book.units),
                )?;
            }
            (_, None) => {}
        }
        Ok(())
    }

    /// After an empty row, so that no filter and no sorting takes it along.
    fn totals(&mut self, first: u32, rows: u32, word: &str) -> Result<(), XlsxError> {
        let row = first + rows + 1;
        let bold = Format::new().set_bold().set_border_top(FormatBorder::Thin);
        for (i, column) in self.sheet.columns.iter().enumerate() {
            let at = to_column(i)?;
            if i == 0 && !column.sum {
                self.to.write_string_with_format(row, at, inert(word), &bold)?;
            } else if column.sum && rows > 0 {
                let cells = self.sheet.rows.iter().filter_map(|r| r.get(i));
                let sum = cells.fold(0u64, |sum, c| sum.saturating_add(c.base()));
                let sum = column.kind.number(sum, self.book.units);
                let letters = letters(at);
                let sums = format!("SUM({letters}{}:{letters}{})", first + 1, first + rows);
                let formula = Formula::new(sums).set_result(sum.to_string());
                let look = bold.clone().set_num_format(column.kind.format(self.book.units));
                self.to.write_formula_with_format(row, at, formula, &look)?;
            } else {
                self.to.write_blank(row, at, &bold)?;
            }
        }
        Ok(())
    }

    /// As wide as the widest of header and cells; what is wider than a screen
    /// takes is wrapped.
    fn width(&self, i: usize, column: &Column) -> usize {
        let head = heading(column, self.book.units);
        // A long header wraps at its blanks.
        let whole = columns(&head);
        let word = head.split(' ').map(columns).max().unwrap_or(0);
        let head = if whole <= SHORT_HEAD { whole } else { word } + BUTTON;
        let shown = |cell: &Cell| match cell {
            Cell::Text(text) => columns(text),
            cell => cell
                .number(self.book.units)
                .map_or(0, |n| width_of(n, column.kind, self.book.units)),
        };
        let cells = self.sheet.rows.iter().filter_map(|r| r.get(i)).map(shown).max().unwrap_or(0);
        let total = if i == 0 { self.sheet.total.as_deref().map_or(0, columns) } else { 0 };
        head.max(cells + 3).max(total + 1).clamp(LEAST_WIDTH, MOST_WIDTH)
    }
}

/// Lines that a text takes in a column.
fn lines(text: &str, width: usize) -> usize {
    // No need to wrap all of what is taller than any row.
    let most = width.max(1) * MOST_LINES;
    let start: String = text.chars().take(most).collect();
    wrap(&start, width.max(1), 0, true).len()
}

/// Columns that a number takes, and a little more for its sum.
fn width_of(number: f64, kind: Kind, units: Units) -> usize {
    let whole = format!("{number:.0}").len();
    let text = number.to_string();
    let decimals = text.split_once('.').map_or(0, |(_, d)| d.len());
    match kind {
        Kind::Mass if units == Units::Imperial => whole + 4,
        Kind::Mass => whole + 1 + decimals.clamp(2, 6) + 1,
        Kind::Bulk => whole + 1 + decimals.clamp(1, 3) + 1,
        Kind::Share => whole + 6,
        Kind::Number => text.len() + 1,
        Kind::Text | Kind::Count => whole + 1,
    }
}

fn heading(column: &Column, units: Units) -> String {
    match column.kind.unit(units) {
        Some(unit) => format!("{} ({unit})", column.head),
        None => column.head.clone(),
    }
}

fn to_column(i: usize) -> Result<u16, XlsxError> {
    u16::try_from(i).map_err(|_| XlsxError::RowColumnLimitError)
}

/// `A`, `B`, …, `Z`, `AA`.
fn letters(column: u16) -> String {
    rust_xlsxwriter::utility::column_number_to_name(column)
}
