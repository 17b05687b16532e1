//! `stores.yaml`.

use super::*;
use crate::shape::{Map, Shape, Shaped, record};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use std::borrow::Cow;

record! {
    /// The stores of a kit: what it ought to hold, what is on charge and where
    /// that is, and what was found in its cases.
    RawStores, "a stores file" {
        /// The name of the store.
        stores: Name,
        /// Path of the equipment file, or the items themselves.
        equipment: EquipmentRef,
        /// How many loose ones the kit ought to hold, by item. Default: the
        /// catalogue's `held`.
        scale: Option<Entries<Count>>,
        /// What is on charge and where it is, each item once. An item that is
        /// not listed is on the shelf, as many as the catalogue's `held`.
        holdings: Option<Vec<RawHolding>>,
        /// What was found in cases, where it is not what the catalogue says.
        cases: Option<Vec<RawCase>>,
    }
}

record! {
    /// Loose ones of an item. They reconcile if `held` is `shelf`, `issued`,
    /// `unserviceable` and `on-loan` together.
    RawHolding, "a holding" {
        /// The item, by its id in the catalogue.
        id: Id,
        /// How many are on charge. Default: the catalogue's `held`.
        held: Option<Count>,
        /// How many are on the shelf and fit for use.
        shelf: Count,
        /// How many are out with the crew and fit for use, by who has them.
        issued: Option<Holders>,
        /// How many are not fit for use, wherever they are. Default: 0.
        unserviceable: Option<Count>,
        /// How many are lent outside the crew, by who has them.
        on_loan: Option<Holders>,
    }
}

record! {
    /// A case that was looked into.
    RawCase, "a case" {
        /// The case: its id, and its number where several are held. One inside
        /// another follows it after a stroke: `trauma-pack 1 / pouch 2`.
        case: CaseText,
        /// How many were found, by item. What is not listed is as packed.
        found: Entries<Count>,
    }
}

/// Counts by whoever has the things: an id, or any name.
#[derive(Debug, Clone, Deserialize)]
#[serde(transparent)]
pub struct Holders(pub Entries<Count>);

impl Shaped for Holders {
    fn shape() -> Shape {
        let what = "a mapping of names and counts";
        Shape { text: None, list: None, map: Some(Map::Entries(Count::shape)), what }
    }
}

impl JsonSchema for Holders {
    fn schema_name() -> Cow<'static, str> {
        "Holders".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<Count>();
        json_schema!({
            "description": "counts by who has the things, an id or any name",
            "type": "object",
            "propertyNames": { "minLength": 1, "maxLength": 200 },
            "additionalProperties": value
        })
    }
}
