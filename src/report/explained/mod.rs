//! Why there is no plan and what would make one, in words and as it would be
//! written into the files.

mod changes;
mod edits;
mod parts;
mod written;

pub use edits::{Edit, edits};

use crate::ask::{Change, Conflict, Explanation, Least, Offer};
use crate::load::{MoveOrder, Way};
use crate::split::Reason;
use tumpline_core::text::clean;

/// Parts of one conflict that a page shows.
const MOST_TOLD: usize = 60;

/// A part of a conflict: what it says, and where it was written.
pub(super) struct Told {
    pub text: String,
    pub place: Option<String>,
}

pub(super) fn told(order: &MoveOrder, conflict: &Conflict) -> Vec<Told> {
    let one = |part: &crate::ask::Part| Told {
        text: parts::text(order, *part),
        place: part.place(order).map(|p| clean(&p.to_string())),
    };
    conflict.parts.iter().map(one).collect()
}

/// Parts that are shown to people, and how many are not: where there was no time
/// to narrow them down there may be thousands.
pub(super) fn told_to_people(
    order: &MoveOrder,
    conflict: &Conflict,
) -> (Vec<Told>, Option<String>) {
    let mut all = told(order, conflict);
    let more = all.len().saturating_sub(MOST_TOLD);
    all.truncate(MOST_TOLD);
    (all, (more > 0).then(|| format!("and {more} more")))
}

/// What an offer comes to: `raise …; and …`.
pub(super) fn offer(order: &MoveOrder, offer: &Offer) -> String {
    let one = |(change, least): (&Change, &Least)| {
        let text = changes::text(order, change);
        match changes::note(change, *least) {
            Some(note) => format!("{text} ({note})"),
            None => text,
        }
    };
    offer.changes.iter().zip(&offer.least).map(one).collect::<Vec<_>>().join("; and ")
}

pub(super) fn change(order: &MoveOrder, change: &Change) -> String {
    changes::text(order, change)
}

/// The heading of a conflict.
pub(super) fn heading(k: usize, explanation: &Explanation) -> String {
    match (explanation.conflicts.len(), explanation.more) {
        (1, _) => "What cannot hold together".into(),
        (of, false) => format!("What cannot hold together: {} of {of}", k + 1),
        (_, true) => format!("What cannot hold together: {}", k + 1),
    }
}

/// Why the parts of a conflict rule out every plan, where that says more than
/// the reason already given.
pub(super) fn reason(conflict: &Conflict, given: &Reason) -> Option<String> {
    let told = conflict.reason.as_ref().filter(|r| r.place.is_some() && r.text != given.text);
    told.map(|r| format!("Why: {}.", clean(&r.text)))
}

/// Offers that are shown in one line: the ways that one item might go by too, or
/// a single one of any other kind.
pub(super) fn lines(explanation: &Explanation) -> Vec<&[Offer]> {
    let item = |o: &Offer| match o.changes.as_slice() {
        [Change::Way { item, .. }] => Some(*item),
        _ => None,
    };
    explanation.offers.chunk_by(|a, b| item(a).is_some() && item(a) == item(b)).collect()
}

/// A line of [`lines`], and what to write for it.
pub(super) fn line(order: &MoveOrder, offers: &[Offer]) -> (String, Vec<String>) {
    let Some(first) = offers.first() else { return (String::new(), Vec::new()) };
    let written = |offer: &Offer| -> Vec<String> {
        edits(order, &offer.changes).iter().map(|e| clean(&e.to_string())).collect()
    };
    let ways: Vec<Way> = offers
        .iter()
        .filter_map(|o| match o.changes.as_slice() {
            [Change::Way { way, .. }] => Some(*way),
            _ => None,
        })
        .collect();
    if ways.len() < 2 {
        return (offer(order, first), written(first));
    }
    let edit = written(first).into_iter().map(|e| format!("{e}, or another of these"));
    (changes::ways(order, &first.changes, &ways), edit.collect())
}

/// Said after the conflicts where there are more of them.
pub(super) const MORE: &str = "There are more causes beside these.";

/// What is known of a conflict.
pub(super) fn known(conflict: &Conflict) -> &'static str {
    match (conflict.irreducible, conflict.parts.len()) {
        (true, 1) => "This alone rules out every plan, whatever else is given up.",
        (true, _) => {
            "These alone rule out every plan. Without any one of them the others can hold."
        }
        (false, 0) => "There was no time to find out.",
        (false, _) => {
            "There was no time to prove that each of them matters: some may be left out of the cause."
        }
    }
}

pub(super) const CHANGES: &str = "What would make it work";

/// What stands above and below the list of changes.
pub(super) fn intro(explanation: &Explanation) -> String {
    let several = explanation.conflicts.len();
    let each = "Each was tried on the whole move: a plan was found and audited.";
    let first = explanation.offers.first().map_or(0, |o| o.changes.len());
    match (explanation.offers.is_empty(), several > 1 || first > 1) {
        (true, _) => "No change that was tried makes it work.".into(),
        (false, true) => {
            format!("Cheapest first. One change to one limit, need or rule is not enough. {each}")
        }
        (false, false) => format!("Any one of these, cheapest first. {each}"),
    }
}

pub(super) const INCOMPLETE: &str =
    "There was no time to try everything: give it more, as in `--time 60s`.";
