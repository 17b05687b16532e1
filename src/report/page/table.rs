//! A table: columns that are named once, and rows of values.

use super::{ALL, Cell, Forms, Kind, Tone};
use crate::quantity::{Bulk, Mass, Units};

/// Columns and rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct Table {
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    /// Where they are not those of the page.
    pub units: Option<Units>,
    /// A row of totals in a workbook, with this word in its first column.
    pub total: Option<String>,
    pub head: Head,
    /// Blanks before it on a terminal.
    pub indent: usize,
    /// Tables of a page with the same word here share their widths.
    pub group: Option<&'static str>,
    /// Markdown leaves out the second blank of an empty cell.
    pub tight: bool,
}

/// What a table has over its rows on a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Head {
    /// The header, and a rule under it and under the last row.
    #[default]
    Ruled,
    /// The header in this tone.
    Bare(Tone),
    None,
}

#[derive(Debug, Clone)]
pub(crate) struct Row {
    /// One for each column.
    pub cells: Vec<Cell>,
    pub on: Forms,
    /// Of the whole row.
    pub tone: Tone,
    pub whole: Whole,
    /// Markdown prints the first cell bold.
    pub bold: bool,
}

/// Whether the first cell of a row has the whole line on a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Whole {
    No,
    Cut,
    /// Not indented either.
    Wrapped,
}

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

/// A table in the making: a row for each thing, column by column.
pub(crate) struct Filling<R> {
    of: Vec<R>,
    table: Table,
}

impl<R> Filling<R> {
    /// One more column, and what each row has in it.
    pub fn col<V: Into<Cell>>(mut self, column: Column, value: impl Fn(&R) -> V) -> Self {
        for (row, of) in self.table.rows.iter_mut().zip(&self.of) {
            row.cells.push(value(of).into());
        }
        self.table.columns.push(column);
        self
    }

    /// How each row looks.
    pub fn rows(mut self, look: impl Fn(&R, &mut Row)) -> Self {
        self.of.iter().zip(&mut self.table.rows).for_each(|(of, row)| look(of, row));
        self
    }

    pub fn done(self) -> Table {
        self.table
    }
}

impl Table {
    /// A row for each thing.
    pub fn of<R>(things: impl IntoIterator<Item = R>) -> Filling<R> {
        let of: Vec<R> = things.into_iter().collect();
        let rows = of.iter().map(|_| Row::of([])).collect();
        Filling { of, table: Table { rows, ..Table::default() } }
    }

    /// Without a header on a terminal, a little in.
    pub fn bare(self) -> Self {
        Table { head: Head::None, indent: 2, ..self }
    }

    pub fn group(self, group: &'static str) -> Self {
        Table { group: Some(group), ..self }
    }

    pub fn tight(self) -> Self {
        Table { tight: true, ..self }
    }

    pub fn total(self, word: &str) -> Self {
        Table { total: Some(word.into()), ..self }
    }

    /// Only these columns, by their places, in this order; none stands for all.
    pub fn pick(mut self, places: &[usize]) -> Self {
        if !places.is_empty() {
            self.columns = places.iter().filter_map(|p| self.columns.get(*p).cloned()).collect();
            for row in &mut self.rows {
                row.cells = places.iter().filter_map(|p| row.cells.get(*p).cloned()).collect();
            }
        }
        self
    }

    /// Columns of one of the forms, by their places.
    pub fn on(&self, form: Forms) -> impl Iterator<Item = (usize, &Column)> {
        self.columns.iter().enumerate().filter(move |(_, c)| c.on.has(form))
    }

    /// The rows of one of the forms.
    pub fn rows(&self, form: Forms) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |r| r.on.has(form))
    }

    /// The sum of a column in one of the forms, if it is one to be summed.
    pub fn sum(&self, form: Forms, at: usize) -> Option<Cell> {
        let column = self.columns.get(at).filter(|c| c.summed)?;
        let base = self.rows(form).filter_map(|r| r.cells.get(at));
        let base = base.fold(0u64, |sum, cell| sum.saturating_add(cell.base()));
        Some(match column.kind {
            Kind::Mass | Kind::Grams => Cell::Mass(Mass::from_mg(base)),
            Kind::Bulk => Cell::Bulk(Bulk::from_ml(base)),
            _ => Cell::Count(base),
        })
    }
}

impl Row {
    pub fn of(cells: impl IntoIterator<Item = Cell>) -> Self {
        let cells = cells.into_iter().collect();
        Row { cells, on: ALL, tone: Tone::Plain, whole: Whole::No, bold: false }
    }
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
    pub fn book_heading(&self) -> String {
        self.book.clone().unwrap_or_else(|| {
            let heading = self.heading();
            let mut letters = heading.chars();
            letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
        })
    }
}
