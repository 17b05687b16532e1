//! The columns of equipment.

use super::column::{Column, Row, Shape, column};
use super::value::{Entry, Value, uses};
use crate::load::{Item, Required};
use crate::quantity::Percent;

pub(super) const COLUMNS: &[Column] = &[
    column("id", Shape::Text, "unique among the items", |r| text(r, |i| i.id.clone())),
    column("name", Shape::Text, "what people call it", |r| text(r, |i| i.name.clone())),
    column("mass", Shape::Mass, "of one, packed if it is a case", |r| {
        of(r, |i| Value::Mass(i.mass))
    }),
    column("held", Shape::Count, "how many, those in cases not counted", |r| {
        of(r, |i| Value::Count(i.held.into()))
    })
    .summed(),
    column("total", Shape::Mass, "mass of all that are held", |r| {
        of(r, |i| Value::Mass(i.mass * i.held))
    })
    .summed()
    .reckoned(),
    column("bulk", Shape::Bulk, "volume of one", |r| of(r, |i| Value::Bulk(i.bulk))),
    column("total-bulk", Shape::Bulk, "volume of all that are held", |r| {
        of(r, |i| Value::Bulk(i.bulk * i.held))
    })
    .summed()
    .reckoned(),
    column("size", Shape::Text, "outer sides, where the bulk comes from them", |r| {
        of(r, |i| r.stock.sizes.get(&i.id).map_or(Value::None, |s| Value::Text(s.trim().into())))
    }),
    column("carry", Shape::Text, "how people may carry it", |r| {
        of(r, |i| Value::words(i.ways.iter()))
    }),
    column("hands", Shape::Count, "that it takes by hand, if not one", |r| {
        of(r, |i| if i.hands == 1 { Value::None } else { Value::Count(i.hands.into()) })
    }),
    column("pair-shares", Shape::Text, "on the two bearers, if not half each", |r| {
        of(r, |i| {
            let even = i.pair_shares == [Percent::HALF; 2];
            if even { Value::None } else { Value::words(i.pair_shares) }
        })
    }),
    column("keeper", Shape::Text, "the duty whose holder should carry it", |r| {
        of(r, |i| i.keeper.clone().map_or(Value::None, Value::Text))
    }),
    column("requires", Shape::Text, "what it needs beside it", requires),
    column("supplies", Shape::Text, "what one of it supplies", |r| {
        of(r, |i| {
            Value::entries(i.supplies.iter().filter_map(|(ix, amount)| {
                let supply = r.stock.supplies.get(ix.0)?;
                Some((supply.id.clone(), Entry::Word(amount.to_string())))
            }))
        })
    }),
    column("uses", Shape::Text, "what one of it uses", |r| {
        of(r, |i| uses(&i.uses, &r.stock.supplies))
    }),
    column("contents", Shape::Text, "what is packed in one of it", |r| {
        of(r, |i| {
            Value::entries(
                i.contents.iter().filter_map(|(ix, n)| Some((id(r, ix.0)?, Entry::Count(*n)))),
            )
        })
    }),
    column("tags", Shape::Text, "words that rules take many items by", |r| {
        of(r, |i| Value::words(&i.tags))
    }),
];

/// What a table has where nobody asks for other columns.
pub(super) const USUAL: [&str; 7] = ["id", "name", "held", "mass", "total", "bulk", "carry"];

fn of(row: &Row, value: impl Fn(&Item) -> Value) -> Value {
    row.item().map_or(Value::None, value)
}

fn text(row: &Row, value: impl Fn(&Item) -> String) -> Value {
    of(row, |i| Value::Text(value(i)))
}

fn id(row: &Row, item: usize) -> Option<String> {
    Some(row.stock.items.as_ref()?.get(item)?.id.clone())
}

fn requires(row: &Row) -> Value {
    of(row, |i| {
        Value::entries(i.requires.iter().filter_map(|r| {
            let entry = match r.count {
                Required::Each(n) => Entry::Count(n),
                Required::Shared => Entry::Word("shared".into()),
            };
            Some((id(row, r.item.0)?, entry))
        }))
    })
}
