//! A muster for spreadsheets: a row for each item that is held loose, and for
//! each content of a case.

use crate::ask::muster::Muster;
use crate::quantity::Mass;
use crate::report::page::csv::{cell, written};

const HEADER: [&str; 18] = [
    "kind",
    "case",
    "item",
    "item_name",
    "scale",
    "held",
    "shelf",
    "issued",
    "unserviceable",
    "on_loan",
    "fit",
    "found",
    "short",
    "short_of_fit",
    "surplus",
    "missing",
    "excess",
    "mass_g",
];

pub(super) fn render(muster: &Muster) -> String {
    let mut rows: Vec<[String; 18]> = Vec::new();
    for line in &muster.lines {
        let (item, h) = (&muster.catalogue[line.item], &line.holding);
        rows.push([
            "loose".into(),
            String::new(),
            cell(&item.id),
            cell(&item.name),
            line.scale.to_string(),
            h.held.to_string(),
            h.shelf.to_string(),
            h.issued_total().to_string(),
            h.unserviceable.to_string(),
            h.on_loan_total().to_string(),
            h.fit().to_string(),
            String::new(),
            line.short().to_string(),
            line.short_of_fit().to_string(),
            line.surplus().to_string(),
            h.missing().to_string(),
            h.excess().to_string(),
            grams(line.mass),
        ]);
    }
    for case in &muster.cases {
        for (i, ought, found) in &case.case.lines {
            let item = &muster.catalogue[*i];
            let mut row: [String; 18] = Default::default();
            row[0] = "content".into();
            row[1] = cell(&case.case.path.text(&muster.catalogue));
            (row[2], row[3]) = (cell(&item.id), cell(&item.name));
            (row[4], row[11]) = (ought.to_string(), found.to_string());
            row[12] = ought.saturating_sub(*found).to_string();
            row[14] = found.saturating_sub(*ought).to_string();
            rows.push(row);
        }
    }
    written(&HEADER, &rows)
}

fn grams(mass: Mass) -> String {
    format!("{}.{:03}", mass.mg() / 1000, mass.mg() % 1000)
}
