//! A column of a table: what it is called and what its cells are.

use super::{Forms, Kind, Tone};
use crate::quantity::Units;

/// A column by its key, from which the headers are made: `short_of_fit` in CSV and
/// JSON, `short of fit` on terminals and in Markdown, `Short of fit` in workbooks.
#[derive(Debug, Clone, Default)]
pub(crate) struct Column {
    pub key: String,
    pub kind: Kind,
    pub on: Forms,
    heading: Option<String>,
    short: Option<String>,
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

impl Default for Place {
    fn default() -> Self {
        Place::Own(None)
    }
}

/// What can be said of a column beside its key and kind.
macro_rules! with {
    ($($(#[$about:meta])* $set:ident($($value:ident: $of:ty),*) $field:ident = $made:expr;)*) => {
        $($(#[$about])* pub fn $set(mut self, $($value: $of),*) -> Self {
            self.$field = $made;
            self
        })*
    };
}

impl Column {
    pub fn new(key: impl Into<String>, kind: Kind) -> Self {
        Column { key: key.into(), kind, ..Column::default() }
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

    with! {
        on(forms: Forms) on = forms;
        /// The header, where it is not the key.
        headed(text: &str) heading = Some(text.into());
        /// The header on a terminal, where there is less room for it.
        short(text: &str) short = Some(text.into());
        /// The header in CSV.
        csv(text: &str) csv = Some(text.into());
        /// The header in a workbook.
        book(text: &str) book = Some(text.into());
        /// Texts that are numbers.
        right() right = Some(true);
        summed() summed = true;
        exact() exact = true;
        place(place: Place) place = place;
        gives(least: usize) place = Place::Own(Some(least));
        under(before: &'static str, indent: usize) place = Place::Under(before, Some(indent));
        after(word: &'static str) after = word;
        tone(tone: Tone) tone = tone;
        least(width: usize) least = width;
    }

    pub fn is_right(&self) -> bool {
        self.right.unwrap_or(self.kind.right())
    }

    /// For a terminal.
    pub fn short_heading(&self) -> String {
        self.short.clone().unwrap_or_else(|| self.heading())
    }

    /// For Markdown.
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
