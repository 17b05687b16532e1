//! Who carries what, a row for each carrier, item and way: what CSV and
//! workbooks list. What a pair carries has a row with either of them, each with
//! its share of the mass, so that masses add up and pairs can be told by `with`.

use crate::load::{CarrierIx, ItemIx, MoveOrder, PartyIx, Way};
use crate::quantity::Mass;
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
pub(super) struct Carried {
    /// `carried`, `stays` (in the store) or `left`.
    pub state: &'static str,
    pub by: Option<(PartyIx, CarrierIx)>,
    pub item: ItemIx,
    pub count: u32,
    pub way: Option<Way>,
    pub with: Option<CarrierIx>,
    pub mass: Option<Mass>,
}

/// Without a plan there is no row.
pub(super) fn carried(order: &MoveOrder, answer: &Answer) -> Vec<Carried> {
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

/// The columns asked for, all if none are.
pub(super) fn asked(columns: &[usize]) -> Vec<usize> {
    if columns.is_empty() { (0..CARRIED_COLUMNS.len()).collect() } else { columns.to_vec() }
}
