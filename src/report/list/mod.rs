//! What a crew has and who carries, as a list: a row for each item or carrier,
//! a column for each key of the files and a few more that are computed.
//!
//! Every column but the computed ones reads back: what CSV and workbooks say is
//! what the files would say.

mod carriers;
mod column;
mod items;
mod rows;

pub use column::{Column, Of};
pub use rows::{Listing, Section};

use super::page::{MARKDOWN, Page, Row, TERMINAL, TEXTS, Table, WORKBOOK};
use super::page::{heading, heading_of, json_rows, json_sums, para};
use super::pretty_json::pretty;
use super::{CAUTION, Format, Style};
use serde_json::{Value, json};

/// The columns of a kind of list, in their order.
pub fn columns(of: Of) -> &'static [Column] {
    match of {
        Of::Equipment => items::COLUMNS,
        Of::Carriers => carriers::COLUMNS,
    }
}

/// The list, with a line feed at its end. CSV has the rows of all sections
/// under one header, so they have to be of one kind.
pub fn render(listing: &Listing, format: Format, style: &Style) -> String {
    page(listing).render(format, style)
}

/// The list as a workbook (XLSX), a sheet for each section.
///
/// # Errors
/// A list beyond what a sheet holds, in words.
pub fn workbook(listing: &Listing) -> Result<Vec<u8>, String> {
    page(listing).workbook()
}

pub(crate) fn page(listing: &Listing) -> Page<'_> {
    let units = listing.sections.first().map(|s| s.units).unwrap_or_default();
    let mut files: Vec<&str> = listing.sections.iter().map(|s| s.file.as_str()).collect();
    files.dedup();
    let mut page = Page::new(&files.join(", "), units).document(|| json(listing));
    for section in &listing.sections {
        let (file, of, table) = (&section.file, section.of.word(), table(section));
        page.push(heading_of(1, &format!("{file}: {of}")).on(TERMINAL));
        page.push(heading_of(1, &format!("{file}, {of}")).on(MARKDOWN));
        let (sheet, caution) = match section.of {
            Of::Equipment => ("Equipment", false),
            Of::Carriers => ("Carriers", true),
        };
        page.push(heading(sheet).on(WORKBOOK));
        if caution {
            page.push(para(CAUTION).on(WORKBOOK));
        }
        let mut totals = vec![section.counted()];
        totals.extend(table.columns.iter().enumerate().filter_map(|(i, column)| {
            Some(format!("{} {}", column.key, table.sum(TEXTS, i)?.text(section.units, true)))
        }));
        page.push(table);
        page.push(para(&totals.join("; ")).on(TEXTS));
        if caution {
            page.push(para(CAUTION).on(TEXTS));
        }
    }
    page
}

fn table(section: &Section) -> Table {
    let columns = section.columns.iter().map(Column::printed).collect();
    let rows = section.rows.iter().map(|row| Row::of(row.iter().cloned())).collect();
    let total = section.columns.iter().any(|c| c.summed).then(|| "Total".into());
    Table { columns, rows, total, units: Some(section.units), ..Table::default() }
}

fn json(listing: &Listing) -> String {
    let section = |s: &Section| -> Value {
        let table = table(s);
        json!({
            "file": s.file,
            "of": s.of.word(),
            "rows": json_rows(&table),
            "sums": json_sums(&table),
        })
    };
    let lists: Vec<Value> = listing.sections.iter().map(section).collect();
    let document = json!({ "format_version": 1, "lists": lists });
    pretty(&document)
}
