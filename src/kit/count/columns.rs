//! What the first row of a sheet of counts calls its columns.

use super::sheet::Row;
use crate::code::Code;
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

/// Small letters, and one blank for whatever stands between words.
pub(super) fn plain(text: &str) -> String {
    let words = text.split(|c: char| c.is_whitespace() || matches!(c, '_' | '-'));
    words.filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Which column is where, by the first row; `None` if one that is needed is not
/// there.
pub(super) fn columns(header: &Row, sink: &mut Sink) -> Option<BTreeMap<Column, usize>> {
    let mut out: BTreeMap<Column, usize> = BTreeMap::new();
    let before = sink.errors();
    for (i, (text, span)) in header.iter().enumerate().filter(|(_, (text, _))| !text.is_empty()) {
        let word = plain(text);
        let Some((column, _)) = COLUMNS.iter().find(|(_, w)| w.contains(&word.as_str())) else {
            let known = COLUMNS.iter().filter_map(|(_, w)| w.first().copied());
            let what = format!("the column {} is not read", quoted(text));
            let d = Diagnostic::warning(Code::NoEffect, what).at(*span, "no such column is known");
            sink.add(d.maybe_help(did_you_mean(&word, known)));
            continue;
        };
        match out.get(column).and_then(|first| header.get(*first)) {
            Some((_, first)) => sink.fault(|| {
                let what = format!("the column {} is there twice", quoted(text));
                Diagnostic::error(Code::BadSheet, what)
                    .at(*span, "a second one")
                    .label(*first, "the first one")
            }),
            None => drop(out.insert(*column, i)),
        }
    }
    let lacks = |what: &str| {
        let all = COLUMNS.iter().filter_map(|(_, w)| w.first().copied());
        let span = header.first().map(|(_, span)| *span);
        let d = Diagnostic::error(Code::BadSheet, format!("there is no column {what}"));
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
