//! What goes first, as a table, JSON, CSV or a drawing.

pub(super) mod by;
mod changes;
mod steps;
mod svg;
pub(super) mod words;

pub use by::By;

use super::page::{Block, CSV, Page};
use super::{Format, Style, json};
use crate::load::MoveOrder;

/// The forms this report comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum ShedFormat {
    /// For people, on a terminal.
    Table,
    /// For programs: see [`shed_schema`](super::shed_schema).
    Json,
    /// For spreadsheets: a row for each step.
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
    let format = match format {
        ShedFormat::Svg => return svg::render(order, by),
        ShedFormat::Table => Format::Table,
        ShedFormat::Json => Format::Json,
        ShedFormat::Csv => Format::Csv,
    };
    page(order, by, loads).render(format, style)
}

fn page<'a>(order: &'a MoveOrder, by: By<'a>, loads: bool) -> Page<'a> {
    let page = Page::titled(order.name(), order.units());
    let mut page = page.document(move || json::shed(order, by));
    match by {
        By::Limit(shed) => steps::by_limit(order, shed, loads, &mut page),
        By::People(party, crews) => steps::by_people(order, party, crews, loads, &mut page),
    }
    page.caution();
    page.blocks.iter_mut().for_each(|b| b.leave(CSV));
    page.push(Block::from(changes::table(order, by)).on(CSV));
    page
}
