//! Why there is no plan, and what would make one, field by field.

use super::records::At;
use schemars::JsonSchema;
use serde::Serialize;

/// Parts of a move that cannot hold together.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Conflict {
    /// Whether it is proven that none of the parts can be left out: without any
    /// one of them the others can hold.
    pub irreducible: bool,
    /// Why these parts alone rule out every plan.
    pub reason: Option<String>,
    pub parts: Vec<Part>,
}

/// A rule, a need, a limit or their like.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Part {
    #[schemars(extend("enum" = [
        "rule", "need", "limit", "room", "slots", "requires", "stays-with"
    ]))]
    pub kind: &'static str,
    pub text: String,
    pub place: Option<At>,
}

/// What would make it work.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Remedies {
    /// Whether there are more causes than `conflicts` has.
    pub more_causes: bool,
    /// Whether there was time to try everything.
    pub complete: bool,
    /// Each alone is enough.
    pub offers: Vec<Offer>,
}

/// Remedies that together are enough.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Offer {
    pub changes: Vec<Change>,
    /// What all of them come to in the files.
    pub edits: Vec<Edit>,
}

/// A change to the move.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Change {
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
#[schemars(deny_unknown_fields)]
pub struct Edit {
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
