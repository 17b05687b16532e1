//! The rows under the header: which of them are items or carriers, and what
//! their cells say.

use super::field::{As, value};
use super::header::{Becomes, Column, Table};
use super::keys::{Kind, SheetOf};
use super::notation::slug;
use super::number::{Decimal, Reading, has_comma};
use super::spelling::fold;
use super::yaml::Yaml;
use crate::cells::{Cell, Grid, Row};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink};
use crate::source::TextSpan;
use std::collections::{BTreeMap, BTreeSet};

/// A row that is an item or a carrier.
#[derive(Debug, Default)]
pub(super) struct Record {
    /// Comments that stand above it.
    pub above: Vec<String>,
    /// Keys in the order in which they are written, `id` first.
    pub fields: Vec<(&'static str, Yaml, TextSpan)>,
    /// What no key takes: header and text.
    pub left: Vec<(String, String)>,
    /// A vehicle among carriers.
    pub vehicle: bool,
}

/// All rows, and what there is to say about them.
#[derive(Debug, Default)]
pub(super) struct Records {
    pub list: Vec<Record>,
    /// Comments behind the last of them.
    pub below: Vec<String>,
    pub notes: Vec<String>,
}

/// A mass that stands for one that cannot be read, so that one slip does not
/// make up others. Nothing is written where there is one.
const HARMLESS: &str = "1 kg";

/// Words that stand before a sum.
const TOTALS: [&str; 11] = [
    "total",
    "totals",
    "sum",
    "sums",
    "subtotal",
    "grand-total",
    "overall",
    "summe",
    "gesamt",
    "somme",
    "suma",
];

pub(super) fn records(grid: &Grid, table: &Table, decimal: Decimal, sink: &mut Sink) -> Records {
    let rows = grid.rows.get(table.header + 1..).unwrap_or(&[]);
    let mut out = Records::default();
    // In grams a point before three digits may part thousands, and where cells
    // are parted by semicolons people mostly write decimal commas.
    let small = table.columns.iter().any(|c| matches!(c.unit, Some("g" | "mg" | "mL" | "oz")));
    let commas = grid.semicolons || small || commas(rows, table);
    let reading = Reading { decimal, commas: grid.texts && commas };
    let names = names(rows, table);
    let mut ids: BTreeSet<String> = given_ids(rows, table);
    let mut made: Vec<String> = Vec::new();
    let mut above: Vec<String> = Vec::new();
    for row in rows {
        if let Some(note) = totals(row, table) {
            out.notes.push(note);
            above.push(told(row));
        } else if is_header_again(row, table) {
            out.notes.push(format!("row {} repeats the header and is passed over", row.number));
        } else if let Some(text) = heading(row, table) {
            out.notes.push(format!(
                "row {} holds one text alone, `{}`: a heading, kept as a comment",
                row.number,
                crate::diagnostic::shorten(&text)
            ));
            above.push(text);
        } else {
            let mut record = record(row, table, reading, &names, sink);
            record.above = std::mem::take(&mut above);
            id(&mut record, row, &mut ids, &mut made, sink);
            wanted(&mut record, row, table, sink);
            out.list.push(record);
        }
    }
    out.below = above;
    if !made.is_empty() {
        let n =
            crate::diagnostic::counted(made.len(), "id is made of a name", "ids are made of names");
        out.notes.push(format!("{n}: {}", crate::diagnostic::some(&made)));
    }
    out
}

/// Whether a numeric column has a decimal comma for certain somewhere.
fn commas(rows: &[Row], table: &Table) -> bool {
    let numeric = |c: &Column| matches!(c.becomes, Becomes::Key(k) if !matches!(k.kind, Kind::Id | Kind::Name | Kind::Word | Kind::Words));
    let columns: Vec<usize> =
        table.columns.iter().filter(|c| numeric(c)).map(|c| c.column).collect();
    let cells = rows.iter().flat_map(|r| &r.cells).filter(|c| columns.contains(&c.column));
    cells.into_iter().any(|c| has_comma(&c.text()))
}

/// The cell of a key.
fn cell<'a>(row: &'a Row, table: &Table, key: &str) -> Option<&'a Cell> {
    row.cell(table.column(key)?.column)
}

