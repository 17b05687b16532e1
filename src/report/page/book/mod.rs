//! A page as a workbook (XLSX) to be read by people: for each sheet a title, a
//! header that stays in sight, filters, widths that fit, and totals as formulas.
//!
//! Numbers are real numbers, made from whole base units by one division, with
//! the unit in the header. Whatever a user typed is written as text, never as
//! a formula, a link or a number, and cleaned as everywhere else. The same
//! page gives the same bytes: the date of creation is fixed, no clock is read.

mod cell;
mod names;
mod write;

use super::{Page, Table, WORKBOOK, What};
use tumpline_core::text::clean;

/// One sheet: lines of text over one table.
#[derive(Debug, Default)]
struct Sheet<'a> {
    /// A name that a workbook cannot have, or has already, is changed a little.
    name: String,
    notes: Vec<String>,
    table: Option<&'a Table>,
}

/// The file.
///
/// # Errors
/// What the library says, for a table beyond what a sheet holds (1,048,576
/// rows, 16,384 columns).
pub(super) fn bytes(page: &Page) -> Result<Vec<u8>, String> {
    write::bytes(&clean(&page.title), page.units, &sheets(page))
}

/// A sheet for each heading that has something, and for each table beyond the
/// first under one.
fn sheets<'a>(page: &'a Page<'_>) -> Vec<Sheet<'a>> {
    let mut sheets: Vec<Sheet> = Vec::new();
    let new = |name: &str| Sheet { name: clean(name), ..Sheet::default() };
    for what in page.of(WORKBOOK) {
        match what {
            What::Heading(_, text) => sheets.push(new(text)),
            What::Sides(sides) => sheets.extend(
                sides.iter().map(|(title, table)| Sheet { table: Some(table), ..new(title) }),
            ),
            What::Text(_) | What::Table(_) => {
                let full = |s: &Sheet| s.table.is_some() && matches!(what, What::Table(_));
                if sheets.last().is_none_or(full) {
                    let name = sheets.last().map_or(page.title.clone(), |s| s.name.clone());
                    sheets.push(new(&name));
                }
                let Some(last) = sheets.last_mut() else { continue };
                match what {
                    What::Text(text) => last.notes.push(clean(&text.text)),
                    What::Table(table) => last.table = Some(table),
                    _ => {}
                }
            }
            What::Title(_) | What::Term(..) | What::Gap => {}
        }
    }
    sheets.retain(|s| s.table.is_some() || !s.notes.is_empty());
    sheets
}

#[cfg(test)]
mod tests;
