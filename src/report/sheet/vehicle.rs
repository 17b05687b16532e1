//! The card of a vehicle: what is on the bed and how it is loaded, and who rides.

use super::Sheet;
use super::card::header;
use super::facts::facts;
use super::parts::{text, tick};
use super::things::{Heads, Row, table};
use crate::load::{CarrierIx, MoveOrder};
use crate::quantity::Mass;
use crate::report::CAUTION;
use crate::split::{CarrierFinding, Line};
use maud::{Markup, html};

const HEADS: Heads =
    Heads { ticks: [("loaded", "Loaded"), ("handed-over", "Handed over")], place: "On the bed" };

/// Common practice, no source.
const LOADING: &str = "Load from the top of the list down: the heaviest low and forward, close up \
                       against the headboard, the lighter on top and behind. Spread the weight \
                       evenly to both sides and lash everything down. Nobody rides on the bed. \
                       Common practice, no source: local rules, the vehicle’s own papers and \
                       qualified people decide.";
const LOADING_HAULED: &str = "Load from the top of the list down: the heaviest low and near the \
                              middle, the lighter on top. Spread the weight evenly to both sides \
                              and lash everything down. Common practice, no source: local rules \
                              and qualified people decide.";

/// The heaviest things, one by one, until half of the kit's mass is down, and
/// the rest: common practice, no source.
struct Stowed<'a> {
    low: Vec<&'a Line>,
    high: Vec<&'a Line>,
}

fn stowed<'a>(order: &MoveOrder, c: &'a CarrierFinding) -> Stowed<'a> {
    let mut lines: Vec<&Line> = c.lines.iter().collect();
    lines.sort_by_key(|l| (std::cmp::Reverse(order.item(l.item).mass), l.item));
    let kit: Mass = lines.iter().map(|l| l.mass).sum();
    let mut down = Mass::ZERO;
    let at = lines.iter().take_while(|l| {
        let more = down.mg().saturating_mul(2) < kit.mg();
        down += l.mass;
        more
    });
    let at = at.count();
    let high = lines.split_off(at);
    Stowed { low: lines, high }
}

pub(super) fn card(sheet: &Sheet, c: &CarrierFinding) -> Markup {
    let order = sheet.order;
    let (id, heading) = (format!("card-{}", c.carrier.0), format!("card-{}-name", c.carrier.0));
    let hauled = order.carrier(c.carrier).vehicle().is_some_and(|v| v.hauled);
    let stowed = stowed(order, c);
    let low = if hauled { "low, middle" } else { "low, forward" };
    let row = |line, place: &str| Row { line, place: html! { (place) } };
    let rows = stowed.low.iter().map(|l| row(*l, low));
    let rows: Vec<Row> = rows.chain(stowed.high.iter().map(|l| row(*l, "on top"))).collect();
    html! {
        section.card id=(id) data-carrier=(c.carrier.0) aria-labelledby=(heading) {
            (header(sheet, c, &heading))
            div.top {
                (bed(order, c, &stowed, hauled))
                div { (facts(sheet, c)) }
            }
            (riders(sheet, c))
            div data-region="things" {
                @if rows.is_empty() {
                    p { "Nothing is on the bed." }
                } @else {
                    (table(order, c, &HEADS, &rows))
                    p.small { (if hauled { LOADING_HAULED } else { LOADING }) }
                }
            }
            p.small { (CAUTION) }
        }
    }
}

