//! What the reports say in words, once for all of them.

use crate::ask::{HandOver, Holder, Replanned};
use crate::load::{CarrierIx, GoalValue, ItemIx, MoveOrder, PartyIx, Share, Travel, Way};
use crate::quantity::{Amount, Dimension, Mass, Units};
use crate::split::{CarrierFinding, GoalResult, Line, MetBy, NeedFinding, Planned, SupplyFinding};
pub(super) use tumpline_core::sentence::of;
use tumpline_core::text::clean;

/// `1 need`, `3 needs`.
pub(super) fn plural(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// Tenths of a percent, rounded up: `89.2 %`.
pub(super) fn share(s: Share) -> String {
    let permille = s.permille_up();
    format!("{}.{} %", permille / 10, permille % 10)
}

pub(super) fn load_of_limit(c: &CarrierFinding, units: Units) -> String {
    of(&c.load.rounded(units), &c.limit.rounded(units))
}

pub(super) fn load_share(c: &CarrierFinding) -> Share {
    Share { load: c.load, limit: c.limit }
}

/// In words, if ever a carrier bears more than it may.
pub(super) fn over(c: &CarrierFinding, units: Units) -> Option<String> {
    let by = |most: Mass| (c.load - most).rounded(units);
    if c.load > c.limit {
        Some(format!("OVER THE LIMIT by {}", by(c.limit)))
    } else if c.load > c.usable {
        Some(format!("INTO THE RESERVE by {}", by(c.usable)))
    } else {
        None
    }
}

/// Hands, room, burden and reserve of a carrier, as far as there are any.
pub(super) fn details(order: &MoveOrder, c: &CarrierFinding) -> Vec<String> {
    let units = order.units();
    let carrier = order.carrier(c.carrier);
    let person = carrier.person().is_some();
    let mut out = Vec::new();
    if person {
        out.push(format!("hands free {} of {}", c.hands.saturating_sub(c.hands_used), c.hands));
    }
    if let Some(room) = c.room {
        let place = if person { "pack" } else { "bed" };
        out.push(format!("{place} {}", of(&c.bulk.rounded(), &room.rounded())));
    }
    if c.burden > Mass::ZERO {
        let what = if person { "worn" } else { "people aboard" };
        out.push(format!("{what} {}", c.burden.rounded(units)));
    }
    if c.usable < c.limit {
        out.push(format!("reserve {}", (c.limit - c.usable).rounded(units)));
    }
    out.extend(super::worst::worst(order, c));
    out
}

/// The vehicle a person rides in, if it does.
pub(super) fn rides_in(order: &MoveOrder, c: CarrierIx) -> Option<CarrierIx> {
    let mut aboard = order.parties().iter().flat_map(|p| &p.aboard);
    aboard.find(|(person, _)| *person == c).map(|(_, vehicle)| *vehicle)
}

pub(super) fn carrier_name(order: &MoveOrder, c: CarrierIx) -> String {
    clean(&order.carrier(c).name)
}

pub(super) fn item_name(order: &MoveOrder, i: ItemIx) -> String {
    clean(&order.item(i).name)
}

/// `ridge, on foot`.
pub(super) fn party(order: &MoveOrder, p: PartyIx) -> String {
    let how = match order.party(p).travel {
        Travel::Foot => "on foot",
        Travel::Vehicle => "by vehicle",
    };
    let keeps = if order.is_store(p) { ", keeps what nobody takes" } else { "" };
    format!("{}, {how}{keeps}", clean(&order.party(p).id))
}

/// `back`, or for a pair `pair with NAME`.
pub(super) fn way(order: &MoveOrder, line: &Line) -> String {
    match (line.way, line.with) {
        (Way::Pair, Some(other)) => format!("pair with {}", carrier_name(order, other)),
        (way, _) => way.word().to_string(),
    }
}

pub(crate) fn goal_value(value: GoalValue, units: Units) -> String {
    match value {
        GoalValue::Points(n) | GoalValue::Count(n) => n.to_string(),
        GoalValue::Mass(m) => m.rounded(units),
        GoalValue::Share(s) => share(s),
    }
}

/// A gap in percent, rounded up to hundredths, so that it never flatters.
pub(crate) fn percent(gap: f64) -> String {
    let hundredths = (gap * 100.0).ceil();
    let text = format!("{:.2}", hundredths / 100.0);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

/// `best possible`, or how far from it the value may be.
pub(super) fn goal_known(g: &GoalResult, units: Units) -> String {
    if g.proven() {
        return "best possible".into();
    }
    let gap = percent(g.gap_percent());
    let bound = goal_value(g.bound, units);
    // Too near each other to differ as they are printed.
    if bound == goal_value(g.reached, units) {
        format!("within {gap}")
    } else {
        format!("within {gap} (bound {bound})")
    }
}

/// Whether all needs are met and all limits kept, in a line.
pub(super) fn checks(planned: &Planned) -> String {
    let needs = &planned.findings.needs;
    let unmet = needs.iter().filter(|n| !n.met).count();
    let over = planned.findings.carriers.iter().filter(|c| c.load > c.usable).count();
    let first = match (needs.len(), unmet) {
        (0, _) => "No needs were given.".into(),
        (n, 0) => format!("Needs met: {n} of {n}."),
        (_, k) => format!("NOT MET: {}.", plural(k, "need", "needs")),
    };
    let second = match over {
        0 => {
            let peak = share(planned.findings.peak_share);
            format!("No limit is passed; the fullest load is at {peak}.")
        }
        n => format!("OVER THE LIMIT: {}.", plural(n, "carrier", "carriers")),
    };
    format!("{first} {second}")
}

/// The things that meet a need: `6 Mast section (8 there)`, `385 m of line`.
pub(super) fn met_by(order: &MoveOrder, need: &NeedFinding) -> Vec<String> {
    need.by.iter().map(|by| met_by_one(order, by)).collect()
}

fn met_by_one(order: &MoveOrder, by: &MetBy) -> String {
    match by {
        MetBy::Item { item, asked, there, in_cases } => {
            let mut notes = Vec::new();
            if there > asked {
                notes.push(format!("{there} there"));
            }
            if *in_cases > 0 {
                notes.push(format!("{in_cases} in a case"));
            }
            let name = item_name(order, *item);
            match notes.is_empty() {
                true => format!("{asked} {name}"),
                false => format!("{asked} {name} ({})", notes.join(", ")),
            }
        }
        MetBy::Supply { supply, demand } => {
            let supply = order.catalogue().supply(*supply);
            let demand = Amount::new(supply.dimension, *demand).rounded(order.units());
            let of = if supply.dimension == Dimension::Count { "" } else { "of " };
            format!("{demand} {of}{}", clean(&supply.id))
        }
    }
}

/// The things that supply it: `2 Drum of line; 1 Reel`.
pub(super) fn sources(order: &MoveOrder, s: &SupplyFinding) -> String {
    let from = s.from.iter().map(|(i, n)| format!("{n} {}", item_name(order, *i)));
    from.collect::<Vec<_>>().join("; ")
}

/// What is left over, or how much is short.
pub(super) fn margin(there: Amount, demand: Amount, units: Units) -> String {
    let gap = Amount::new(there.dimension, there.base.abs_diff(demand.base)).rounded(units);
    if there.base < demand.base { format!("SHORT by {gap}") } else { format!("{gap} to spare") }
}

pub(super) const NO_PLAN: &str = "No plan exists.";

/// What kind of hand-over it is, for people and for programs.
pub(super) fn hand_over(anew: &Replanned, h: &HandOver) -> &'static str {
    let store = anew.order.store().is_some();
    match (h.from, h.to) {
        (_, Holder::Store) if store => "put back",
        (_, Holder::Store) => "left",
        (Some(Holder::Store), _) => "taken",
        (Some(_), _) => "handed over",
        (None, _) => "shared",
    }
}
