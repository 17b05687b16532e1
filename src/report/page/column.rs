//! A column of a table: what it is called and what its cells are.

use super::{ALL, Forms, Kind, Tone};
use crate::quantity::Units;

/// A column by its key, from which the headers are made: `short_of_fit` in CSV and
/// JSON, `short of fit` on terminals and in Markdown, `Short of fit` in workbooks.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    pub key: String,
    pub kind: Kind,
    pub on: Forms,
    heading: Option<String>,
    csv: Option<String>,
    book: Option<String>,
    right: Option<bool>,
    /// Added up where there are totals.
    pub summed: bool,
    /// Masses and volumes as they would read back, not rounded.
    pub exact: bool,
    pub place: Place,
    /// After each value on a terminal.
    pub after: &'static str,
    pub tone: Tone,
    /// Only on terminals at least so wide.
    pub least: usize,
}

/// Where a terminal has the values of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    /// As wide as its widest cell, and if it gives way, down to so much.
    Own(Option<usize>),
    /// So wide.
    Fixed(usize),
    /// No wider than the line divided by this.
    Part(usize),
    /// All that is left, wrapped.
    Wrapped,
    /// All that is left, cut; at least so wide.
    Cut(usize),
    /// In lines under the row, after this word, so far in or as far as the column
    /// that has what is left.
    Under(&'static str, Option<usize>),
}

impl Column {
    pub fn new(key: impl Into<String>, kind: Kind) -> Self {
        Column {
            key: key.into(),
            kind,
            on: ALL,
            heading: None,
            csv: None,
            book: None,
            right: None,
            summed: false,
            exact: false,
            place: Place::Own(None),
            after: "",
            tone: Tone::Plain,
            least: 0,
        }
    }

    pub fn text(key: impl Into<String>) -> Self {
        Column::new(key, Kind::Text)
    }

    pub fn count(key: impl Into<String>) -> Self {
        Column::new(key, Kind::Count)
    }

    pub fn mass(key: impl Into<String>) -> Self {
        Column::new(key, Kind::Mass)
    }

    pub fn bulk(key: impl Into<String>) -> Self {
        Column::new(key, Kind::Bulk)
    }

    pub fn on(self, on: Forms) -> Self {
        Column { on, ..self }
    }

    /// The header, where it is not the key.
    pub fn headed(self, text: impl Into<String>) -> Self {
        Column { heading: Some(text.into()), ..self }
    }

    /// The header in CSV.
    pub fn csv(self, text: impl Into<String>) -> Self {
        Column { csv: Some(text.into()), ..self }
    }

    /// The header in a workbook.
    pub fn book(self, text: impl Into<String>) -> Self {
        Column { book: Some(text.into()), ..self }
    }

    /// Texts that are numbers.
    pub fn right(self) -> Self {
        Column { right: Some(true), ..self }
    }

    pub fn summed(self) -> Self {
        Column { summed: true, ..self }
    }

    pub fn exact(self) -> Self {
        Column { exact: true, ..self }
    }

    pub fn place(self, place: Place) -> Self {
        Column { place, ..self }
    }

    pub fn gives(self, least: usize) -> Self {
        self.place(Place::Own(Some(least)))
    }

    pub fn under(self, before: &'static str, indent: usize) -> Self {
        self.place(Place::Under(before, Some(indent)))
    }

    pub fn after(self, after: &'static str) -> Self {
        Column { after, ..self }
    }

    pub fn tone(self, tone: Tone) -> Self {
        Column { tone, ..self }
    }

    pub fn from_width(self, least: usize) -> Self {
        Column { least, ..self }
    }

    pub fn is_right(&self) -> bool {
        self.right.unwrap_or(self.kind.right())
    }

    /// For terminals and Markdown.
    pub fn heading(&self) -> String {
        self.heading.clone().unwrap_or_else(|| self.key.replace('_', " "))
    }

    /// With the unit where cells are plain numbers: `mass (kg)`.
    pub fn csv_heading(&self, units: Units) -> String {
        let head = self.csv.as_ref().unwrap_or(&self.key);
        match self.kind.unit(units).filter(|_| self.kind != Kind::Grams) {
            Some(unit) => format!("{head} ({unit})"),
            None => head.clone(),
        }
    }

    /// Without the unit.
    #[cfg_attr(not(feature = "spreadsheets"), allow(dead_code))]
    pub fn book_heading(&self) -> String {
        self.book.clone().unwrap_or_else(|| {
            let heading = self.heading();
            let mut letters = heading.chars();
            letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
        })
    }
}
