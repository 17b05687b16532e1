//! The numbers of a carrier on its card.

use super::Sheet;
use super::board::bar_alone;
use super::parts::{bulk, bulk_is, mass, mass_is, text};
use crate::quantity::Mass;
use crate::report::{words, worst};
use crate::split::CarrierFinding;
use maud::{Markup, html};

/// Load of limit with its bar, and what else is shown of the carrier.
pub(super) fn facts(sheet: &Sheet, c: &CarrierFinding) -> Markup {
    let order = sheet.order;
    let (units, carrier) = (order.units(), order.carrier(c.carrier));
    let person = carrier.person();
    let kit: Mass = c.lines.iter().map(|l| l.mass).sum();
    html! {
        p.load {
            span.big { (mass_is(c.load, units, "load")) }
            " of " (mass(c.limit, units))
        }
        (bar_alone(c))
        @if let Some(over) = words::over(c, units) { p { strong { (over) } } }
        dl.facts {
            (fact("Share of the limit", html! { span data-is="share" { (words::share(words::load_share(c))) } }))
            (fact("To spare", mass_is(c.usable - c.load, units, "left")))
            (fact("Kit", mass_is(kit, units, "kit")))
            @if c.burden > Mass::ZERO {
                (fact(if person.is_some() { "Worn" } else { "People aboard" }, mass(c.burden, units)))
            }
            @if c.usable < c.limit { (fact("Kept back", mass(c.limit - c.usable, units))) }
            @if let Some(room) = c.room {
                @let label = if person.is_some() { "Pack" } else { "Bed" };
                (fact(label, html! { (bulk_is(c.bulk, "bulk")) " of " (bulk(room)) }))
            }
            @if person.is_some() {
                @let free = c.hands.saturating_sub(c.hands_used);
                (fact("Hands free", html! { span data-is="hands" { (free) } " of " (c.hands) }))
            }
            @if let Some((worst, if_so)) = worst::worst_parts(order, c) {
                (fact("At worst", html! { (mass_is(worst, units, "worst")) " if " (if_so) }))
            }
            @if let Some(person) = person.filter(|p| !p.duties.is_empty()) {
                @let duties: Vec<String> = person.duties.iter().map(|d| text(d)).collect();
                (fact("Duties", html! { bdi { (duties.join(", ")) } }))
            }
        }
    }
}

fn fact(label: &str, value: Markup) -> Markup {
    html! { div { dt { (label) } dd { (value) } } }
}
