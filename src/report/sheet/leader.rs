//! The leader's page: whether the plan holds, everyone's load, what meets the
//! needs, what is to spare, what stays.

use super::parts::{amount, bdi, bulk, bulk_is, mass, mass_is, name, text};
use super::status::status;
use super::{Sheet, board, left, vehicles, walkers};
use crate::load::MoveOrder;
use crate::quantity::{Amount, Dimension, Mass};
use crate::report::{CAUTION, words};
use crate::split::{CarrierFinding, MetBy, NeedFinding};
use maud::{Markup, html};

/// Common practice, no source.
const CAUTIONS: [&str; 4] = [
    "Slope, heat, cold, distance, fitness and the shape of a load are not in these numbers. Try \
     the loads on before you set out, and deal anew what is too much.",
    "Two lift what is heavy or awkward, and help each other to load up and to set down.",
    "Rest before people are spent. Who feels pain, numb hands or dizziness puts the load down and \
     says so.",
    "Vehicles: heavy things low and forward, everything lashed, nobody on the bed.",
];

/// The title of the whole sheet, and the way to the cards.
pub(super) fn head(sheet: &Sheet) -> Markup {
    let order = sheet.order;
    html! {
        header.title {
            p { "Load sheet" }
            h1 dir="auto" { (text(order.name())) }
        }
        nav.screen-only aria-label="Cards" {
            ul {
                @for c in walkers(sheet).chain(vehicles(sheet)) {
                    li { a href={ "#card-" (c.carrier.0) } { (name(order, c.carrier)) } }
                }
                @if !sheet.planned.findings.left.is_empty() {
                    li { a href="#stays" { (left::title(order)) } }
                }
            }
        }
    }
}

pub(super) fn page(sheet: &Sheet) -> Markup {
    html! {
        section.leader aria-labelledby="leader" {
            h2 #leader { "For the leader" }
            div.status data-region="status" { @for sentence in status(sheet) { p { (quotes(&sentence)) } } }
            h3 { "Loads" }
            (board::drawings(sheet))
            (numbers(sheet))
            (needs(sheet))
            (supplies(sheet))
            (wants(sheet))
            (stays(sheet))
            section.caution aria-labelledby="cautions" {
                h3 #cautions { "Cautions" }
                p { strong { (CAUTION) } }
                ul { @for caution in CAUTIONS { li { (caution) } } }
                p { "The last four are common practice, no source." }
            }
        }
    }
}

/// Our own words in backticks as slanted ones.
fn quotes(sentence: &str) -> Markup {
    html! {
        @for (i, part) in sentence.split('`').enumerate() {
            @if i % 2 == 1 { i { (part) } } @else { (part) }
        }
    }
}

/// The same loads as a table, with what is to spare.
fn numbers(sheet: &Sheet) -> Markup {
    let order = sheet.order;
    html! {
        div.scroll role="region" aria-label="Loads in numbers" tabindex="0" {
            table {
                caption { "Loads in numbers" }
                thead { tr {
                    th scope="col" { "Who" }
                    th.number scope="col" { "Load" }
                    th.number scope="col" { "Limit" }
                    th.number scope="col" { "Share" }
                    th.number scope="col" { "To spare" }
                    th.number scope="col" { "Pack or bed" }
                    th.number scope="col" { "Hands free" }
                } }
                tbody { @for c in walkers(sheet).chain(vehicles(sheet)) { (row(order, c)) } }
            }
        }
    }
}

fn row(order: &MoveOrder, c: &CarrierFinding) -> Markup {
    let units = order.units();
    html! {
        tr data-carrier=(c.carrier.0) {
            th scope="row" { (name(order, c.carrier)) }
            td.number { (mass_is(c.load, units, "load")) }
            td.number { (mass(c.limit, units)) }
            td.number.q data-is="share" { (words::share(words::load_share(c))) }
            td.number { (mass_is(c.usable - c.load, units, "left")) }
            td.number {
                (bulk_is(c.bulk, "bulk"))
                @if let Some(room) = c.room { " of " (bulk(room)) }
            }
            td.number {
                @if order.carrier(c.carrier).person().is_some() {
                    span data-is="hands" { (c.hands.saturating_sub(c.hands_used)) } " of " (c.hands)
                } @else { "–" }
            }
        }
    }
}

