//! What a report tells besides the plan: the price of conditions that were
//! laid on it, and who takes over from whom.

use crate::ask::{Condition, Cost, DropOut, Explanation, Paid, Price, Replanned, Survival};
use crate::load::{CarrierIx, GoalValue, MoveOrder, PartyIx, Share};
use crate::quantity::{Mass, Units};
use crate::report::words;
use crate::report::worst::heavier;
use tumpline_core::text::clean;

/// What stands in a report beside the plan.
#[derive(Debug, Clone, Copy, Default)]
pub struct More<'a> {
    /// Path of the move order as it was given, for JSON.
    pub move_file: Option<&'a str>,
    /// Where a move was split again, what changed.
    pub anew: Option<&'a Replanned>,
    /// Leaves the plan itself out of tables and Markdown.
    pub brief: bool,
    /// Where there is no plan, why, and what would make one.
    pub explanation: Option<&'a Explanation>,
    /// Of the conditions that were laid on the plan.
    pub prices: &'a [Price],
    /// `Some` if the plan was asked to survive, and does.
    pub survival: Option<&'a Survival>,
    /// Of the rows of CSV and workbooks, these columns in this order, by their
    /// places in [`CARRIED_COLUMNS`](super::CARRIED_COLUMNS); none stands for all.
    pub columns: &'a [usize],
}

/// What the plan holds under, as sentences.
pub(crate) fn holds(order: &MoveOrder, more: &More) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(t) = order.tolerance() {
        let which = match t.off {
            None => String::new(),
            Some(1) => ", whichever it is".into(),
            Some(_) => ", whichever they are".into(),
        };
        out.push(format!(
            "None is passed either if {} than the catalogue says{which}.",
            heavier(&t)
        ));
    }
    if let Some(s) = &more.survival {
        out.push(survives(order, s));
        out.extend(s.alone.iter().map(|&(p, c)| not_asked(order, p, c)));
    }
    out
}

/// Whose loss is borne: of all, or of which parties.
fn survives(order: &MoveOrder, s: &Survival) -> String {
    let mut parties: Vec<String> =
        s.drop_outs.iter().map(|d| clean(&order.party(d.party).id)).collect();
    parties.dedup();
    let whose = match (parties.as_slice(), s.alone.is_empty()) {
        ([], true) => {
            return "No party of two or more goes on foot, so there was nobody of whom \
                              to ask whether the rest go on."
                .into();
        }
        ([], false) => return "Nobody's loss is shown to be borne.".into(),
        (_, true) => String::new(),
        (parties, false) => format!(" of {}", parties.join(" or ")),
    };
    format!(
        "Whichever one person{whose} drops out, the rest of the party can carry what it needs \
         within their emergency limits."
    )
}

/// That nobody takes over from who is alone.
fn not_asked(order: &MoveOrder, party: PartyIx, who: CarrierIx) -> String {
    let (party, who) = (clean(&order.party(party).id), words::carrier_name(order, who));
    format!(
        "Not asked of {party}: {who} is alone there, and nobody would be left for what it needs."
    )
}

pub(super) fn price_title(price: &Price) -> &'static str {
    match price.of {
        Condition::Tolerance => "Price of the tolerance",
        Condition::Survives => "Price of surviving a drop-out",
    }
}

/// That a price is not exact, if so.
pub(super) fn price_note(price: &Price) -> Option<&'static str> {
    (!price.exact).then_some("Not every goal is proven best, so the price may be a little off.")
}

/// `costs 0.30 kg`.
pub(super) fn cost(paid: &Paid, units: Units) -> String {
    let by = match (paid.with, paid.without) {
        (GoalValue::Points(a), GoalValue::Points(b))
        | (GoalValue::Count(a), GoalValue::Count(b)) => Some(a.abs_diff(b).to_string()),
        (GoalValue::Mass(a), GoalValue::Mass(b)) => {
            Some(Mass::from_mg(a.mg().abs_diff(b.mg())).rounded(units))
        }
        _ => None,
    };
    let word = match paid.cost() {
        Cost::Nothing => return "costs nothing".into(),
        Cost::Costs => "costs",
        Cost::Gains => "gains",
    };
    by.map_or(word.to_string(), |by| format!("{word} {by}"))
}

/// Who is fullest then, with load, emergency limit and share.
pub(super) fn fullest(order: &MoveOrder, d: &DropOut) -> [String; 3] {
    let Some(c) = d.fullest() else { return [String::new(), String::new(), String::new()] };
    let share = words::share(Share { load: c.load, limit: c.limit });
    let load = words::of(&c.load.rounded(order.units()), &c.limit.rounded(order.units()));
    [words::carrier_name(order, c.carrier), load, share]
}

/// What the rest leave where it is of what was brought.
pub(super) fn put_down(d: &DropOut) -> String {
    let left = d.planned.findings.left.iter();
    let left: Vec<String> =
        left.map(|l| format!("{} {}", l.count, clean(&d.order.item(l.item).name))).collect();
    if left.is_empty() { "leaves nothing".into() } else { format!("leaves {}", left.join("; ")) }
}
