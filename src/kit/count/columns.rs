//! What the first row of a sheet of counts calls its columns.

use crate::cells::Row;
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, did_you_mean, one_of, quoted};
use std::collections::BTreeMap;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Column {
    Item,
    Name,
    Where,
    To,
    Case,
    Counted,
    By,
    Note,
}

const COLUMNS: [(Column, &[&str]); 8] = [
    (Column::Item, &["item", "id", "item id"]),
    (Column::Name, &["name", "item name"]),
    (Column::Where, &["where", "whereabouts", "place", "location"]),
    (Column::To, &["to", "issued to", "lent to", "holder", "who has it"]),
    (Column::Case, &["case", "in case"]),
    (Column::Counted, &["counted", "count", "quantity", "qty", "number"]),
    (Column::By, &["by", "counted by", "counter"]),
    (Column::Note, &["note", "notes", "remark", "remarks"]),
];

/// The most rows that are looked at for the one that names the columns.
const MOST_TITLES: usize = 20;

/// Small letters, and one blank for whatever stands between words.
pub(super) fn plain(text: &str) -> String {
    let words = text.split(|c: char| c.is_whitespace() || matches!(c, '_' | '-'));
    words.filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ").to_lowercase()
}

fn named(text: &str) -> Option<Column> {
    let word = plain(text);
    COLUMNS.iter().find(|(_, words)| words.contains(&word.as_str())).map(|(column, _)| *column)
}

/// Which of the rows names the columns: the first that names those that are
/// needed, as titles may stand above it; else the first of all.
pub(super) fn header(rows: &[Row]) -> usize {
    let names = |row: &Row| {
        let all: Vec<Column> = row.cells.iter().filter_map(|c| named(&c.text())).collect();
        let has = |column| all.contains(&column);
        has(Column::Counted) && (has(Column::Item) || has(Column::Name))
    };
    rows.iter().take(MOST_TITLES).position(names).unwrap_or(0)
}

/// Which column is where, by the row that names them; `None` if one that is needed
/// is not there. `whole` is the text of the sheet.
pub(super) fn columns(
    header: &Row,
    whole: &str,
    sink: &mut Sink,
) -> Option<BTreeMap<Column, usize>> {
    let mut out: BTreeMap<Column, usize> = BTreeMap::new();
    let before = sink.errors();
    for cell in &header.cells {
        let (text, span) = (cell.text(), cell.place(whole));
        let Some(column) = named(&text) else {
            let known = COLUMNS.iter().filter_map(|(_, w)| w.first().copied());
            let what = format!("the column {} is not read", quoted(&text));
            let d =
                Diagnostic::warning(FaultCode::NoEffect, what).at(span, "no such column is known");
            sink.add(d.maybe_help(did_you_mean(&plain(&text), known)));
            continue;
        };
        match out.get(&column).and_then(|first| header.cell(*first)) {
            Some(first) => sink.fault(|| {
                let what = format!("the column {} is there twice", quoted(&text));
                Diagnostic::error(FaultCode::BadSheet, what)
                    .at(span, "a second one")
                    .label(first.place(whole), "the first one")
            }),
            None => drop(out.insert(column, cell.column)),
        }
    }
    let lacks = |what: &str| {
        let all = COLUMNS.iter().filter_map(|(_, w)| w.first().copied());
        let span = header.cells.first().map(|c| c.place(whole));
        let d = Diagnostic::error(FaultCode::BadSheet, format!("there is no column {what}"));
        let d = match span {
            Some(span) => d.at(span, "the first row names the columns"),
            None => d,
        };
        d.help(format!("columns: {}; `item` and `counted` are needed", one_of(all)))
    };
    if !out.contains_key(&Column::Item) && !out.contains_key(&Column::Name) {
        sink.fault(|| lacks("`item`"));
    }
    if !out.contains_key(&Column::Counted) {
        sink.fault(|| lacks("`counted`"));
    }
    (sink.errors() == before).then_some(out)
}
