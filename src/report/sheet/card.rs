//! The card of a person.

use super::Sheet;
use super::board::party;
use super::facts::facts;
use super::figure::{figure, spots};
use super::parts::{bdi, text};
use super::things::{Heads, Row, table, with};
use crate::load::Way;
use crate::report::CAUTION;
use crate::split::CarrierFinding;
use maud::{Markup, PreEscaped, html};

const HEADS: Heads =
    Heads { ticks: [("packed", "Packed"), ("handed-over", "Handed over")], place: "Way" };

/// Common practice, no source.
const LIFTING: &str = "Get help to lift a heavy load on, and set it down before your back, your \
                       hands or your wind give out. If it is too much, say so before you set out: \
                       the leader deals the loads anew.";

pub(super) fn person(sheet: &Sheet, c: &CarrierFinding) -> Markup {
    let order = sheet.order;
    let carrier = order.carrier(c.carrier);
    let (id, heading) = (format!("card-{}", c.carrier.0), format!("card-{}-name", c.carrier.0));
    let spots = spots(order, c);
    let place = |i: usize| {
        let (spot, grip) = spots[i];
        let line = &c.lines[i];
        let words = grip.map_or(line.way.word(), |g| g.words());
        html! {
            @for mark in spot.mark().split(' ') { span.mark aria-hidden="true" { (mark) } }
            " " (words) (with(order, line))
        }
    };
    let rows: Vec<Row> =
        c.lines.iter().enumerate().map(|(i, line)| Row { line, place: place(i) }).collect();
    let side = c.lines.iter().any(|l| matches!(l.way, Way::Hand | Way::Pair));
    html! {
        section.card id=(id) data-carrier=(c.carrier.0) aria-labelledby=(heading) {
            (header(sheet, c, &heading))
            div.top {
                (figure(order, c))
                div { (facts(sheet, c)) }
            }
            div data-region="things" {
                @if rows.is_empty() {
                    p { (bdi(&carrier.name)) " carries nothing of the kit." }
                } @else {
                    (table(order, c, &HEADS, &rows))
                    p.small {
                        "Packed: it is on you. Handed over: it has left your hands where it was wanted."
                        @if side { " Which hand is a proposal: change sides as you like." }
                    }
                }
            }
            p.small { (LIFTING) " " (CAUTION) }
        }
    }
}

/// Whose card it is, of which party and move.
pub(super) fn header(sheet: &Sheet, c: &CarrierFinding, heading: &str) -> Markup {
    html! {
        header {
            h2 id=(heading) dir="auto" { (text(&sheet.order.carrier(c.carrier).name)) }
            p { (PreEscaped(party(sheet.order, c.party))) " · " (bdi(sheet.order.name())) }
        }
    }
}
