//! JSON for other programs. Keys ending in `_g` are grams, exact to the milligram,
//! in `_ml` whole millilitres.

use super::{Column, JSON, Kind, Page, Table, What};
use crate::report::pretty_json::pretty;
use serde::Serialize;
use serde_json::{Value as Json, json};

/// What is under a heading.
#[derive(Default, Serialize)]
struct Section<'a> {
    title: Option<&'a str>,
    texts: Vec<&'a str>,
    tables: Vec<Json>,
}

impl<'a> Section<'a> {
    fn of(title: &'a str) -> Self {
        Section { title: Some(title), ..Section::default() }
    }
}

/// The sections of a page: title, texts, and the rows of its tables.
pub(super) fn render(page: &Page) -> String {
    let mut sections = vec![Section::default()];
    for what in page.of(JSON) {
        let Some(last) = sections.last_mut() else { break };
        match what {
            What::Heading(_, text) => sections.push(Section::of(text)),
            What::Text(text) => last.texts.push(&text.text),
            What::Table(table) => last.tables.push(self::table(table)),
            What::Sides(sides) => sections.extend(
                sides
                    .iter()
                    .map(|(title, t)| Section { tables: vec![table(t)], ..Section::of(title) }),
            ),
            What::Title(_) | What::Term(..) | What::Gap => {}
        }
    }
    sections.retain(|s| s.title.is_some() || !s.texts.is_empty() || !s.tables.is_empty());
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
