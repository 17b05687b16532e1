//! Lists as workbooks.

use super::column::Shape;
use super::rows::{Listing, Section};
use super::value::Value;
use crate::report::CAUTION;
use crate::report::workbook::{Book, Cell, Kind, Sheet};

pub(super) fn render(listing: &Listing) -> Result<Vec<u8>, String> {
    let units = listing.sections.first().map(|s| s.units).unwrap_or_default();
    let files = listing.sections.iter().map(|s| s.file.as_str());
    let mut title: Vec<&str> = files.collect();
    title.dedup();
    let mut book = Book::new(&title.join(", "), units);
    listing.sections.iter().for_each(|s| book.sheet(sheet(s)));
    book.bytes()
}

fn sheet(section: &Section) -> Sheet {
    let name = match section.of {
        super::Of::Equipment => "Equipment",
        super::Of::Carriers => "Carriers",
    };
    let mut sheet = Sheet::new(name);
    if section.of == super::Of::Carriers {
        sheet = sheet.note(CAUTION);
    }
    for column in &section.columns {
        let kind = match column.shape {
            Shape::Text => Kind::Text,
            Shape::Count => Kind::Count,
            Shape::Mass => Kind::Mass,
            Shape::Bulk => Kind::Bulk,
        };
        sheet = match column.summed {
            true => sheet.summed(column.name, kind),
            false => sheet.column(column.name, kind),
        };
    }
    if section.columns.iter().any(|c| c.summed) {
        sheet = sheet.total("Total");
    }
    for row in &section.rows {
        let cells = row.iter().map(|v| match v {
            Value::None => Cell::Empty,
            Value::Count(n) => Cell::Count(*n),
            Value::Mass(mass) => Cell::Mass(*mass),
            Value::Bulk(bulk) => Cell::Bulk(*bulk),
            v => Cell::Text(v.text(section.units)),
        });
        sheet.row(cells.collect());
    }
    sheet
}
