//! A sheet as it stands: rows of cells, each with its place.

use crate::source::{SourceId, TextSpan};
use std::collections::BTreeSet;

/// A sheet of a workbook, or a CSV file.
#[derive(Debug, Default)]
pub(crate) struct Grid {
    /// Rows that hold something, in order.
    pub rows: Vec<Row>,
    /// What there is to say about the sheet as a whole.
    pub notes: Vec<String>,
    /// Whether numbers come as text, so that commas may be decimal.
    pub texts: bool,
    /// Whether cells are parted by semicolons.
    pub semicolons: bool,
}

#[derive(Debug)]
pub(crate) struct Row {
    /// From one: the row of a sheet, the line of a CSV file.
    pub number: usize,
    /// How many cells it has, those included in which nothing stands.
    pub width: usize,
    /// Those in which something stands.
    pub cells: Vec<Cell>,
}

#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// From zero.
    pub column: usize,
    pub content: Content,
    pub span: TextSpan,
    /// It holds a formula, and `content` is its last result.
    pub formula: Option<String>,
    /// It is shown as a percentage.
    pub percent: bool,
    /// It is merged over so many rows and was written in the first of them.
    pub merged: Option<Merged>,
}

/// The rows of a merged cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Merged {
    pub first: usize,
    pub last: usize,
}

#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(not(feature = "spreadsheets"), allow(dead_code, reason = "CSV has texts alone"))]
pub(crate) enum Content {
    Text(String),
    Number(f64),
    Flag(bool),
    /// As people write it: `2026-05-04`.
    Date(String),
    /// `#N/A` and the like.
    Error(String),
}

impl Row {
    pub fn cell(&self, column: usize) -> Option<&Cell> {
        self.cells.iter().find(|c| c.column == column)
    }

    pub fn span(&self) -> Option<TextSpan> {
        self.cells.first().map(|c| c.span)
    }
}

impl Cell {
    /// The text that people see, without blanks around it.
    pub fn text(&self) -> String {
        match &self.content {
            Content::Text(text) => trimmed(text).to_string(),
            Content::Number(n) if self.percent => format!("{} %", percent(*n)),
            Content::Number(n) => decimal(*n),
            Content::Flag(flag) => if *flag { "yes" } else { "no" }.into(),
            Content::Date(text) | Content::Error(text) => text.clone(),
        }
    }

    /// Where that text stands in the text of the sheet.
    pub fn place(&self, sheet: &str) -> TextSpan {
        let TextSpan { source, start, end } = self.span;
        let whole = sheet.get(start..end).unwrap_or("");
        let lead = whole.len() - whole.trim_start().len();
        span(source, start + lead, start + lead + whole.trim().len())
    }

    pub fn is_text(&self) -> bool {
        matches!(self.content, Content::Text(_))
    }

    /// Whether a formula adds things up.
    pub fn adds_up(&self) -> bool {
        let formula = self.formula.as_deref().unwrap_or("").to_uppercase();
        formula.contains("SUM(") || formula.contains("SUBTOTAL(") || formula.contains("AGGREGATE(")
    }
}

impl Grid {
    /// The columns in which something stands.
    pub fn columns(&self) -> BTreeSet<usize> {
        self.rows.iter().flat_map(|r| r.cells.iter().map(|c| c.column)).collect()
    }
}

/// Without blanks at either end, those that do not break and those without width
/// among them.
pub(crate) fn trimmed(text: &str) -> &str {
    text.trim_matches(|c: char| c.is_whitespace() || matches!(c, '\u{200b}' | '\u{feff}'))
}

/// The shortest decimal that is this number and no other: what was typed. Twelve
/// decimals at most, far below any base unit.
pub(crate) fn decimal(number: f64) -> String {
    let text = number.to_string();
    match text.split_once('.') {
        Some((_, part)) if part.len() > 12 => {
            let text = format!("{number:.12}");
            text.trim_end_matches('0').trim_end_matches('.').to_string()
        }
        _ => text,
    }
}

/// A fraction as a percentage: the point is moved, nothing is computed.
fn percent(fraction: f64) -> String {
    let text = fraction.to_string();
    let (sign, digits) = text.strip_prefix('-').map_or(("", text.as_str()), |d| ("-", d));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let part = format!("{part:0<2}");
    let (up, rest) = part.split_at(2);
    let whole = format!("{whole}{up}");
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let rest = rest.trim_end_matches('0');
    match rest.is_empty() {
        true => format!("{sign}{whole}"),
        false => format!("{sign}{whole}.{rest}"),
    }
}

/// `A`, `B`, …, `Z`, `AA`.
pub(crate) fn letters(column: usize) -> String {
    let mut out = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        out.push(b'A' + ((rest - 1) % 26) as u8);
        rest = (rest - 1) / 26;
    }
    out.iter().rev().map(|b| char::from(*b)).collect()
}

/// A stretch of a source.
pub(super) fn span(source: SourceId, start: usize, end: usize) -> TextSpan {
    TextSpan { source, start, end }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_what_was_typed() {
        let typed = [0.1, 4.7, 1e-7, 123_456_789.5, 0.3, 28.349_523_125];
        let shown = ["0.1", "4.7", "0.0000001", "123456789.5", "0.3", "28.349523125"];
        assert_eq!(typed.map(decimal), shown);
        assert_eq!(decimal(0.1 + 0.2), "0.3");
        assert_eq!(
            [0.3, 0.07, 1.0, 0.0, 1.255, 0.125].map(percent),
            ["30", "7", "100", "0", "125.5", "12.5"]
        );
    }

    #[test]
    fn columns_have_letters() {
        assert_eq!(
            [0, 25, 26, 51, 52, 701, 702].map(letters),
            ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
        );
    }
}
