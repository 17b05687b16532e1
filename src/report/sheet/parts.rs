//! Small pieces of the sheet: text made inert, quantities that carry their base
//! unit, boxes to tick.

use crate::load::{CarrierIx, MoveOrder};
use crate::quantity::{Amount, Bulk, Dimension, Mass, Units};
use maud::{Markup, html};
use tumpline_core::text::clean;

/// Typed text with nothing in it that acts, and nothing that XML cannot hold.
/// The markup escapes it.
pub(super) fn text(typed: &str) -> String {
    clean(typed).replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}")
}

/// Typed text within a sentence: whichever way it runs, the sentence does not
/// turn with it.
pub(super) fn bdi(typed: &str) -> Markup {
    html! { bdi { (text(typed)) } }
}

pub(super) fn name(order: &MoveOrder, c: CarrierIx) -> Markup {
    bdi(&order.carrier(c).name)
}

pub(super) fn mass(m: Mass, units: Units) -> Markup {
    html! { span.q data-mg=(m.mg()) { (m.rounded(units)) } }
}

/// A mass of a carrier that a change by hand would change.
pub(super) fn mass_is(m: Mass, units: Units, is: &str) -> Markup {
    html! { span.q data-is=(is) data-mg=(m.mg()) { (m.rounded(units)) } }
}

pub(super) fn bulk(b: Bulk) -> Markup {
    html! { span.q data-ml=(b.ml()) { (b.rounded()) } }
}

pub(super) fn bulk_is(b: Bulk, is: &str) -> Markup {
    html! { span.q data-is=(is) data-ml=(b.ml()) { (b.rounded()) } }
}

/// An amount of a supply.
pub(super) fn amount(a: Amount, units: Units) -> Markup {
    match a.dimension {
        Dimension::Mass => mass(Mass::from_mg(a.base), units),
        Dimension::Bulk => bulk(Bulk::from_ml(a.base)),
        _ => html! { span.q { (a.rounded(units)) } },
    }
}

/// A box to tick. `key` is of ids alone, so that a later sheet of the same move
/// has the same one.
pub(super) fn tick(key: &str, label: &str) -> Markup {
    html! {
        label.tick {
            input type="checkbox" data-tick=(key);
            span.unseen { (label) }
        }
    }
}
