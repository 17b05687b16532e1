//! The card of what stays in the store, or is left.

use super::Sheet;
use super::parts::{bdi, mass, mass_is, name, text, tick};
use super::things::contents;
use crate::load::{CarrierIx, ItemIx, MoveOrder};
use crate::quantity::Mass;
use crate::report::words::plural;
use maud::{Markup, html};

/// What the card is called.
pub(super) fn title(order: &MoveOrder) -> Markup {
    match order.store() {
        Some(store) => html! { "What stays with " (bdi(&order.party(store).id)) },
        None => html! { "What is left behind" },
    }
}

/// Nothing, if nothing stays.
pub(super) fn card(sheet: &Sheet) -> Markup {
    let order = sheet.order;
    let left = &sheet.planned.findings.left;
    let things = left.iter().map(|l| l.count).fold(0, u32::saturating_add);
    let stores = order.store().map_or(0, |p| {
        order.party(p).who.iter().filter(|c| order.carrier(**c).vehicle().is_some()).count()
    });
    let columns = if stores > 1 { 6 } else { 5 };
    let sum: Mass = left.iter().map(|l| order.item(l.item).mass * l.count).sum();
    html! {
        @if !left.is_empty() {
            section.card #stays aria-labelledby="stays-name" {
                header {
                    h2 #stays-name { (title(order)) }
                    p { (bdi(order.name())) " · " (mass_is(sum, order.units(), "sum")) " in all" }
                }
                table.things {
                    caption.unseen { "What stays, in the order of the catalogue" }
                    colgroup { col.box; col.count; col.count; col; @if stores > 1 { col.way; } col.number; }
                    thead {
                        tr.whose { th colspan=(columns) scope="colgroup" {
                            (title(order)) ": " span data-is="things" { (plural(things as usize, "thing", "things")) }
                        } }
                        tr {
                            th.box scope="col" { "There" }
                            th.count scope="col" { "Count" }
                            th.count scope="col" { "Of" }
                            th scope="col" { "Thing" }
                            @if stores > 1 { th scope="col" { "On" } }
                            th.number scope="col" { "Mass" }
                        }
                    }
                    tbody data-region="staysRows" {
                        @for l in left {
                            @let item = order.item(l.item);
                            tr data-item=(l.item.0) {
                                td.box { (tick(&format!("left/{}/there", item.id), &format!("There: {} {}", l.count, text(&item.name)))) }
                                td.count { (l.count) }
                                td.count { (item.held) }
                                th scope="row" { (bdi(&item.name)) (contents(order, l.item)) }
                                @if stores > 1 { td { (vehicles(sheet, l.item)) } }
                                td.number { (mass(item.mass * l.count, order.units())) }
                            }
                        }
                    }
                }
                p.small {
                    "Of: how many there are in all."
                    @if order.store().is_none() { " Say who looks after what is left, and where." }
                }
            }
        }
    }
}

/// On which vehicles of the store it is.
fn vehicles(sheet: &Sheet, item: ItemIx) -> Markup {
    let order = sheet.order;
    let found = sheet.planned.findings.carriers.iter();
    let on: Vec<(CarrierIx, u32)> = found
        .filter(|c| order.is_store(c.party))
        .flat_map(|c| c.lines.iter().filter(|l| l.item == item).map(|l| (c.carrier, l.count)))
        .collect();
    html! {
        @for (i, (c, count)) in on.iter().enumerate() {
            @if i > 0 { ", " }
            @if on.len() > 1 { (count) " " }
            (name(order, *c))
        }
    }
}
