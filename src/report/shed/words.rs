//! What the reports of what goes first say in words.

use crate::ask::shed::{Below, Crew, CrewOutcome, Step, WantUnits};
use crate::load::{MoveOrder, PartyIx, Share};
use crate::report::known;
use crate::report::words::{carrier_name, item_name, load_share, plural};
use crate::split::{CarrierFinding, Findings, Status};
use tumpline_core::text::clean;

/// Hundredths of a percent, rounded up, or down for a bound.
fn hundredths(share: Share, up: bool) -> String {
    let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
    let n = if up { (load * 10_000).div_ceil(limit) } else { load * 10_000 / limit };
    format!("{}.{:02}", n / 100, n % 100)
}

/// `97.66 %`, of what is the least share of the limit that has something.
pub(in crate::report) fn percent(share: Share) -> String {
    format!("{} %", hundredths(share, true))
}

/// `97.66 %` if that is proven, else `97.39 to 97.66 %`.
pub(in crate::report) fn from(step: &Step) -> String {
    let reached = hundredths(step.from, true);
    let bound = hundredths(step.from_bound, false);
    // A proven share is one number, however its last digit was rounded.
    match step.from == step.from_bound {
        true => format!("{reached} %"),
        false => format!("{bound} to {reached} %"),
    }
}

/// `17`, or `17 to 18` where 18 is not ruled out.
pub(in crate::report) fn value(step: &Step) -> String {
    match step.value == step.value_bound {
        true => step.value.to_string(),
        false => format!("{} to {}", step.value, step.value_bound),
    }
}

/// `1 Camp lamp`, with the party where several have wants.
fn change(order: &MoveOrder, change: &WantUnits) -> String {
    let want = &order.wants()[change.want];
    let several = order.wants().iter().any(|w| w.party != want.party);
    let name = item_name(order, want.item);
    match several {
        true => format!("{} {name} ({})", change.count, clean(&order.party(want.party).id)),
        false => format!("{} {name}", change.count),
    }
}

fn listed(order: &MoveOrder, changes: &[WantUnits]) -> String {
    changes.iter().map(|c| change(order, c)).collect::<Vec<_>>().join("; ")
}

/// What goes and what comes back. The first step is compared with everything
/// that is wanted.
pub(in crate::report) fn changes(
    order: &MoveOrder,
    first: bool,
    goes: &[WantUnits],
    comes: &[WantUnits],
) -> String {
    match (first, goes.is_empty(), comes.is_empty()) {
        (true, true, _) => "everything wanted comes".into(),
        (true, false, _) => format!("all but {}", listed(order, goes)),
        (_, true, true) => "the same".into(),
        (_, false, true) => listed(order, goes),
        (_, true, false) => format!("back: {}", listed(order, comes)),
        _ => format!("{}; back: {}", listed(order, goes), listed(order, comes)),
    }
}

/// The needs that a step gives up.
pub(in crate::report) fn needs(order: &MoveOrder, step: &Step) -> Option<String> {
    let name = |n: &usize| {
        let need = &order.needs()[*n];
        format!("{}: {}", clean(&order.party(need.party).id), clean(&need.name))
    };
    let names: Vec<String> = step.needs.iter().map(name).collect();
    match names.len() {
        0 => None,
        1 => Some(format!("the need {}", names.join(""))),
        _ => Some(format!("the needs {}", names.join("; "))),
    }
}

/// What is below a step, where it is not just the next one.
pub(in crate::report) fn below(order: &MoveOrder, below: Below, last: bool) -> Option<String> {
    match below {
        Below::Next if last => Some("below that there is nothing left to leave".into()),
        Below::Next => None,
        Below::NoPlan => Some("below that no plan meets the needs".into()),
        Below::Worn(c) => {
            let who = carrier_name(order, c);
            Some(format!("below that is less than {who} bears before any kit"))
        }
        Below::Unknown => Some("below that was not looked at for want of time".into()),
    }
}

/// The walkers, or those whose share counts, with their loads.
pub(in crate::report) fn bearers<'f>(
    order: &MoveOrder,
    findings: &'f Findings,
) -> Vec<&'f CarrierFinding> {
    let who = crate::ask::shed::bearers(order);
    findings.carriers.iter().filter(|c| who.contains(&c.carrier)).collect()
}

/// `First operator 24.60 kg (97.7 %)` for each of them.
pub(in crate::report) fn loads(order: &MoveOrder, findings: &Findings) -> String {
    let one = |c: &&CarrierFinding| {
        let load = c.load.rounded(order.units());
        format!("{} {load} ({})", carrier_name(order, c.carrier), percent(load_share(c)))
    };
    bearers(order, findings).iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Who goes in a crew, in a few words.
pub(in crate::report) fn crew(order: &MoveOrder, crew: &Crew) -> String {
    match crew.without {
        None => plural(crew.who.len(), "person", "people"),
        Some(c) => format!("without {}", carrier_name(order, c)),
    }
}

/// What a crew leaves out, or why there is no plan for it.
pub(in crate::report) fn crew_change(order: &MoveOrder, first: bool, crew: &Crew) -> String {
    match &crew.outcome {
        CrewOutcome::Plan(planned) => {
            let text = changes(order, first, &crew.goes, &crew.comes);
            match planned.status {
                Status::Feasible => match known::open(planned, order.units()).first() {
                    Some(open) => format!("{text} (a better plan may exist: {open})"),
                    None => format!("{text} (a better plan may exist)"),
                },
                _ => text,
            }
        }
        CrewOutcome::NoPlan(reason) => format!("no plan meets the needs: {}", clean(&reason.text)),
        CrewOutcome::Unknown => "no plan was found in the time given".into(),
    }
}

pub(in crate::report) fn title_people(order: &MoveOrder, party: PartyIx) -> String {
    format!("What goes first as {} gets smaller", clean(&order.party(party).id))
}

pub(in crate::report) const TITLE_LIMIT: &str = "What goes first as the limits fall";
pub(in crate::report) const OVER: &str = "Over the limits as declared: not to be carried";

/// What a share is a share of.
pub(in crate::report) fn whose(order: &MoveOrder) -> &'static str {
    match crate::ask::vary::walkers(order).is_empty() {
        true => "Every vehicle's payload falls alike; 100 % is as declared.",
        false => "The limits of all people on foot fall alike; 100 % is as declared.",
    }
}
