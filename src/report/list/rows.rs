//! Which rows and columns a list has, and in which order.

use super::column::{Column, Of, Row};
use super::{carriers, columns, items};
use crate::load::Stock;
use crate::quantity::Units;
use crate::report::page::Cell;
use std::cmp::Ordering;

/// What to list, and how.
#[derive(Debug, Clone, Default)]
pub struct Listing {
    /// A file each, in the order given.
    pub sections: Vec<Section>,
}

/// The rows of one file.
#[derive(Debug, Clone)]
pub struct Section {
    /// As the user named it.
    pub file: String,
    /// Of what.
    pub of: Of,
    /// In which it is printed.
    pub units: Units,
    /// Those that are shown, in their order.
    pub columns: Vec<Column>,
    /// A value for each column.
    pub(crate) rows: Vec<Vec<Cell>>,
}

impl Section {
    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
    /// Everything of this kind in the stock, with all columns; `None` if it has
    /// nothing of the kind.
    pub fn new(stock: &Stock, of: Of) -> Option<Self> {
        let rows = match of {
            // What is known only as contents has no line of its own in the file.
            Of::Equipment => {
                let items = stock.items.as_ref()?.iter().enumerate();
                items.filter(|(_, i)| !i.ways.is_empty()).map(|(at, _)| at).collect()
            }
            Of::Carriers => (0..stock.carriers.as_ref()?.len()).collect::<Vec<_>>(),
        };
        let rows = rows.into_iter().map(|at| {
            let row = Row { stock, of, at };
            columns(of).iter().map(|c| (c.value)(&row)).collect()
        });
        let (file, columns) = (stock.file.clone(), columns(of).to_vec());
        Some(Section { file, of, units: stock.units, columns, rows: rows.collect() })
    }

    /// Only rows with one of these tags.
    pub fn tagged(&mut self, tags: &[String]) {
        let Some(at) = self.columns.iter().position(|c| c.name == "tags") else { return };
        self.rows.retain(|row| {
            matches!(row.get(at), Some(Cell::Words(has)) if tags.iter().any(|t| has.contains(t)))
        });
    }

    /// By the column at `at`, what is equal staying as it was.
    pub fn sort(&mut self, at: usize, down: bool) {
        let none = Cell::None;
        self.rows.sort_by(|a, b| {
            let (a, b) = (a.get(at).unwrap_or(&none), b.get(at).unwrap_or(&none));
            // What is not there stays last either way.
            let turned = down && *a != Cell::None && *b != Cell::None;
            if turned { order(b, a) } else { order(a, b) }
        });
    }

    /// These columns, by their places, in this order.
    pub fn pick(&mut self, places: &[usize]) {
        self.columns = places.iter().filter_map(|p| self.columns.get(*p).copied()).collect();
        for row in &mut self.rows {
            *row = places.iter().filter_map(|p| row.get(*p).cloned()).collect();
        }
    }

    /// The columns of a table where nobody asks for others.
    pub fn usual(&mut self) {
        let names: &[&str] = match self.of {
            Of::Equipment => &items::USUAL,
            Of::Carriers => &carriers::USUAL,
        };
        let place = |name: &&str| self.columns.iter().position(|c| c.name == *name);
        let places: Vec<usize> = names.iter().filter_map(place).collect();
        self.pick(&places);
    }

    /// `31 items`, `4 carriers`.
    pub(crate) fn counted(&self) -> String {
        let (one, many) = match self.of {
            Of::Equipment => ("item", "items"),
            Of::Carriers => ("carrier", "carriers"),
        };
        crate::report::words::plural(self.rows.len(), one, many)
    }
}

/// What is not there comes last.
fn order(a: &Cell, b: &Cell) -> Ordering {
    match (a, b) {
        (Cell::None, Cell::None) => Ordering::Equal,
        (Cell::None, _) => Ordering::Greater,
        (_, Cell::None) => Ordering::Less,
        (Cell::Count(a), Cell::Count(b)) => a.cmp(b),
        (Cell::Mass(a), Cell::Mass(b)) => a.cmp(b),
        (Cell::Bulk(a), Cell::Bulk(b)) => a.cmp(b),
        (a, b) => {
            let text = |cell: &Cell| cell.text(Units::Metric, true).to_lowercase();
            text(a).cmp(&text(b))
        }
    }
}
