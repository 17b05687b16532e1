//! JSON for other programs. Keys ending in `_g` are grams, exact to the milligram,
//! in `_ml` whole millilitres.

use super::{Column, JSON, Kind, Page, Table, What};
use crate::report::json::pretty;
use serde_json::{Map, Value as Json, json};

/// The sections of a page: title, texts, and the rows of its tables.
pub(super) fn render(page: &Page) -> String {
    let mut sections: Vec<Map<String, Json>> = Vec::new();
    let section = |title: Json| {
        let mut section = Map::new();
        section.insert("title".into(), title);
        section.insert("texts".into(), json!([]));
        section.insert("tables".into(), json!([]));
        section
    };
    for what in page.of(JSON) {
        if let What::Heading(_, text) = what {
            sections.push(section(json!(text)));
            continue;
        }
        if sections.is_empty() {
            sections.push(section(Json::Null));
        }
        let Some(last) = sections.last_mut() else { continue };
        let mut add = |key: &str, value: Json| {
            if let Some(Json::Array(all)) = last.get_mut(key) {
                all.push(value);
            }
        };
        match what {
            What::Text(text) => add("texts", json!(text.text)),
            What::Table(table) => add("tables", self::table(table)),
            What::Sides(sides) => sides.iter().for_each(|(_, side)| add("tables", table(side))),
            _ => {}
        }
    }
    let document = json!({ "format_version": 1, "title": page.title, "sections": sections });
    pretty(&document)
}

fn table(table: &Table) -> Json {
    json!({ "rows": rows(table), "sums": sums(table) })
}

/// An object for each row.
pub(crate) fn rows(table: &Table) -> Json {
    let row = |row: &super::Row| {
        let cells = table.on(JSON).filter_map(|(i, c)| Some((key(c), row.cells.get(i)?.json())));
        Json::Object(cells.collect())
    };
    Json::Array(table.rows(JSON).map(row).collect())
}

/// Of the columns that are summed.
pub(crate) fn sums(table: &Table) -> Json {
    let sums = table.on(JSON).filter_map(|(i, c)| Some((key(c), table.sum(JSON, i)?.json())));
    Json::Object(sums.collect())
}

fn key(column: &Column) -> String {
    let name = column.key.replace(['-', ' '], "_");
    match column.kind {
        Kind::Mass => format!("{name}_g"),
        Kind::Bulk => format!("{name}_ml"),
        _ => name,
    }
}
