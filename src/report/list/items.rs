//! The columns of equipment.

use super::column::{Column, Row, column, uses};
use crate::load::{Item, Required};
use crate::quantity::Percent;
use crate::report::page::{Cell, Entry, Kind};

pub(super) const COLUMNS: &[Column] = &[
    column("id", Kind::Text, "unique among the items", |r| text(r, |i| i.id.clone())),
    column("name", Kind::Text, "what people call it", |r| text(r, |i| i.name.clone())),
    column("mass", Kind::Mass, "of one, packed if it is a case", |r| of(r, |i| Cell::Mass(i.mass))),
    column("held", Kind::Count, "how many, those in cases not counted", |r| {
        of(r, |i| Cell::Count(i.held.into()))
    })
    .summed(),
    column("total", Kind::Mass, "mass of all that are held", |r| {
        of(r, |i| Cell::Mass(i.mass * i.held))
    })
    .summed()
    .reckoned(),
    column("bulk", Kind::Bulk, "volume of one", |r| of(r, |i| Cell::Bulk(i.bulk))),
    column("total-bulk", Kind::Bulk, "volume of all that are held", |r| {
        of(r, |i| Cell::Bulk(i.bulk * i.held))
    })
    .summed()
    .reckoned(),
    column("size", Kind::Text, "outer sides, where the bulk comes from them", |r| {
        of(r, |i| r.stock.sizes.get(&i.id).map_or(Cell::None, |s| Cell::Text(s.trim().into())))
    }),
    column("carry", Kind::Text, "how people may carry it", |r| {
        of(r, |i| Cell::words(i.ways.iter()))
    }),
    column("hands", Kind::Count, "that it takes by hand, if not one", |r| {
        of(r, |i| if i.hands == 1 { Cell::None } else { Cell::Count(i.hands.into()) })
    }),
    column("pair-shares", Kind::Text, "on the two bearers, if not half each", |r| {
        of(r, |i| {
            let even = i.pair_shares == [Percent::HALF; 2];
            if even { Cell::None } else { Cell::words(i.pair_shares) }
        })
    }),
    column("keeper", Kind::Text, "the duty whose holder should carry it", |r| {
        of(r, |i| i.keeper.clone().map_or(Cell::None, Cell::Text))
    }),
    column("requires", Kind::Text, "what it needs beside it", requires),
    column("supplies", Kind::Text, "what one of it supplies", |r| {
        of(r, |i| {
            Cell::entries(i.supplies.iter().filter_map(|(ix, amount)| {
                let supply = r.stock.supplies.get(ix.0)?;
                Some((supply.id.clone(), Entry::Word(amount.to_string())))
            }))
        })
    }),
    column("uses", Kind::Text, "what one of it uses", |r| {
        of(r, |i| uses(&i.uses, &r.stock.supplies))
    }),
    column("contents", Kind::Text, "what is packed in one of it", |r| {
        of(r, |i| {
            Cell::entries(
                i.contents.iter().filter_map(|(ix, n)| Some((id(r, ix.0)?, Entry::Count(*n)))),
            )
        })
    }),
    column("tags", Kind::Text, "words that rules take many items by", |r| {
        of(r, |i| Cell::words(&i.tags))
    }),
];

/// What a table has where nobody asks for other columns.
pub(super) const USUAL: [&str; 7] = ["id", "name", "held", "mass", "total", "bulk", "carry"];

fn of(row: &Row, value: impl Fn(&Item) -> Cell) -> Cell {
    row.item().map_or(Cell::None, value)
}

fn text(row: &Row, value: impl Fn(&Item) -> String) -> Cell {
    of(row, |i| Cell::Text(value(i)))
}

fn id(row: &Row, item: usize) -> Option<String> {
    Some(row.stock.items.as_ref()?.get(item)?.id.clone())
}

fn requires(row: &Row) -> Cell {
    of(row, |i| {
        Cell::entries(i.requires.iter().filter_map(|r| {
            let entry = match r.count {
                Required::Each(n) => Entry::Count(n),
                Required::Shared => Entry::Word("shared".into()),
            };
            Some((id(row, r.item.0)?, entry))
        }))
    })
}
