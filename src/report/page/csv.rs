//! CSV (RFC 4180) for spreadsheets: one table.

use super::{CSV, Page, Table, What};
use tumpline_core::text::clean;

/// The first table, and the rows of those after it that have the same columns.
/// Masses and volumes are plain numbers, their unit in the header, exact in metric
/// kits.
pub(super) fn render(page: &Page) -> String {
    let mut tables: Vec<&Table> = Vec::new();
    for what in page.of(CSV) {
        match what {
            What::Table(table) => tables.push(table),
            What::Sides(sides) => tables.extend(sides.iter().map(|(_, table)| table)),
            _ => {}
        }
    }
    let Some(first) = tables.first() else { return String::new() };
    let header = |table: &Table| -> Vec<String> {
        table.on(CSV).map(|(_, c)| cell(&c.csv_heading(page.units))).collect()
    };
    let names = header(first);
    let rows = tables.iter().filter(|t| header(t) == names).flat_map(|table| {
        table.rows(CSV).map(|row| {
            let cells = table.on(CSV).filter_map(|(i, c)| Some((c, row.cells.get(i)?)));
            let text = cells.map(|(c, value)| {
                let number = value.number(c.kind, page.units);
                number.unwrap_or_else(|| cell(&value.text(page.units, true)))
            });
            text.collect::<Vec<String>>()
        })
    });
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    written(&names, &rows.collect::<Vec<_>>())
}

/// Header and rows, each as long as the header.
pub(in crate::report) fn written<R: AsRef<[String]>>(header: &[&str], rows: &[R]) -> String {
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    // Writing to memory, every row as long as the header: neither can fail.
    let written = out.write_record(header).is_ok()
        && rows.iter().all(|row| out.write_record(row.as_ref()).is_ok());
    debug_assert!(written);
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// Clean text that no spreadsheet takes for a formula: a cell that starts with
/// `=`, `+`, `-`, `@` (their wide forms too), a tab or a line end gets an
/// apostrophe in front.
pub(in crate::report) fn cell(text: &str) -> String {
    let starts = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r', '\n'];
    let guard = if text.starts_with(starts) { "'" } else { "" };
    format!("{guard}{}", clean(text))
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn no_cell_is_a_formula() {
        assert_eq!(cell("=cmd|' /C calc'!A0"), "'=cmd|' /C calc'!A0");
        assert_eq!(cell("+1"), "'+1");
        assert_eq!(cell("@SUM(A1)"), "'@SUM(A1)");
        assert_eq!(cell("\t=1"), "'\\t=1");
        assert_eq!(cell("12 V battery - spare"), "12 V battery - spare");
    }
}
