//! Why there is no plan and what would make one, in words and as it would be
//! written into the files.

mod changes;
mod edits;
mod parts;
mod written;

pub use edits::{Edit, edits};

use super::text::clean;
use crate::ask::{Change, Conflict, Explanation, Least, Offer};
use crate::load::MoveOrder;

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
pub(super) fn heading(k: usize, of: usize) -> String {
    match of {
        1 => "What cannot hold together".into(),
        _ => format!("What cannot hold together: {} of {of}", k + 1),
    }
}

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