/// Ids by the names beside them, so that contents can be written by name.
fn names(rows: &[Row], table: &Table) -> BTreeMap<String, String> {
    let both = |row: &Row| {
        let name = fold(&cell(row, table, "name")?.text());
        let id = cell(row, table, "id").map(Cell::text);
        Some((name.clone(), id.unwrap_or_else(|| slug(&name))))
    };
    rows.iter().filter_map(both).filter(|(name, id)| !name.is_empty() && !id.is_empty()).collect()
}

fn given_ids(rows: &[Row], table: &Table) -> BTreeSet<String> {
    rows.iter().filter_map(|r| cell(r, table, "id")).map(Cell::text).collect()
}

/// A row of sums: a formula that adds up or a word for it, and no id or name of
/// a thing.
fn totals(row: &Row, table: &Table) -> Option<String> {
    let first = row.cells.first()?;
    let said = TOTALS.contains(&fold(&first.text()).as_str());
    let has = |key: &str| cell(row, table, key).is_some();
    let sum = row.cells.iter().find(|c| c.adds_up());
    let why = match (said, sum) {
        // A thing may be called so; then it has an id and a name.
        (true, _) if !(has("id") && has("name")) => {
            format!("it starts with `{}`", crate::diagnostic::shorten(&first.text()))
        }
        (false, Some(sum)) if !has("id") && !has("name") => {
            format!("column {} adds up", crate::cells::letters(sum.column))
        }
        _ => return None,
    };
    Some(format!("row {} is a row of totals ({why}) and is passed over", row.number))
}

fn is_header_again(row: &Row, table: &Table) -> bool {
    let same =
        |c: &&Cell| table.columns.iter().any(|t| t.column == c.column && t.header == c.text());
    row.cells.len() > 1 && row.cells.iter().filter(same).count() == row.cells.len()
}

/// One text alone, where rows have more than one.
fn heading(row: &Row, table: &Table) -> Option<String> {
    let [only] = row.cells.as_slice() else { return None };
    let needs_more =
        table.columns.iter().filter(|c| matches!(c.becomes, Becomes::Key(_))).count() > 1;
    (needs_more && only.is_text()).then(|| only.text())
}

fn told(row: &Row) -> String {
    row.cells.iter().map(Cell::text).collect::<Vec<_>>().join(" | ")
}

fn record(
    row: &Row,
    table: &Table,
    reading: Reading,
    names: &BTreeMap<String, String>,
    sink: &mut Sink,
) -> Record {
    let mut record = Record::default();
    for key in super::keys::keys(table.of) {
        let Some(column) = table.column(key.name) else { continue };
        let Some(cell) = row.cell(column.column) else { continue };
        let to = As { key, unit: column.unit, header: &column.header, reading, names };
        match value(cell, &to) {
            Ok(value) => record.fields.push((key.name, value, cell.span)),
            Err(fault) => {
                sink.add(*fault);
                let harmless = match (key.name, table.of) {
                    ("mass" | "limit" | "payload", _) => Some(Yaml::Text(HARMLESS.into())),
                    _ => None,
                };
                record.fields.extend(harmless.map(|v| (key.name, v, cell.span)));
            }
        }
    }
    for column in &table.columns {
        if matches!(column.becomes, Becomes::LeftOver | Becomes::Second(_))
            && let Some(cell) = row.cell(column.column)
        {
            record.left.push((column.header.clone(), cell.text()));
        }
    }
    if table.of == SheetOf::Carriers {
        riding(&mut record);
    }
    size_or_bulk(&mut record, sink);
    record
}

