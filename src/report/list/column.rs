//! What a column of a list is, and the row that it takes a value from.

use crate::load::{Carrier, Item, Stock, Supply, SupplyIx, Use};
use crate::report::page::{self, Cell, Entry, Kind};

/// What a list is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// Items.
    Equipment,
    /// People and vehicles.
    Carriers,
}

impl Of {
    /// As its heading has it.
    pub fn word(self) -> &'static str {
        match self {
            Of::Equipment => "equipment",
            Of::Carriers => "carriers",
        }
    }
}

/// A column of a list.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// The key of the file, or the name of what is computed.
    pub name: &'static str,
    /// What its values are, and in which unit.
    pub(crate) kind: Kind,
    /// What it means, in a few words.
    pub meaning: &'static str,
    /// Made of other columns; reading a list passes it over.
    pub reckoned: bool,
    /// Added up in the last line.
    pub summed: bool,
    pub(super) value: fn(&Row) -> Cell,
}

pub(super) const fn column(
    name: &'static str,
    kind: Kind,
    meaning: &'static str,
    value: fn(&Row) -> Cell,
) -> Column {
    Column { name, kind, meaning, reckoned: false, summed: false, value }
}

impl Column {
    pub(super) const fn reckoned(self) -> Self {
        Column { reckoned: true, ..self }
    }

    pub(super) const fn summed(self) -> Self {
        Column { summed: true, ..self }
    }

    /// As it is printed, with the name in every form.
    pub(super) fn printed(&self) -> page::Column {
        let column = page::Column::new(self.name, self.kind).book(self.name).exact();
        if self.summed { column.summed() } else { column }
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

/// What somebody or something uses.
pub(super) fn uses(uses: &[(SupplyIx, Use)], supplies: &[Supply]) -> Cell {
    Cell::entries(uses.iter().filter_map(|(ix, used)| {
        let text = match used {
            Use::Once(amount) => amount.to_string(),
            Use::Over(rate) => rate.to_string(),
        };
        Some((supplies.get(ix.0)?.id.clone(), Entry::Word(text)))
    }))
}
