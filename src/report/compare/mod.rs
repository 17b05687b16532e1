//! Loadouts side by side, as a table, JSON, CSV or Markdown.

mod markdown;
pub(super) mod rows;

use super::page::csv::{cell, written};
use super::{CAUTION, Format, Style, json, table};
use crate::ask::compare::Loadout;

/// The whole report, with a line feed at its end.
pub fn render(loadouts: &[Loadout], format: Format, style: &Style) -> String {
    match format {
        Format::Table => table::compare(loadouts, style),
        Format::Json => json::compare(loadouts),
        Format::Csv => csv(loadouts),
        Format::Markdown => markdown::render(loadouts),
    }
}

/// A row for each line of the table, a column for each loadout.
fn csv(loadouts: &[Loadout]) -> String {
    let mut header = vec!["section".to_string(), "row".into(), "differs".into()];
    header.extend(loadouts.iter().map(|l| cell(&l.label)));
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let mut out = Vec::new();
    for section in rows::sections(loadouts) {
        for row in section.rows {
            let differs = if row.differs() { "yes" } else { "no" };
            let mut line = vec![section.title.to_string(), cell(&row.label), differs.into()];
            line.extend(row.cells.iter().map(|c| cell(c)));
            out.push(line);
        }
    }
    written(&header, &out)
}

/// What every form ends with.
pub(super) fn closing() -> &'static str {
    CAUTION
}
