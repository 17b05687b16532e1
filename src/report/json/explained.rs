//! Why there is no plan, and what would make one, field by field.

use super::build::at;
use super::document::At;
use crate::ask::{self, Explanation, Least};
use crate::load::MoveOrder;
use crate::report::explained;
use schemars::JsonSchema;
use serde::Serialize;

/// Parts of a move that cannot hold together.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Conflict {
    /// Whether it is proven that none of the parts can be left out: without any
    /// one of them the others can hold.
    pub irreducible: bool,
    /// Why these parts alone rule out every plan.
    pub reason: Option<String>,
    pub parts: Vec<Part>,
}

/// A rule, a need, a limit or their like.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Part {
    #[schemars(extend("enum" = [
        "rule", "need", "limit", "room", "slots", "requires", "stays-with"
    ]))]
    pub kind: &'static str,
    pub text: String,
    pub place: Option<At>,
}

/// What would make it work.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Remedies {
    /// Whether there are more causes than `conflicts` has.
    pub more_causes: bool,
    /// Whether there was time to try everything.
    pub complete: bool,
    /// Each alone is enough.
    pub offers: Vec<Offer>,
}

/// Remedies that together are enough.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Offer {
    pub changes: Vec<Change>,
    /// What all of them come to in the files.
    pub edits: Vec<Edit>,
}

/// A change to the move.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Change {
    #[schemars(extend("enum" = [
        "allow-way", "more-slots", "more-room", "weaken-rule", "leave-out-rule", "raise-limit",
        "hold-more", "lower-need", "lower-requirement", "leave-out-requirement",
        "leave-out-need", "no-store", "another-carrier", "second-trip"
    ]))]
    pub kind: &'static str,
    pub text: String,
    /// Whether it is proven that a step less of it does not do; null where there
    /// is no less of it.
    pub least: Option<bool>,
}

/// One thing to write into a file, or to take out.
#[derive(Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Edit {
    #[schemars(extend("enum" = ["item", "person", "vehicle", "party", "need", "rule", "move"]))]
    pub record: &'static str,
    /// The id of an item, carrier or party, the name of a need or move, the
    /// number of a rule from 1.
    pub id: String,
    /// Of a need, its party.
    pub party: Option<String>,
    /// The key to write; null for the whole record.
    pub key: Option<&'static str>,
    /// What to write, as YAML; null to take it out.
    pub value: Option<String>,
    /// Where the record stands; of a new one, the record it is like.
    pub place: Option<At>,
}

pub(super) fn conflicts(order: &MoveOrder, found: &Explanation) -> Vec<Conflict> {
    let part = |part: &ask::Part, told: explained::Told| Part {
        kind: part.kind().word(),
        text: told.text,
        place: part.place(order).map(at),
    };
    let conflict = |c: &ask::Conflict| Conflict {
        irreducible: c.irreducible,
        reason: c.reason.as_ref().map(|r| r.text.clone()),
        parts: c.parts.iter().zip(explained::told(order, c)).map(|(p, t)| part(p, t)).collect(),
    };
    found.conflicts.iter().map(conflict).collect()
}

pub(super) fn changes(order: &MoveOrder, found: &Explanation) -> Remedies {
    let change = |change: &ask::Change, least: &Least| Change {
        kind: change.word(),
        text: explained::change(order, change),
        least: match least {
            Least::Proven => Some(true),
            Least::Unproven => Some(false),
            Least::Whole => None,
        },
    };
    let edit = |e: explained::Edit| Edit {
        record: e.record,
        id: e.id,
        party: e.party,
        key: e.key,
        value: e.value,
        place: e.place.as_ref().map(at),
    };
    let offer = |o: &ask::Offer| Offer {
        changes: o.changes.iter().zip(&o.least).map(|(c, l)| change(c, l)).collect(),
        edits: explained::edits(order, &o.changes).into_iter().map(edit).collect(),
    };
    Remedies {
        more_causes: found.more,
        complete: found.complete,
        offers: found.offers.iter().map(offer).collect(),
    }
}
