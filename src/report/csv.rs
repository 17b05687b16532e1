//! CSV (RFC 4180) for spreadsheets: a row for each carrier, item and way.

use super::carried::{CARRIED_COLUMNS, Carried, asked, carried};
use super::page::csv::{cell, written};
use crate::load::MoveOrder;
use crate::split::Answer;

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
