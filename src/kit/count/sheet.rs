//! The cells of a sheet of comma-separated values, each with its place.

use crate::code::Code;
use crate::diagnostic::{Diagnostic, Sink};
use crate::source::{SourceId, Span};

/// A row: what is in each cell, blanks at its ends left out, and where.
pub(super) type Row = Vec<(String, Span)>;

/// The most rows that are read.
const MOST_ROWS: usize = 100_000;
const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// Every row that is not blank. Cells are parted by whichever of comma,
/// semicolon and tab there is most of in the first line.
pub(super) fn rows(id: SourceId, text: &str, sink: &mut Sink) -> Vec<Row> {
    let first = text.lines().find(|l| !l.trim().is_empty()).unwrap_or("");
    let often = |d: &u8| first.bytes().filter(|b| b == d).count();
    // Of equals the first one wins: `max_by_key` takes the last.
    let delimiter = DELIMITERS.into_iter().rev().max_by_key(often).unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut out = Vec::new();
    for record in reader.records() {
        let Ok(record) = record else { continue };
        let start = record.position().map_or(0, |p| p.byte() as usize);
        let (places, open) = places(text, start, delimiter);
        if let Some(at) = open {
            let span = Span { source: id, start: at, end: at + 1 };
            sink.fault(|| {
                Diagnostic::error(Code::BadCell, "a quotation mark is not closed")
                    .at(span, "opened here")
                    .help("close it, or write two of them for one that is meant as text")
            });
            return out;
        }
        let whole = Span { source: id, start, end: start };
        if out.len() == MOST_ROWS {
            sink.fault(|| {
                let what = format!("the sheet has more than {MOST_ROWS} rows");
                Diagnostic::error(Code::TooMany, what).at(whole, "one too many")
            });
            return out;
        }
        let cell = |(i, text): (usize, &str)| {
            let place =
                places.get(i).map(|(start, end)| Span { source: id, start: *start, end: *end });
            (unguarded(text.trim()).to_string(), place.unwrap_or(whole))
        };
        let row: Row = record.iter().enumerate().map(cell).collect();
        if row.iter().any(|(text, _)| !text.is_empty()) {
            out.push(row);
        }
    }
    out
}

/// Without the apostrophe that keeps a text from being a formula.
fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']) => rest,
        _ => text,
    }
}

/// Where each cell of the row that starts here stands; and a quotation mark
/// that is not closed, if there is one.
fn places(text: &str, start: usize, delimiter: u8) -> (Vec<(usize, usize)>, Option<usize>) {
    let bytes = text.as_bytes();
    let at = |i: usize| bytes.get(i).copied();
    let ends = |i: usize| matches!(at(i), None | Some(b'\n' | b'\r'));
    let mut i = start;
    while matches!(at(i), Some(b'\n' | b'\r')) {
        i += 1;
    }
    let mut out = Vec::new();
    loop {
        let from = i;
        if at(i) == Some(b'"') {
            i += 1;
            loop {
                match (at(i), at(i + 1)) {
                    (None, _) => return (out, Some(from)),
                    (Some(b'"'), Some(b'"')) => i += 2,
                    (Some(b'"'), _) => break,
                    _ => i += 1,
                }
            }
        }
        while !ends(i) && at(i) != Some(delimiter) {
            i += 1;
        }
        let cell = text.get(from..i).unwrap_or("");
        let lead = cell.len() - cell.trim_start().len();
        let start = from + if cell.trim().is_empty() { 0 } else { lead };
        out.push((start, start + cell.trim().len()));
        if ends(i) {
            return (out, None);
        }
        i += 1;
    }
}