/// Person or vehicle: as the row says, or by what it has.
fn riding(record: &mut Record) {
    let has = |name: &str| record.fields.iter().any(|(k, ..)| *k == name);
    let said = record.fields.iter().find(|(k, ..)| *k == "kind").map(|(_, v, _)| v.clone());
    record.vehicle = match said {
        Some(Yaml::Text(word)) => !matches!(word.as_str(), "person" | "people"),
        _ => has("payload") && !has("limit"),
    };
    record.fields.retain(|(k, ..)| *k != "kind");
}

/// Our own lists have the bulk beside the size that it comes from.
fn size_or_bulk(record: &mut Record, sink: &mut Sink) {
    use crate::quantity::Bulk;
    let text = |name: &str| {
        record.fields.iter().find_map(|(k, v, span)| match v {
            Yaml::Text(t) if *k == name => Some((t.clone(), *span)),
            _ => None,
        })
    };
    let (Some((bulk, at)), Some((size, beside))) = (text("bulk"), text("size")) else { return };
    if bulk.parse().ok() != Bulk::from_size(&size).ok() {
        let of_size = Bulk::from_size(&size).map_or(String::new(), |b| b.to_string());
        sink.add(
            Diagnostic::error(
                FaultCode::Together,
                format!("the bulk is {bulk}, and the size comes to {of_size}"),
            )
            .at(at, "this bulk")
            .label(beside, "and this size")
            .help("leave one of the two empty, or make them agree"),
        );
    }
    record.fields.retain(|(k, ..)| *k != "bulk");
}

/// The id first, made of the name where there is none.
fn id(
    record: &mut Record,
    row: &Row,
    ids: &mut BTreeSet<String>,
    made: &mut Vec<String>,
    sink: &mut Sink,
) {
    if record.fields.iter().any(|(k, ..)| *k == "id") {
        return;
    }
    let name = record.fields.iter().find_map(|(k, v, span)| match v {
        Yaml::Text(name) if *k == "name" => Some((name.clone(), *span)),
        _ => None,
    });
    let place = name.as_ref().map(|(_, span)| *span).or(row.span());
    let Some(place) = place else { return };
    let stem = name.map_or(String::new(), |(name, _)| slug(&name));
    if stem.is_empty() {
        sink.add(
            Diagnostic::error(
                FaultCode::BadId,
                format!("row {} has no id and no name to make one of", row.number),
            )
            .at(place, "this row")
            .help("write an id: lower-case letters, digits and hyphens"),
        );
    }
    let stem = if stem.is_empty() { format!("row-{}", row.number) } else { stem };
    let id = (1..)
        .map(|n| if n == 1 { stem.clone() } else { format!("{stem}-{n}") })
        .find(|id| !ids.contains(id))
        .unwrap_or(stem);
    ids.insert(id.clone());
    made.push(id.clone());
    record.fields.insert(0, ("id", Yaml::Text(id), place));
}

/// What every item or carrier has to have.
fn wanted(record: &mut Record, row: &Row, table: &Table, sink: &mut Sink) {
    let need = match (table.of, record.vehicle) {
        (SheetOf::Equipment, _) => "mass",
        (SheetOf::Carriers, false) => "limit",
        (SheetOf::Carriers, true) => "payload",
    };
    if record.fields.iter().any(|(k, ..)| *k == need) {
        return;
    }
    let at = record.fields.first().map(|(.., span)| *span).or(row.span());
    if let Some(span) = at {
        record.fields.push((need, Yaml::Text(HARMLESS.into()), span));
    }
    let d = Diagnostic::error(FaultCode::NoMass, format!("row {} has no {need}", row.number));
    let d = match at {
        Some(span) => d.at(span, "this row"),
        None => d,
    };
    sink.add(match table.column(need) {
        Some(column) => d.help(format!(
            "fill column {}, `{}`",
            crate::cells::letters(column.column),
            crate::diagnostic::shorten(&column.header)
        )),
        None => {
            d.help(format!("no column becomes `{need}`; say which by `--map \"COLUMN={need}\"`"))
        }
    });
}
