//! From sheets to the bytes of an XLSX file.

use super::cell::inert;
use super::{Sheet, names};
use crate::quantity::Units;
use crate::report::page::{Cell, Column, Kind, Row, Table, WORKBOOK};
use crate::report::text::{columns as columns_of, wrap};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Formula, Workbook, Worksheet,
    XlsxError,
};
use tumpline_core::text::clean;

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

pub(super) fn bytes(title: &str, units: Units, sheets: &[Sheet]) -> Result<Vec<u8>, String> {
    written(title, units, sheets).map_err(|e| e.to_string())
}

fn written(title: &str, units: Units, sheets: &[Sheet]) -> Result<Vec<u8>, XlsxError> {
    let mut out = Workbook::new();
    // Not the day it was made: the same plan gives the same file.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let properties = DocProperties::new().set_title(inert(title)).set_author("Tumpline");
    out.set_properties(&properties.set_creation_datetime(&made));
    let looks = Looks::new();
    let mut taken = Vec::new();
    for sheet in sheets {
        let name = names::legal(&sheet.name, &taken);
        taken.push(name.clone());
        let mut on = Pen { units, looks: &looks, to: out.add_worksheet() };
        on.to.set_name(name)?;
        on.sheet(title, sheet)?;
    }
    if sheets.is_empty() {
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

struct Pen<'a> {
    units: Units,
    looks: &'a Looks,
    to: &'a mut Worksheet,
}

impl Pen<'_> {
    fn sheet(&mut self, title: &str, sheet: &Sheet) -> Result<(), XlsxError> {
        self.to.write_string_with_format(0, 0, inert(title), &self.looks.title)?;
        let mut line = 1;
        for note in &sheet.notes {
            self.to.write_string_with_format(line, 0, inert(note), &self.looks.note)?;
            line += 1;
        }
        if let Some(table) = sheet.table {
            self.table(line + 1, table)?;
        }
        self.to.set_landscape();
        // One page wide, and as many long as it takes.
        self.to.set_print_fit_to_pages(1, 0);
        self.to.set_footer("&L&A&RPage &P of &N");
        Ok(())
    }

    fn table(&mut self, head: u32, table: &Table) -> Result<(), XlsxError> {
        let columns: Vec<(usize, &Column)> = table.on(WORKBOOK).collect();
        let rows: Vec<&Row> = table.rows(WORKBOOK).collect();
        let Some(last) = columns.len().checked_sub(1) else { return Ok(()) };
        let last_column = to_column(last)?;
        let word = |i: usize| table.total.as_deref().filter(|_| i == 0).map_or(0, columns_of);
        let widths: Vec<usize> = columns
            .iter()
            .enumerate()
            .map(|(i, (at, c))| {
                self.width(c, rows.iter().filter_map(|r| r.cells.get(*at)), word(i))
            })
            .collect();
        // Not every program that opens it finds the height of wrapped text itself.
        let heads = columns.iter().zip(&widths);
        let heads = heads.map(|((_, c), w)| lines(&self.heading(c), w.saturating_sub(BUTTON)));
        self.height(head, heads.max())?;
        for (i, (_, column)) in columns.iter().enumerate() {
            let at = to_column(i)?;
            let look = match column.kind {
                Kind::Text => &self.looks.head,
                _ => &self.looks.head_number,
            };
            self.to.write_string_with_format(head, at, inert(&self.heading(column)), look)?;
            self.to.set_column_width(at, widths.get(i).copied().unwrap_or(LEAST_WIDTH) as f64)?;
        }
        let first = head + 1;
        for (at, row) in (first..).zip(&rows) {
            let mut tall = 1;
            for (i, (cell, column)) in columns.iter().enumerate() {
                let Some(cell) = row.cells.get(*cell) else { continue };
                let wide = widths.get(i).map_or(0, |w| w.saturating_sub(2));
                tall = self.cell(at, to_column(i)?, cell, column, wide)?.max(tall);
            }
            self.height(at, Some(tall))?;
        }
        let count = u32::try_from(rows.len()).map_err(|_| XlsxError::RowColumnLimitError)?;
        if count > 0 {
            self.to.autofilter(head, 0, head + count, last_column)?;
        }
        self.to.set_freeze_panes(first, 0)?;
        self.to.set_repeat_rows(head, head)?;
        if let Some(word) = &table.total {
            self.totals(first, &columns, &rows, word)?;
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

    /// The lines that it takes in a column so wide.
    fn cell(
        &mut self,
        row: u32,
        at: u16,
        cell: &Cell,
        column: &Column,
        wide: usize,
    ) -> Result<usize, XlsxError> {
        if let Some(number) = cell.shown(self.units) {
            let look = self.looks.number(column.kind, self.units);
            self.to.write_number_with_format(row, at, number, &look)?;
            return Ok(1);
        }
        if *cell == Cell::None {
            return Ok(1);
        }
        let text = cell.text(self.units, true);
        self.to.write_string_with_format(row, at, inert(&text), &self.looks.text)?;
        Ok(lines(&text, wide))
    }

    /// After an empty row, so that no filter and no sorting takes it along.
    fn totals(
        &mut self,
        first: u32,
        columns: &[(usize, &Column)],
        rows: &[&Row],
        word: &str,
    ) -> Result<(), XlsxError> {
        let count = rows.len() as u32;
        let row = first + count + 1;
        let bold = Format::new().set_bold().set_border_top(FormatBorder::Thin);
        for (i, (cell, column)) in columns.iter().enumerate() {
            let at = to_column(i)?;
            if i == 0 && !column.summed {
                self.to.write_string_with_format(row, at, inert(word), &bold)?;
            } else if column.summed && count > 0 {
                let cells = rows.iter().filter_map(|r| r.cells.get(*cell));
                let sum = cells.fold(0u64, |sum, c| sum.saturating_add(c.base()));
                let sum = column.kind.shown(sum, self.units);
                let letters = letters(at);
                let sums = format!("SUM({letters}{}:{letters}{})", first + 1, first + count);
                let formula = Formula::new(sums).set_result(sum.to_string());
                let look = bold.clone().set_num_format(column.kind.format(self.units));
                self.to.write_formula_with_format(row, at, formula, &look)?;
            } else {
                self.to.write_blank(row, at, &bold)?;
            }
        }
        Ok(())
    }

    /// As wide as the widest of header and cells; what is wider than a screen
    /// takes is wrapped. `total`: what the word beside the totals takes.
    fn width<'c>(
        &self,
        column: &Column,
        cells: impl Iterator<Item = &'c Cell>,
        total: usize,
    ) -> usize {
        let head = self.heading(column);
        // A long header wraps at its blanks.
        let whole = columns_of(&head);
        let word = head.split(' ').map(columns_of).max().unwrap_or(0);
        let head = if whole <= SHORT_HEAD { whole } else { word } + BUTTON;
        let shown = |cell: &Cell| match cell.shown(self.units) {
            Some(number) => width_of(number, column.kind, self.units),
            None => columns_of(&cell.text(self.units, true)),
        };
        let cells = cells.map(shown).max().unwrap_or(0);
        let total = if total > 0 { total + 1 } else { 0 };
        head.max(cells + 3).max(total).clamp(LEAST_WIDTH, MOST_WIDTH)
    }

    fn heading(&self, column: &Column) -> String {
        let head = clean(&column.book_heading());
        // Numbers that are shares say so themselves.
        match column.kind.unit(self.units).filter(|_| column.kind != Kind::Share) {
            Some(unit) => format!("{head} ({unit})"),
            None => head,
        }
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
        Kind::Mass | Kind::Grams if units == Units::Imperial => whole + 4,
        Kind::Mass | Kind::Grams => whole + 1 + decimals.clamp(2, 6) + 1,
        Kind::Bulk => whole + 1 + decimals.clamp(1, 3) + 1,
        Kind::Share | Kind::Bar => whole + 6,
        Kind::Number => text.len() + 1,
        Kind::Text | Kind::Count => whole + 1,
    }
}

fn to_column(i: usize) -> Result<u16, XlsxError> {
    u16::try_from(i).map_err(|_| XlsxError::RowColumnLimitError)
}

/// `A`, `B`, …, `Z`, `AA`.
fn letters(column: u16) -> String {
    rust_xlsxwriter::utility::column_number_to_name(column)
}
