//! Lists for programs. As in the other reports, keys ending in `_g` are grams,
//! exact to the milligram, and in `_ml` whole millilitres.

use super::column::{Column, Shape};
use super::rows::{Listing, Section};
use super::value::{Entry, Value};
use serde_json::{Map, Value as Json, json};

pub(super) fn render(listing: &Listing) -> String {
    let lists: Vec<Json> = listing.sections.iter().map(section).collect();
    let document = json!({ "format_version": 1, "lists": lists });
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}

fn section(section: &Section) -> Json {
    let object = |values: Vec<(String, Json)>| values.into_iter().collect::<Map<_, _>>();
    let rows = section.rows.iter().map(|row| {
        let values = section.columns.iter().zip(row);
        object(values.map(|(c, v)| (key(c), value(v))).collect())
    });
    let sums = section.columns.iter().enumerate();
    let sums = sums.filter_map(|(i, c)| Some((key(c), value(&section.sum(i)?))));
    json!({
        "file": section.file,
        "of": section.of.word(),
        "rows": rows.collect::<Vec<_>>(),
        "sums": object(sums.collect()),
    })
}

fn key(column: &Column) -> String {
    let name = column.name.replace('-', "_");
    match column.shape {
        Shape::Mass => format!("{name}_g"),
        Shape::Bulk => format!("{name}_ml"),
        Shape::Text | Shape::Count => name,
    }
}

fn value(value: &Value) -> Json {
    match value {
        Value::None => Json::Null,
        Value::Text(text) => json!(text),
        Value::Count(n) => json!(n),
        Value::Mass(mass) if mass.mg().is_multiple_of(1000) => json!(mass.mg() / 1000),
        // The nearest double to three decimals prints as those decimals.
        Value::Mass(mass) => json!(mass.mg() as f64 / 1000.0),
        Value::Bulk(bulk) => json!(bulk.ml()),
        Value::Flag(flag) => json!(flag),
        Value::Words(words) => json!(words),
        Value::Entries(entries) => {
            let entries = entries.iter().map(|(id, entry)| {
                let entry = match entry {
                    Entry::Count(n) => json!(n),
                    Entry::Word(word) => json!(word),
                };
                (id.clone(), entry)
            });
            Json::Object(entries.collect())
        }
    }
}
