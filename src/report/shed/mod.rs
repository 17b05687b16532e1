//! What goes first, as a table, JSON, CSV or a drawing.

mod csv;
mod svg;
pub(super) mod words;

use super::{Style, json, table};
use crate::ask::shed::{Crew, Shed};
use crate::load::{MoveOrder, PartyIx};

/// What the answer is told by.
#[derive(Debug, Clone, Copy)]
pub enum By<'a> {
    /// The share of their limits that people on foot may use.
    Limit(&'a Shed),
    /// The number of people of a party.
    People(PartyIx, &'a [Crew]),
}

/// The forms this report comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShedFormat {
    Table,
    Json,
    Csv,
    /// A drawing: value against limit or people.
    Svg,
}

/// The whole report, with a line feed at its end. `loads`: the table has each
/// walker's load, as the other forms but the drawing always have.
pub fn render(
    order: &MoveOrder,
    by: By<'_>,
    format: ShedFormat,
    style: &Style,
    loads: bool,
) -> String {
    match format {
        ShedFormat::Table => table::shed(order, by, style, loads),
        ShedFormat::Json => json::shed(order, by),
        ShedFormat::Csv => csv::render(order, by),
        ShedFormat::Svg => svg::render(order, by),
    }
}
