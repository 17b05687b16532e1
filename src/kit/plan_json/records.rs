//! Records of a plan that stand in several places of it.

use super::checked;
use super::number::{Grams, Ratio};
use crate::load::{Place, Way};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Lines and columns count from one.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct At {
    pub file: String,
    pub line: usize,
    pub column: usize,
}

impl From<&Place> for At {
    fn from(place: &Place) -> Self {
        At { file: place.file.clone(), line: place.line, column: place.column }
    }
}

/// A person or a vehicle, and what is on it.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Carrier {
    pub id: String,
    pub name: String,
    pub party: String,
    #[serde(skip_deserializing)]
    #[schemars(extend("enum" = ["person", "vehicle"]))]
    pub kind: &'static str,
    /// Id of the vehicle, for a person who only rides.
    #[serde(skip_deserializing)]
    pub rides_in: Option<String>,
    /// Burden and items together: what is held against the limit.
    #[serde(skip_deserializing)]
    pub load_g: Grams,
    /// Worn mass, or the people aboard a vehicle.
    #[serde(skip_deserializing)]
    pub burden_g: Grams,
    #[serde(skip_deserializing)]
    pub limit_g: Grams,
    /// The limit less every reserve.
    #[serde(skip_deserializing)]
    pub usable_g: Grams,
    /// The load if as many kinds as may weigh more than the catalogue says;
    /// null without a tolerance.
    #[serde(skip_deserializing)]
    pub worst_g: Option<Grams>,
    /// Load against limit, to six decimals; null for a load on no limit.
    #[serde(skip_deserializing)]
    pub share: Ratio,
    /// In the pack or on the bed.
    #[serde(skip_deserializing)]
    pub bulk_ml: u64,
    /// Of the pack or bed; null if it is not watched.
    #[serde(skip_deserializing)]
    pub room_ml: Option<u64>,
    /// Null for vehicles.
    #[serde(skip_deserializing)]
    pub hands_free: Option<u32>,
    pub items: Vec<Carried>,
}

/// Units of an item on a carrier. What a pair carries is with both of them.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Carried {
    pub id: String,
    pub name: String,
    #[serde(deserialize_with = "checked::count")]
    pub count: u32,
    #[schemars(with = "String")]
    #[schemars(extend("enum" = ["back", "chest", "shoulder", "belt", "hand", "pair", "bed"]))]
    #[serde(serialize_with = "checked::word", deserialize_with = "checked::way")]
    pub way: Way,
    /// Id of the other bearer; only for `pair`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with: Option<String>,
    /// What this carrier bears of it.
    pub mass_g: Grams,
}

/// Units that no party outside the store takes.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct Left {
    pub id: String,
    pub name: String,
    #[serde(deserialize_with = "checked::count")]
    pub count: u32,
    /// Id of the party that keeps it; null if it is simply left.
    #[serde(rename = "where", skip_deserializing)]
    pub place: Option<String>,
}
