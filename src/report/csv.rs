//! CSV (RFC 4180) for spreadsheets: a row for each carrier, item and way. What
//! a pair carries has a row with either of them, each with its share of the
//! mass, so that masses add up and pairs can be told by `with`.

use super::text::clean;
use crate::load::MoveOrder;
use crate::split::{Answer, CarrierFinding, Findings, Line, Outcome};

const HEADER: [&str; 10] = [
    "state",
    "party",
    "carrier",
    "carrier_name",
    "item",
    "item_name",
    "count",
    "way",
    "with",
    "mass_g",
];

/// Without a plan there is a header and no row.
pub(super) fn render(order: &MoveOrder, answer: &Answer) -> String {
    let mut rows: Vec<[String; 10]> = Vec::new();
    if let Outcome::Plan(planned) = &answer.outcome {
        carried(order, &planned.findings, &mut rows);
        left(order, &planned.findings, &mut rows);
    }
    written(&HEADER, &rows)
}

/// Header and rows, each as long as the header.
pub(super) fn written<R: AsRef<[String]>>(header: &[&str], rows: &[R]) -> String {
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    // Writing to memory, every row as long as the header: neither can fail.
    let written = out.write_record(header).is_ok()
        && rows.iter().all(|row| out.write_record(row.as_ref()).is_ok());
    debug_assert!(written);
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn carried(order: &MoveOrder, findings: &Findings, rows: &mut Vec<[String; 10]>) {
    for c in &findings.carriers {
        for line in &c.lines {
            rows.push(row(order, c, line));
        }
    }
}

fn row(order: &MoveOrder, c: &CarrierFinding, line: &Line) -> [String; 10] {
    let state = if order.is_store(c.party) { "stays" } else { "carried" };
    let (who, item) = (order.carrier(c.carrier), order.item(line.item));
    let mg = line.mass.mg();
    [
        state.into(),
        cell(&order.party(c.party).id),
        cell(&who.id),
        cell(&who.name),
        cell(&item.id),
        cell(&item.name),
        line.count.to_string(),
        line.way.word().into(),
        line.with.map_or(String::new(), |c| cell(&order.carrier(c).id)),
        format!("{}.{:03}", mg / 1000, mg % 1000),
    ]
}

/// What no carrier has. A store's vehicles have it and are listed as carriers.
fn left(order: &MoveOrder, findings: &Findings, rows: &mut Vec<[String; 10]>) {
    if order.store.is_some() {
        return;
    }
    for left in &findings.left {
        let item = order.item(left.item);
        let mut row: [String; 10] = Default::default();
        row[0] = "left".into();
        row[4] = cell(&item.id);
        row[5] = cell(&item.name);
        row[6] = left.count.to_string();
        rows.push(row);
    }
}

/// Clean text that no spreadsheet takes for a formula: a cell that starts with
/// `=`, `+`, `-`, `@` (their wide forms too), a tab or a line end gets an
/// apostrophe in front.
pub(super) fn cell(text: &str) -> String {
    let starts = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r', '\n'];
    let guard = if text.starts_with(starts) { "'" } else { "" };
    format!("{guard}{}", clean(text))
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn no_cell_is_a_formula() {
        assert_eq!(cell("=cmd|' /C calc'!A0"), "'=cmd|' /C calc'!A0");
        assert_eq!(cell("+1"), "'+1");
        assert_eq!(cell("@SUM(A1)"), "'@SUM(A1)");
        assert_eq!(cell("\t=1"), "'\\t=1");
        assert_eq!(cell("12 V battery - spare"), "12 V battery - spare");
    }
}