/// Who rides: they carry nothing, so this is their card.
fn riders(sheet: &Sheet, c: &CarrierFinding) -> Markup {
    let order = sheet.order;
    let aboard = &order.party(c.party).aboard;
    let riders: Vec<CarrierIx> =
        aboard.iter().filter(|(_, v)| *v == c.carrier).map(|(who, _)| *who).collect();
    html! {
        @if !riders.is_empty() {
            h3 { "Who rides" }
            ul.riders {
                @for who in riders {
                    @let rider = order.carrier(who);
                    li data-carrier=(who.0) {
                        (tick(&format!("{}/aboard", rider.id), &format!("Aboard: {}", text(&rider.name))))
                        span {
                            bdi { (text(&rider.name)) }
                            @if let Some(person) = rider.person().filter(|p| !p.duties.is_empty()) {
                                @let duties: Vec<String> = person.duties.iter().map(|d| text(d)).collect();
                                ": " bdi { (duties.join(", ")) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The bed from the side, in two layers.
fn bed(order: &MoveOrder, c: &CarrierFinding, stowed: &Stowed, hauled: bool) -> Markup {
    let sum = |lines: &[&Line]| lines.iter().map(|l| l.mass).sum::<Mass>();
    let (low, high) = (sum(&stowed.low), sum(&stowed.high));
    let units = order.units();
    let (title, desc) = (format!("bed-{}", c.carrier.0), format!("bed-{}-all", c.carrier.0));
    let at_low = if hauled { "low and near the middle" } else { "low and forward" };
    html! {
        svg.figure role="img" aria-labelledby={ (title) " " (desc) } viewBox="0 0 400 250" {
            title id=(title) { "How the bed is loaded" }
            desc id=(desc) {
                "The heaviest " (at_low) ": " (low.rounded(units)) ". On top: " (high.rounded(units)) "."
            }
            g fill="#fff" stroke="#000" stroke-width="2" stroke-linecap="round" stroke-linejoin="round" {
                @if hauled { (sledge()) } @else { (truck()) }
                g data-layer="high" display=[gone(high)] {
                    path d="M70 66Q130 62 188 66L188 108Q130 112 70 108Z" {}
                    path d="M192 70Q222 66 250 70L250 108Q220 112 192 108Z" {}
                }
                g data-layer="low" display=[gone(low)] {
                    path d="M64 114Q120 110 166 114L166 166L64 166Z" fill="url(#shade-worn)" {}
                    path d="M170 112Q222 108 262 112L262 166L170 166Z" fill="url(#shade-worn)" {}
                }
                path d="M62 168Q90 44 160 56Q240 52 264 168" fill="none" stroke-dasharray="6 4" {}
            }
            g data-layer="high" display=[gone(high)] {
                text x="8" y="20" { tspan font-weight="bold" { "on top: " } (tspan_is(high, units, "high")) }
                path d="M60 26L110 82" stroke="#000" stroke-width="1.3" {}
                circle cx="110" cy="82" r="3.5" {}
            }
            g data-layer="low" display=[gone(low)] {
                text x="8" y="244" { tspan font-weight="bold" { (at_low) ": " } (tspan_is(low, units, "low")) }
                path d="M120 228L140 142" stroke="#fff" stroke-width="4" {}
                path d="M120 228L140 142" stroke="#000" stroke-width="1.3" {}
                circle cx="140" cy="142" r="4.5" stroke="#fff" {}
            }
            @if c.burden > Mass::ZERO {
                text x="392" y="20" text-anchor="end" { tspan font-weight="bold" { "aboard: " } (tspan(c.burden, units)) }
            }
        }
    }
}

/// A layer of which there is nothing is not shown; the page's script may fill it.
fn gone(layer: Mass) -> Option<&'static str> {
    (layer == Mass::ZERO).then_some("none")
}

fn tspan_is(m: Mass, units: crate::quantity::Units, is: &str) -> Markup {
    html! { tspan data-is=(is) data-mg=(m.mg()) { (m.rounded(units)) } }
}

fn tspan(m: Mass, units: crate::quantity::Units) -> Markup {
    html! { tspan data-mg=(m.mg()) { (m.rounded(units)) } }
}

fn truck() -> Markup {
    html! {
        path d="M276 168L276 84Q278 74 290 74L326 75Q334 76 338 84L352 116L378 122Q388 126 387 138L386 178L276 178Z" {}
        path d="M290 88L322 89L334 116L291 116Z" {}
        path d="M266 58L274 58L274 178L266 178Z" fill="#000" {}
        path d="M40 168L274 168L274 180L40 180Z" {}
        path d="M40 110L48 110L48 168L40 168Z" {}
        circle cx="98" cy="188" r="24" {}
        circle cx="98" cy="188" r="9" {}
        circle cx="332" cy="188" r="24" {}
        circle cx="332" cy="188" r="9" {}
    }
}

fn sledge() -> Markup {
    html! {
        path d="M40 168L288 168L288 178L40 178Z" {}
        path d="M70 178L74 204M164 178L164 204M256 178L254 204" fill="none" {}
        path d="M34 206Q190 210 292 204Q332 200 340 168" fill="none" stroke-width="4" {}
        path d="M338 172Q362 150 394 138" fill="none" stroke-dasharray="5 4" {}
    }
}