fn needs(sheet: &Sheet) -> Markup {
    let order = sheet.order;
    let found = &sheet.planned.findings.needs;
    html! {
        @if !found.is_empty() {
            table.plain {
                caption { "Needs, and what meets them" }
                thead { tr {
                    th scope="col" { "" span.unseen { "Met or not" } }
                    th scope="col" { "Need" }
                    th scope="col" { "By" }
                } }
                tbody data-region="needs" {
                    @for (i, (need, found)) in order.needs().iter().zip(found).enumerate() {
                        tr data-need=(i) {
                            td.word { strong { (if found.met { "met" } else { "NOT MET" }) } }
                            th scope="row" { (bdi(&order.party(need.party).id)) ": " (bdi(&need.name)) }
                            td { (met_by(order, found)) }
                        }
                    }
                }
            }
        }
    }
}

fn met_by(order: &MoveOrder, need: &NeedFinding) -> Markup {
    html! {
        @for (i, by) in need.by.iter().enumerate() {
            @if i > 0 { "; " }
            @match by {
                MetBy::Item { item, asked, there, in_cases } => {
                    (asked) " " (bdi(&order.item(*item).name))
                    @if there > asked || *in_cases > 0 {
                        " ("
                        @if there > asked { (there) " there" }
                        @if there > asked && *in_cases > 0 { ", " }
                        @if *in_cases > 0 { (in_cases) " in a case" }
                        ")"
                    }
                }
                MetBy::Supply { supply, demand } => {
                    @let supply = order.catalogue().supply(*supply);
                    (amount(Amount::new(supply.dimension, *demand), order.units()))
                    (if supply.dimension == Dimension::Count { " " } else { " of " }) (bdi(&supply.id))
                }
            }
        }
    }
}

fn supplies(sheet: &Sheet) -> Markup {
    let (order, found) = (sheet.order, &sheet.planned.findings.supplies);
    let units = order.units();
    html! {
        @if !found.is_empty() {
            div.scroll role="region" aria-label="Supplies" tabindex="0" { table {
                caption { "Supplies" }
                thead { tr {
                    th scope="col" { "Supply" }
                    th.number scope="col" { "There" }
                    th.number scope="col" { "Needed" }
                    th.number scope="col" { "To spare" }
                    th scope="col" { "From" }
                } }
                tbody data-region="supplies" {
                    @for s in found {
                        @let supply = order.catalogue().supply(s.supply);
                        @let of = |base| Amount::new(supply.dimension, base);
                        tr {
                            th scope="row" { (bdi(&order.party(s.party).id)) ": " (bdi(&supply.id)) }
                            td.number { (amount(of(s.there), units)) }
                            td.number { (amount(of(s.demand), units)) }
                            td.number {
                                @if s.there < s.demand { strong { "SHORT by " } }
                                (amount(of(s.there.abs_diff(s.demand)), units))
                            }
                            td {
                                @for (i, (item, count)) in s.from.iter().enumerate() {
                                    @if i > 0 { "; " }
                                    (count) " " (bdi(&order.item(*item).name))
                                }
                            }
                        }
                    }
                }
            } }
        }
    }
}

fn wants(sheet: &Sheet) -> Markup {
    let (order, findings) = (sheet.order, &sheet.planned.findings);
    html! {
        @if !order.wants().is_empty() {
            table {
                caption data-region="value" { "Wants: value " (findings.wants_value) " taken" }
                thead { tr {
                    th scope="col" { "" span.unseen { "Taken or left" } }
                    th scope="col" { "Count" }
                    th scope="col" { "Thing" }
                    th scope="col" { "Party" }
                    th.number scope="col" { "Value each" }
                } }
                tbody data-region="wants" {
                    @for (want, taken) in order.wants().iter().zip(&findings.wants) {
                        @let word = if *taken == 0 { "left" } else if *taken < want.up_to { "part" } else { "taken" };
                        tr {
                            td.word { strong { (word) } }
                            td.word { (taken) " of " (want.up_to) }
                            th scope="row" { (bdi(&order.item(want.item).name)) }
                            td { (bdi(&order.party(want.party).id)) }
                            td.number { (want.value) }
                        }
                    }
                }
            }
        }
    }
}

fn stays(sheet: &Sheet) -> Markup {
    let (order, found) = (sheet.order, &sheet.planned.findings.left);
    let sum: Mass = found.iter().map(|l| order.item(l.item).mass * l.count).sum();
    html! {
        div data-region="stays" {
            @if !found.is_empty() {
                h3 { (left::title(order)) ", " (mass(sum, order.units())) }
                p {
                    @for (i, l) in found.iter().enumerate() {
                        @if i > 0 { "; " }
                        (l.count) " " (bdi(&order.item(l.item).name))
                    }
                    "."
                }
            }
        }
    }
}
