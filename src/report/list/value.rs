//! What stands in a cell of a list, in the notation that reads back.

use crate::load::{Supply, SupplyIx, Use};
use crate::quantity::{Bulk, Mass, Units};
use std::cmp::Ordering;

/// The value of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// Not given, or what the files take for granted.
    None,
    Text(String),
    Count(u64),
    Mass(Mass),
    Bulk(Bulk),
    Flag(bool),
    /// `pair, back`
    Words(Vec<String>),
    /// `power 390 Wh; line 20 m`, `headset x2; logbook`
    Entries(Vec<(String, Entry)>),
}

/// What stands behind the id of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    Count(u32),
    /// An amount, a rate, `shared`.
    Word(String),
}

impl Value {
    pub(super) fn words<T: ToString>(words: impl IntoIterator<Item = T>) -> Self {
        let words: Vec<String> = words.into_iter().map(|w| w.to_string()).collect();
        if words.is_empty() { Value::None } else { Value::Words(words) }
    }

    pub(super) fn entries(entries: impl IntoIterator<Item = (String, Entry)>) -> Self {
        let entries: Vec<_> = entries.into_iter().collect();
        if entries.is_empty() { Value::None } else { Value::Entries(entries) }
    }

    /// The text of the files. Masses and volumes are exact; in imperial kits
    /// masses are rounded to hundredths of a pound.
    pub(crate) fn text(&self, units: Units) -> String {
        match self {
            Value::None => String::new(),
            Value::Text(text) => text.clone(),
            Value::Count(n) => n.to_string(),
            Value::Mass(mass) => match units {
                Units::Metric => mass.to_string(),
                Units::Imperial => mass.rounded(units),
            },
            Value::Bulk(bulk) => bulk.to_string(),
            Value::Flag(flag) => if *flag { "yes" } else { "no" }.into(),
            Value::Words(words) => words.join(", "),
            Value::Entries(entries) => {
                let texts: Vec<String> = entries.iter().map(entry).collect();
                texts.join("; ")
            }
        }
    }

    /// For sorting: what is not there comes last.
    pub(super) fn order(&self, other: &Value) -> Ordering {
        match (self, other) {
            (Value::None, Value::None) => Ordering::Equal,
            (Value::None, _) => Ordering::Greater,
            (_, Value::None) => Ordering::Less,
            (Value::Count(a), Value::Count(b)) => a.cmp(b),
            (Value::Mass(a), Value::Mass(b)) => a.cmp(b),
            (Value::Bulk(a), Value::Bulk(b)) => a.cmp(b),
            (a, b) => {
                let text = |v: &Value| v.text(Units::Metric).to_lowercase();
                text(a).cmp(&text(b))
            }
        }
    }
}

fn entry((id, entry): &(String, Entry)) -> String {
    match entry {
        Entry::Count(n) => format!("{id} x{n}"),
        Entry::Word(word) => format!("{id} {word}"),
    }
}

/// What somebody or something uses.
pub(super) fn uses(uses: &[(SupplyIx, Use)], supplies: &[Supply]) -> Value {
    Value::entries(uses.iter().filter_map(|(ix, used)| {
        let text = match used {
            Use::Once(amount) => amount.to_string(),
            Use::Over(rate) => rate.to_string(),
        };
        Some((supplies.get(ix.0)?.id.clone(), Entry::Word(text)))
    }))
}
