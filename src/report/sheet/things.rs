//! The table of what a carrier takes, with boxes to tick. Its head is repeated
//! where it goes on on another page, so that a page that was cut off can still
//! be distinguished from others.

use super::parts::{bdi, mass, name, text, tick};
use crate::load::{ItemIx, MoveOrder};
use crate::report::words::plural;
use crate::split::{CarrierFinding, Line};
use maud::{Markup, html};

/// A line of the table: what it is, and where it goes in words.
pub(super) struct Row<'a> {
    pub line: &'a Line,
    pub place: Markup,
}

/// The words over the columns.
pub(super) struct Heads {
    /// Short names of both ticks: part of their key, and their label.
    pub ticks: [(&'static str, &'static str); 2],
    pub place: &'static str,
}

pub(super) fn table(order: &MoveOrder, c: &CarrierFinding, heads: &Heads, rows: &[Row]) -> Markup {
    let carrier = order.carrier(c.carrier);
    let things = rows.iter().map(|r| r.line.count).fold(0, u32::saturating_add);
    html! {
        table.things {
            caption.unseen { "What " (bdi(&carrier.name)) " takes" }
            colgroup { col.box; col.box; col.count; col; col.way; col.number; }
            thead {
                tr.whose { th colspan="6" scope="colgroup" {
                    (bdi(&carrier.name)) ": " (plural(things as usize, "thing", "things"))
                } }
                tr {
                    @for (_, label) in &heads.ticks { th.box scope="col" { (label) } }
                    th.count scope="col" { "Count" }
                    th scope="col" { "Thing" }
                    th.way scope="col" { (heads.place) }
                    th.number scope="col" { "Mass" }
                }
            }
            tbody {
                @for row in rows {
                    @let (line, item) = (row.line, order.item(row.line.item));
                    @let with = line.with.map_or(String::new(), |w| format!("/{}", order.carrier(w).id));
                    tr data-item=(line.item.0) data-way=(line.way.word()) {
                        @for (key, label) in &heads.ticks {
                            td.box { (tick(
                                &format!("{}/{}/{}{with}/{key}", carrier.id, item.id, line.way),
                                &format!("{label}: {} {}", line.count, text(&item.name)),
                            )) }
                        }
                        td.count { (line.count) }
                        th scope="row" { (bdi(&item.name)) (contents(order, line.item)) }
                        td.way { (row.place) }
                        td.number { (mass(line.mass, order.units())) }
                    }
                }
            }
        }
    }
}

/// What is packed in one of it.
pub(super) fn contents(order: &MoveOrder, item: ItemIx) -> Markup {
    let contents = &order.item(item).contents;
    html! {
        @if !contents.is_empty() {
            div.contents {
                "in it: "
                @for (i, (inner, count)) in contents.iter().enumerate() {
                    @if i > 0 { ", " }
                    (count) " " (bdi(&order.item(*inner).name))
                }
            }
        }
    }
}

/// `pair with NAME`, its hand said before.
pub(super) fn with(order: &MoveOrder, line: &Line) -> Markup {
    html! { @if let Some(other) = line.with { ", pair with " (name(order, other)) } }
}
