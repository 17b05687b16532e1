//! Lists as CSV and Markdown.

use super::column::{Of, Shape};
use super::rows::{Listing, Section};
use super::value::Value;
use crate::quantity::Units;
use crate::report::CAUTION;
use crate::report::csv::{cell, written};
use crate::report::markdown::escape;

/// Masses and volumes are plain numbers, their unit in the header, exact in
/// metric kits.
pub(super) fn csv(listing: &Listing) -> String {
    let Some(first) = listing.sections.first() else { return String::new() };
    let header: Vec<String> = first.columns.iter().map(|c| c.header(first.units)).collect();
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let rows = listing.sections.iter().flat_map(|s| &s.rows).map(|row| {
        row.iter().map(|v| number(v, first.units).unwrap_or_else(|| cell(&v.text(first.units))))
    });
    written(&header, &rows.map(Iterator::collect::<Vec<_>>).collect::<Vec<_>>())
}

/// A number without its unit, as the header says it.
fn number(value: &Value, units: Units) -> Option<String> {
    match value {
        Value::Mass(mass) => Some(match units {
            Units::Metric => decimal(mass.mg(), 6),
            // Twelve decimals are far below a milligram.
            Units::Imperial => {
                let lb = mass.mg() as f64 * 100.0 / 45_359_237.0;
                let text = format!("{lb:.12}");
                text.trim_end_matches('0').trim_end_matches('.').into()
            }
        }),
        Value::Bulk(bulk) => Some(decimal(bulk.ml(), 3)),
        _ => None,
    }
}

/// `base / 10^places`, exact, without trailing zeros.
fn decimal(base: u64, places: u32) -> String {
    let one = 10u64.pow(places);
    let (whole, part) = (base / one, base % one);
    let text = format!("{whole}.{part:0width$}", width = places as usize);
    text.trim_end_matches('0').trim_end_matches('.').into()
}

pub(super) fn markdown(listing: &Listing) -> String {
    let sections: Vec<String> = listing.sections.iter().map(section).collect();
    sections.join("\n")
}

fn section(section: &Section) -> String {
    let mut out = format!("# {}, {}\n\n", escape(&section.file), section.of.word());
    let mut line = |cells: Vec<String>| out.push_str(&format!("| {} |\n", cells.join(" | ")));
    line(section.columns.iter().map(|c| c.name.to_string()).collect());
    let rule = |shape| if shape == Shape::Text { ":---" } else { "---:" };
    line(section.columns.iter().map(|c| rule(c.shape).to_string()).collect());
    for row in &section.rows {
        line(row.iter().map(|v| escape(&v.text(section.units))).collect());
    }
    let sums = (0..section.columns.len()).map(|i| section.sum(i));
    let sums: Vec<String> =
        sums.map(|v| v.map_or(String::new(), |v| v.text(section.units))).collect();
    if sums.iter().any(|s| !s.is_empty()) {
        out.push_str(&format!("\n{}", section.counted()));
        for (column, sum) in section.columns.iter().zip(&sums).filter(|(_, s)| !s.is_empty()) {
            out.push_str(&format!("; {} {sum}", column.name));
        }
        out.push('\n');
    } else {
        out.push_str(&format!("\n{}\n", section.counted()));
    }
    if section.of == Of::Carriers {
        out.push_str(&format!("\n{CAUTION}\n"));
    }
    out
}
