//! The kit file that is made of the records, and reading it back.

use super::header::Table;
use super::rows::{Record, Records};
use super::yaml::{Lines, Yaml, written};
use super::{Imported, SheetOf};
use crate::cells::{Cell, Grid};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Diagnostics, Label, Sink};
use crate::load::Stock;
use crate::stock::read_stock_text;

/// How many items are shown first.
const SHOWN: usize = 3;

/// The kit file, and the first of its items.
pub(super) fn file(
    grid: &Grid,
    table: &Table,
    records: &Records,
    out: &Imported,
) -> (Lines, String) {
    let mut lines = Lines::default();
    let file = out.name.rsplit(['/', '\\']).next().unwrap_or(&out.name);
    lines.comment(
        "",
        &format!("From {file}, header in row {}, by `tumpline import`.", out.header_row),
    );
    for row in grid.rows.iter().take(table.header) {
        let text = row.cells.iter().map(Cell::text).collect::<Vec<_>>().join(" | ");
        lines.comment("", &format!("Above the header: {text}"));
    }
    if pounds(table) {
        lines.push("units: imperial", None);
    }
    let mut first = String::new();
    let mut put = |lines: &mut Lines, list: &str, vehicles: Option<bool>| {
        let mut some =
            records.list.iter().filter(|r| vehicles.is_none_or(|v| r.vehicle == v)).peekable();
        if some.peek().is_none() {
            return;
        }
        lines.push(&format!("{list}:"), None);
        for record in some {
            let start = lines.text.len();
            record.above.iter().for_each(|text| lines.comment("  ", text));
            for (i, (key, value, from)) in record.fields.iter().enumerate() {
                let lead = if i == 0 { "  - " } else { "    " };
                lines.push(&format!("{lead}{key}: {}", written(value)), Some(*from));
            }
            for (header, text) in &record.left {
                lines.comment("    ", &format!("{header}: {text}"));
            }
            if first.matches("  - id:").count() < SHOWN {
                first.push_str(lines.text.get(start..).unwrap_or(""));
            }
        }
    };
    match table.of {
        SheetOf::Equipment => put(&mut lines, "equipment", None),
        SheetOf::Carriers => {
            put(&mut lines, "people", Some(false));
            put(&mut lines, "vehicles", Some(true));
        }
    }
    records.below.iter().for_each(|text| lines.comment("  ", text));
    (lines, first)
}

/// Whether people think in pounds here: the mass of an item is in them.
fn pounds(table: &Table) -> bool {
    let unit = table.column("mass").and_then(|c| c.unit);
    table.of == SheetOf::Equipment && matches!(unit, Some("lb" | "oz"))
}

/// Reads the file back; faults in it are reported of the cells.
pub(super) fn back(lines: &Lines, out: &mut Imported, records: &Records, sink: &mut Sink) {
    match read_stock_text("the file to be written", &lines.text) {
        Ok(read) => {
            for d in read.warnings.iter() {
                sink.add(of_cells(d, &read.warnings, lines));
            }
            let stock = read.stocks.into_iter().next();
            let same = stock.as_ref().is_some_and(|s| says_the_same(s, records));
            if same {
                out.stock = stock;
            } else if sink.errors() == 0 {
                let what = "the file that was made does not read back as it was meant";
                sink.add(
                    Diagnostic::error(FaultCode::Disagree, what)
                        .help("this is a bug; please report it"),
                );
            }
        }
        Err(found) => {
            for d in found.iter() {
                sink.add(of_cells(d, &found, lines));
            }
        }
    }
}

/// Every record is there, in order, with its id and what it weighs or bears.
fn says_the_same(stock: &Stock, records: &Records) -> bool {
    let text = |r: &Record, key: &str| {
        r.fields.iter().find_map(|(k, v, _)| match v {
            Yaml::Text(t) | Yaml::Plain(t) if *k == key => Some(t.clone()),
            _ => None,
        })
    };
    let mass = |r: &Record, key: &str| text(r, key).and_then(|t| t.parse().ok());
    match (&stock.items, &stock.carriers) {
        (Some(items), None) => {
            let listed: Vec<_> = items.iter().filter(|i| !i.ways.is_empty()).collect();
            listed.len() == records.list.len()
                && listed.iter().zip(&records.list).all(|(item, r)| {
                    Some(&item.id) == text(r, "id").as_ref()
                        && Some(item.mass) == mass(r, "mass")
                        && Some(item.held.to_string()) == text(r, "held").or(Some("1".into()))
                })
        }
        (None, Some(carriers)) => {
            let ordered = [false, true].into_iter();
            let ordered: Vec<_> =
                ordered.flat_map(|v| records.list.iter().filter(move |r| r.vehicle == v)).collect();
            carriers.len() == ordered.len()
                && carriers.iter().zip(ordered).all(|(c, r)| {
                    let bears = mass(r, if r.vehicle { "payload" } else { "limit" });
                    Some(&c.id) == text(r, "id").as_ref()
                        && (bears.is_none() || bears == Some(c.limit()))
                })
        }
        _ => false,
    }
}

/// A fault of the kit file as one of the cells that its lines came from.
fn of_cells(d: &Diagnostic, all: &Diagnostics, lines: &Lines) -> Diagnostic {
    let cell = |label: &Label| {
        let line = all.sources().get(label.span.source)?.line(label.span.start);
        Some(Label { span: lines.origin(line)?, text: label.text.clone() })
    };
    Diagnostic {
        primary: d.primary.as_ref().and_then(cell),
        labels: d.labels.iter().filter_map(cell).collect(),
        ..d.clone()
    }
}
