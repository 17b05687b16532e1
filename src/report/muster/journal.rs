//! The journal: a line for each change that a count made to the stores file.

use crate::ask::muster::Difference;
use crate::load::{Catalogue, Counting};
use crate::report::page::csv::{cell, written};

const HEADER: [&str; 8] = ["date", "by", "item", "what", "from", "to", "count_file", "note"];

/// The first line of a journal.
pub fn journal_header() -> String {
    written(&HEADER, &[] as &[Vec<String>])
}

/// A line for each change; `by` stands where the sheet does not say who counted.
pub fn journal_lines(
    catalogue: &Catalogue,
    differences: &[Difference],
    date: &str,
    by: &str,
    count_file: &str,
) -> String {
    let rows: Vec<[String; 8]> = differences
        .iter()
        .map(|d| {
            let (item, what) = match &d.counted.what {
                Counting::Loose(item, at) => {
                    let to = at.to().map_or(String::new(), |to| format!(" to {to}"));
                    (item, format!("{}{to}", at.word()))
                }
                Counting::InCase(path, item) => (item, format!("in {}", path.text(catalogue))),
            };
            [
                date.to_string(),
                cell(d.counted.by.as_deref().unwrap_or(by)),
                cell(&catalogue[*item].id),
                cell(&what),
                d.recorded.to_string(),
                d.counted.count.to_string(),
                cell(count_file),
                cell(d.counted.note.as_deref().unwrap_or("")),
            ]
        })
        .collect();
    let whole = written(&HEADER, &rows);
    // Without the header.
    whole.split_once("\r\n").map_or(String::new(), |(_, rows)| rows.to_string())
}
