//! Conditions on a plan and their price, field by field.

use super::number::{Part, Ratio, Value};
use super::records::{Carrier, Left};
use crate::load::GoalKind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far weights may be off.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Tolerance {
    /// By how much an item may weigh more than the catalogue says.
    pub percent: Part,
    /// How many kinds of item may be off at once; null is all of them.
    pub off: Option<u32>,
}

/// One person has dropped out, and the rest go on with what was brought.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct DropOut {
    pub party: String,
    /// Id of who drops out.
    pub without: String,
    /// Id of whoever then has the largest share of their emergency limit.
    pub fullest: Option<String>,
    /// That share, to six decimals.
    pub peak_share: Option<Ratio>,
    /// The rest and what they then carry; limits are emergency limits.
    pub carriers: Vec<Carrier>,
    /// What they leave of what was brought.
    pub left: Vec<Left>,
}

/// Somebody who goes alone, from whom nobody takes over.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Alone {
    pub party: String,
    /// Id of who is alone there.
    pub who: String,
}

/// What a condition costs.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Price {
    #[schemars(extend("enum" = ["tolerance", "survives"]))]
    pub of: &'static str,
    /// Whether both plans are proven best.
    pub exact: bool,
    /// In the order of the move.
    pub goals: Vec<Paid>,
}

/// A goal with the condition and without it.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Paid {
    #[schemars(extend("enum" = GoalKind::ALL.map(GoalKind::word)))]
    pub name: &'static str,
    #[schemars(extend("enum" = ["points", "g", "share", "count"]))]
    pub unit: &'static str,
    pub with: Value,
    pub without: Value,
}
