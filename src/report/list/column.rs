//! What a column of a list is, and the row that it takes a value from.

use super::value::Value;
use crate::load::{Carrier, Item, Stock};
use crate::quantity::Units;

/// What a list is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    Equipment,
    Carriers,
}

impl Of {
    pub fn word(self) -> &'static str {
        match self {
            Of::Equipment => "equipment",
            Of::Carriers => "carriers",
        }
    }
}

/// What the values of a column are, beside texts; it decides the unit in the
/// header where cells are numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    Text,
    Count,
    Mass,
    Bulk,
}

/// A column of a list.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The key of the file, or the name of what is reckoned.
    pub name: &'static str,
    pub shape: Shape,
    /// What it means, in a few words.
    pub meaning: &'static str,
    /// Made of other columns; reading a list passes it over.
    pub reckoned: bool,
    /// Added up in the last line.
    pub summed: bool,
    pub(super) value: fn(&Row) -> Value,
}

pub(super) const fn column(
    name: &'static str,
    shape: Shape,
    meaning: &'static str,
    value: fn(&Row) -> Value,
) -> Column {
    Column { name, shape, meaning, reckoned: false, summed: false, value }
}

impl Column {
    pub(super) const fn reckoned(self) -> Self {
        Column { reckoned: true, ..self }
    }

    pub(super) const fn summed(self) -> Self {
        Column { summed: true, ..self }
    }

    /// The name, with the unit where cells are plain numbers: `mass (kg)`.
    pub(super) fn header(&self, units: Units) -> String {
        match (self.shape, units) {
            (Shape::Mass, Units::Metric) => format!("{} (kg)", self.name),
            (Shape::Mass, Units::Imperial) => format!("{} (lb)", self.name),
            (Shape::Bulk, _) => format!("{} (L)", self.name),
            (Shape::Text | Shape::Count, _) => self.name.into(),
        }
    }
}

/// An item or a carrier among its own.
pub struct Row<'a> {
    pub(super) stock: &'a Stock,
    pub(super) of: Of,
    pub(super) at: usize,
}

impl Row<'_> {
    pub(super) fn item(&self) -> Option<&Item> {
        self.stock.items.as_ref().filter(|_| self.of == Of::Equipment)?.get(self.at)
    }

    pub(super) fn carrier(&self) -> Option<&Carrier> {
        self.stock.carriers.as_ref().filter(|_| self.of == Of::Carriers)?.get(self.at)
    }
}
