//! Who carries what, a row for each carrier, item and way: what CSV and
//! workbooks list. What a pair carries has a row with either of them, each with
//! its share of the mass, so that masses add up and pairs can be recognised by `with`.

use crate::load::{CarrierIx, ItemIx, MoveOrder, PartyIx, Way};
use crate::quantity::Mass;
use crate::report::page::{Column, Kind, Table};
use crate::split::{Answer, Findings, Outcome};

/// The columns, by the names that `--columns` takes.
pub const CARRIED_COLUMNS: [&str; 10] = [
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

/// One row; what nobody has is without carrier and mass.
struct Carried {
    /// `carried`, `stays` (in the store) or `left`.
    state: &'static str,
    by: Option<(PartyIx, CarrierIx)>,
    item: ItemIx,
    count: u32,
    way: Option<Way>,
    with: Option<CarrierIx>,
    mass: Option<Mass>,
}

/// Without a plan there is no row.
fn carried(order: &MoveOrder, answer: &Answer) -> Vec<Carried> {
    let Outcome::Plan(planned) = &answer.outcome else { return Vec::new() };
    let mut rows = Vec::new();
    for c in &planned.findings.carriers {
        let state = if order.is_store(c.party) { "stays" } else { "carried" };
        rows.extend(c.lines.iter().map(|line| Carried {
            state,
            by: Some((c.party, c.carrier)),
            item: line.item,
            count: line.count,
            way: Some(line.way),
            with: line.with,
            mass: Some(line.mass),
        }));
    }
    left(order, &planned.findings, &mut rows);
    rows
}

/// What no carrier has. A store's vehicles have it and are listed as carriers.
fn left(order: &MoveOrder, findings: &Findings, rows: &mut Vec<Carried>) {
    if order.store().is_some() {
        return;
    }
    rows.extend(findings.left.iter().map(|left| Carried {
        state: "left",
        by: None,
        item: left.item,
        count: left.count,
        way: None,
        with: None,
        mass: None,
    }));
}

/// Over the table in a workbook.
pub(super) const NOTE: &str =
    "What two carry between them has a row with each, with that one's share of the mass.";

/// `columns` are places in [`CARRIED_COLUMNS`]; none stands for all.
pub(super) fn table(order: &MoveOrder, answer: &Answer, columns: &[usize]) -> Table {
    let carrier = |row: &Carried| row.by.map(|(_, c)| order.carrier(c));
    let [state, party, id, name, item, item_name, count, way, with, mass] = CARRIED_COLUMNS;
    let table = Table::of(carried(order, answer))
        .col(Column::text(state), |r| r.state)
        .col(Column::text(party), |r| r.by.map(|(p, _)| &order.party(p).id))
        .col(Column::text(id), |r| carrier(r).map(|c| &c.id))
        .col(Column::text(name), |r| carrier(r).map(|c| &c.name))
        .col(Column::text(item), |r| &order.item(r.item).id)
        .col(Column::text(item_name), |r| &order.item(r.item).name)
        .col(Column::count(count), |r| r.count)
        .col(Column::text(way), |r| r.way.map(Way::word))
        .col(Column::text(with), |r| r.with.map(|c| &order.carrier(c).id))
        .col(Column::new(mass, Kind::Grams).book("Mass").summed(), |r| r.mass);
    table.done().pick(columns).total("Total")
}
