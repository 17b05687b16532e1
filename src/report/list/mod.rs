//! What a crew has and who carries, as a list: a row for each item or carrier,
//! a column for each key of the files and a few more that are reckoned.
//!
//! Every column but the reckoned ones reads back: what CSV and workbooks say is
//! what the files would say.

#[cfg(feature = "spreadsheets")]
mod book;
mod carriers;
mod column;
mod items;
mod json;
mod rows;
mod text;
mod value;

pub use column::{Column, Of, Shape};
pub use rows::{Listing, Section};
pub use value::{Entry, Value};

use super::{Format, Style, table};

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
    match format {
        Format::Table => table::list(listing, style),
        Format::Json => json::render(listing),
        Format::Csv => text::csv(listing),
        Format::Markdown => text::markdown(listing),
    }
}

/// The list as a workbook (XLSX), a sheet for each section.
///
/// # Errors
/// A list beyond what a sheet holds, in words.
#[cfg(feature = "spreadsheets")]
pub fn workbook(listing: &Listing) -> Result<Vec<u8>, String> {
    book::render(listing)
}
