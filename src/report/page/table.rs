//! A table: columns that are named once, and rows of values.

use super::{Cell, Column, Forms, Kind, Tone};
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

#[derive(Debug, Clone, Default)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Whole {
    #[default]
    No,
    Cut,
    /// Not indented either.
    Wrapped,
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
        Row { cells, ..Row::default() }
    }
}
