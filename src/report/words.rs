//! What the reports say in words, once for all of them.

use super::text::clean;
use crate::load::{CarrierIx, GoalKind, GoalValue, ItemIx, MoveOrder, PartyIx, Share, Travel, Way};
use crate::quantity::{Amount, Dimension, Mass, Units};
use crate::split::{
    Answer, CarrierFinding, GoalResult, Line, MetBy, NeedFinding, Planned, Status, Stop,
    SupplyFinding,
};

/// `1 need`, `3 needs`.
pub(super) fn plural(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// Tenths of a percent, rounded up: `89.2 %`.
pub(super) fn share(s: Share) -> String {
    let permille = s.permille_up();
    format!("{}.{} %", permille / 10, permille % 10)
}

/// `21.40 of 24.00 kg`: the unit once.
pub(super) fn of(part: &str, whole: &str) -> String {
    match (part.rsplit_once(' '), whole.rsplit_once(' ')) {
        (Some((number, a)), Some((_, b))) if a == b => format!("{number} of {whole}"),
        _ => format!("{part} of {whole}"),
    }
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
    let units = order.units;
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
    out.extend(super::more::worst(order, c));
    out
}

/// The vehicle a person rides in, if it does.
pub(super) fn rides_in(order: &MoveOrder, c: CarrierIx) -> Option<CarrierIx> {
    let mut aboard = order.parties.iter().flat_map(|p| &p.aboard);
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

/// What a goal measures.
pub(super) fn goal_measure(kind: GoalKind) -> &'static str {
    match kind {
        GoalKind::Wants => "value of the wants taken",
        GoalKind::Lightest => "mass carried, not worn",
        GoalKind::Even => "largest share of a limit",
        GoalKind::Keeper => "away from their keeper",
        GoalKind::Hands => "hands in use",
        GoalKind::Changes => "units that change hands",
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
    // Too near each other to be told apart as they are printed.
    if bound == goal_value(g.reached, units) {
        format!("within {gap}")
    } else {
        format!("within {gap} (bound {bound})")
    }
}

/// What a goal had before it gave some of it up for the goals after it.
pub(super) fn goal_gave_way(g: &GoalResult, units: Units) -> Option<String> {
    let reached = goal_value(g.reached, units);
    gave_way(g).then(|| format!("had reached {reached}, then gave way to later goals"))
}

/// Whether the plan ended worse on the goal than it had been. (Where a later
/// goal happened to better it, there is nothing to tell.)
fn gave_way(g: &GoalResult) -> bool {
    let (value, reached) = (g.value.number(), g.reached.number());
    if g.goal.up() { value < reached } else { value > reached }
}

/// How good the plan is, and which goals ended off what they had reached.
pub(crate) fn verdict(planned: &Planned, units: Units) -> String {
    let gave: Vec<String> =
        planned.goals.iter().filter(|g| gave_way(g)).map(|g| format!("`{}`", g.goal)).collect();
    let known = known(planned, units);
    match gave.is_empty() {
        true => known,
        false => format!("{known} Then {} gave way, as the move allows.", gave.join(" and ")),
    }
}

fn known(planned: &Planned, units: Units) -> String {
    let worst = planned
        .goals
        .iter()
        .filter(|g| !g.proven())
        .max_by(|a, b| a.gap_percent().total_cmp(&b.gap_percent()));
    match (planned.status, worst) {
        (Status::ProvenBest, _) => {
            "Proven best: no plan does better on these goals in this order.".into()
        }
        (Status::WithinGap, Some(g)) => format!(
            "Good enough as asked: every goal came within {} of the best possible.",
            percent(g.gap_percent())
        ),
        (Status::WithinGap, None) => {
            "Good enough as asked: every goal came within the gap that was asked for.".into()
        }
        // Values, since a count of 1 where 0 may do would be off by 100 %.
        (Status::Feasible, Some(g)) => format!(
            "It works, but a better plan may exist: `{}` reached {}, and {} is not ruled out.",
            g.goal,
            goal_value(g.reached, units),
            goal_value(g.bound, units)
        ),
        (Status::Feasible, None) => "It works, but a better plan may exist.".into(),
    }
}

/// What ended the search early, if anything did.
pub(super) fn stopped(answer: &Answer) -> Option<String> {
    let seconds = plural(answer.elapsed.as_secs() as usize, "second", "seconds");
    answer.stopped.map(|stop| match stop {
        Stop::Deadline => format!("Stopped for want of time, after {seconds}."),
        Stop::Interrupt => format!("Stopped on request, after {seconds}."),
        Stop::Unsettled => format!("Ended after {seconds}: the solver could not settle it."),
    })
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
            let supply = order.catalogue.supply(*supply);
            let demand = Amount::new(supply.dimension, *demand).rounded(order.units);
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

/// What was not found, and what to try.
pub(super) const NONE_FOUND: [&str; 3] = [
    "No plan was found.",
    "That is no proof that none exists.",
    "Give it more time, as in `--time 60s`, or loosen a rule, a need or a limit.",
];

pub(super) const NO_PLAN: &str = "No plan exists.";
