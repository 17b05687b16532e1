//! CSV as a grid: commas, semicolons or tabs, quotes, lines in cells.

use super::Most;
use super::grid::{Cell, Content, Grid, Row, span, trimmed};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink};
use crate::source::{Source, SourceId};

/// What may part the cells of a line, the likeliest first.
const SEPARATORS: [u8; 4] = *b",;\t|";
/// Lines that are looked at to tell which it is.
const LOOKED_AT: usize = 50;

pub(super) fn grid(
    id: SourceId,
    source: &Source,
    separator: Option<u8>,
    most: Most,
    sink: &mut Sink,
) -> Option<Grid> {
    let text = source.text.as_str();
    let (said, start) = declared(text);
    let separator =
        separator.or(said).unwrap_or_else(|| likely(text.get(start..).unwrap_or_default()));
    let semicolons = separator == b';';
    let mut grid = Grid { texts: true, semicolons, ..Grid::default() };
    if separator != b',' {
        let word = match separator {
            b';' => "semicolons",
            b'\t' => "tabs",
            _ => "bars",
        };
        grid.notes.push(format!("cells are parted by {word}"));
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes().get(start..).unwrap_or_default());
    let mut record = csv::StringRecord::new();
    let mut cells = 0;
    loop {
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => return Some(grid),
            Err(e) => {
                let what = format!("the text is no CSV: {e}");
                sink.add(Diagnostic::error(FaultCode::NotASheet, what));
                return None;
            }
        }
        let at = record.position().map_or(0, |p| p.byte() as usize) + start;
        let end = reader.position().byte() as usize + start;
        let fields = fields(text, at, end, separator);
        if let Some(open) = fields.open {
            let what = "a quote is opened and never closed";
            let d = Diagnostic::error(FaultCode::OpenQuote, what)
                .at(span(id, open, open + 1), "this one");
            sink.add(d.help("close it, or write a quote inside a quoted cell twice: `\"\"`"));
            return None;
        }
        let kept = record.iter().enumerate().filter(|(_, t)| !trimmed(t).is_empty());
        let row: Vec<Cell> = kept
            .map(|(column, text)| {
                let (from, to) = fields.spans.get(column).copied().unwrap_or((at, at));
                let content = Content::Text(unguarded(text).to_string());
                let span = span(id, from, to);
                Cell { column, content, span, formula: None, percent: false, merged: None }
            })
            .collect();
        cells += row.len();
        let many =
            record.len() > most.columns || grid.rows.len() >= most.rows || cells > most.cells;
        if many {
            let d = Diagnostic::error(FaultCode::TooMany, "the table is larger than any list");
            sink.add(d.at(span(id, at, at), "up to here").help(most.told()));
            return None;
        }
        if !row.is_empty() {
            // A record may start with line ends that belong to none.
            let from = row.first().map_or(at, |c| c.span.start);
            grid.rows.push(Row { number: source.line(from), width: record.len(), cells: row });
        }
    }
}

/// `sep=;` in the first line, as some programs write it, and where the table
/// starts.
fn declared(text: &str) -> (Option<u8>, usize) {
    let line = text.lines().next().unwrap_or("");
    match line.trim_end().strip_prefix("sep=").map(str::as_bytes) {
        Some([one]) if one.is_ascii() => {
            let end = text.find('\n').map_or(text.len(), |i| i + 1);
            (Some(*one), end)
        }
        _ => (None, 0),
    }
}

/// The separator that cuts most lines into the same number of cells, more than
/// one; of those the one with most cells, as decimal commas cut fewer lines than
/// what parts the columns; the first of equals.
fn likely(text: &str) -> u8 {
    let score = |separator: u8| {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .from_reader(text.as_bytes());
        let counts: Vec<usize> =
            reader.records().take(LOOKED_AT).filter_map(Result::ok).map(|r| r.len()).collect();
        let alike = |n: usize| (counts.iter().filter(|c| **c == n).count(), n);
        counts.iter().filter(|n| **n > 1).map(|n| alike(*n)).max().unwrap_or_default()
    };
    // The first of equals, where `max_by_key` would take the last.
    SEPARATORS.into_iter().rev().max_by_key(|s| score(*s)).unwrap_or(b',')
}

struct Fields {
    /// Start and end of each field, quotes included.
    spans: Vec<(usize, usize)>,
    /// Where a quote was opened that is not closed.
    open: Option<usize>,
}

/// Where the fields of a record stand; the library tells only where it starts.
fn fields(text: &str, start: usize, end: usize, separator: u8) -> Fields {
    let bytes = text.as_bytes();
    let mut at = start;
    // Line ends before the record.
    while at < end && matches!(bytes.get(at), Some(b'\r' | b'\n')) {
        at += 1;
    }
    let mut out = Fields { spans: Vec::new(), open: None };
    let (mut from, mut quote, mut any) = (at, None, false);
    while at < end {
        match bytes.get(at) {
            Some(b'"') if quote.is_some() => {
                if bytes.get(at + 1) == Some(&b'"') {
                    at += 1;
                } else {
                    quote = None;
                }
            }
            Some(b'"') if !any => quote = Some(at),
            _ if quote.is_some() => {}
            Some(b) if *b == separator => {
                out.spans.push((from, at));
                from = at + 1;
                any = false;
                at += 1;
                continue;
            }
            Some(b'\r' | b'\n') => break,
            _ => {}
        }
        any = true;
        at += 1;
    }
    out.spans.push((from, at));
    out.open = quote;
    out
}

/// Without the apostrophe that our own CSV puts before what a spreadsheet could
/// take for a formula.
fn unguarded(text: &str) -> &str {
    let guarded = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '\\'];
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(guarded) => rest,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Sources;

    fn read(text: &str) -> Option<Vec<Vec<String>>> {
        let mut sources = Sources::default();
        let most = Most { rows: 100, columns: 9, cells: 900 };
        let id = sources.add_text("x.csv", text).unwrap();
        let grid = grid(id, sources.get(id)?, None, most, &mut Sink::default())?;

        let whole = |c: &Cell| (c.text(), &text[c.span.start..c.span.end]);
        for cell in grid.rows.iter().flat_map(|r| &r.cells) {
            let (value, shown) = whole(cell);
            let inner = shown.strip_prefix('"').and_then(|s| s.strip_suffix('"'));
            let plain = inner.unwrap_or(shown).replace("\"\"", "\"");
            assert_eq!(trimmed(unguarded(&plain)), value, "the span is the cell");
        }
        Some(grid.rows.iter().map(|r| r.cells.iter().map(Cell::text).collect()).collect())
    }

    #[test]
    fn separators_quotes_and_lines_in_cells_are_told_apart() {
        let rows = read("a;b;c\r\n1,5;\"x;\"\"y\"\"\";\r\n\r\n;\"two\nlines\";3\n").unwrap();
        assert_eq!(rows, [vec!["a", "b", "c"], vec!["1,5", "x;\"y\""], vec!["two\nlines", "3"]]);
        assert_eq!(read("a\tb\n1,2\t3,4\n").unwrap(), [["a", "b"], ["1,2", "3,4"]]);
        assert_eq!(read("sep=|\na|b;c\n").unwrap(), [["a", "b;c"]]);
        assert_eq!(read("only\none\n").unwrap(), [["only"], ["one"]]);
        assert_eq!(read("n\n'=1+1\n'quoted'\n").unwrap(), [["n"], ["=1+1"], ["'quoted'"]]);
    }

    #[test]
    fn a_quote_left_open_is_a_fault_and_does_not_swallow_the_rest() {
        assert!(read("a,b\n\"x,1\ny,2\n").is_none());
    }
}
