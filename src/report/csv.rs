//! CSV (RFC 4180) for spreadsheets: a row for each carrier, item and way.

use super::carried::{CARRIED_COLUMNS, Carried, asked, carried};
use crate::load::MoveOrder;
use crate::split::Answer;
use tumpline_core::text::clean;

/// Without a plan there is a header and no row. `columns` are indices of
/// [`CARRIED_COLUMNS`]; none stands for all.
pub(super) fn render(order: &MoveOrder, answer: &Answer, columns: &[usize]) -> String {
    let columns = asked(columns);
    let header: Vec<&str> =
        columns.iter().filter_map(|c| CARRIED_COLUMNS.get(*c).copied()).collect();
    let rows = carried(order, answer).into_iter().map(|row| {
        let all = cells(order, &row);
        columns.iter().filter_map(|c| all.get(*c).cloned()).collect::<Vec<String>>()
    });
    written(&header, &rows.collect::<Vec<_>>())
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

/// In the order of [`CARRIED_COLUMNS`].
fn cells(order: &MoveOrder, row: &Carried) -> [String; 10] {
    let item = order.item(row.item);
    let carrier = |f: fn(&crate::load::Carrier) -> &String| {
        row.by.map_or(String::new(), |(_, c)| cell(f(order.carrier(c))))
    };
    [
        row.state.into(),
        row.by.map_or(String::new(), |(p, _)| cell(&order.party(p).id)),
        carrier(|c| &c.id),
        carrier(|c| &c.name),
        cell(&item.id),
        cell(&item.name),
        row.count.to_string(),
        row.way.map_or(String::new(), |w| w.word().into()),
        row.with.map_or(String::new(), |c| cell(&order.carrier(c).id)),
        row.mass.map_or(String::new(), |m| format!("{}.{:03}", m.mg() / 1000, m.mg() % 1000)),
    ]
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
