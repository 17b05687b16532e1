//! Rules.

use super::move_file::{either_schema, scalar_or};
use super::*;
use crate::shape::{Field, Map, Record, Shape, Shaped};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::SeqAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};
use serde_json::{Value, json};
use std::borrow::Cow;
use std::fmt;

/// A rule: one head, and what goes with it.
#[derive(Debug, Clone, serde::Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct RawRule {
    pub apart: Option<Vec<ItemOrTag>>,
    pub together: Option<Vec<ItemOrTag>>,
    pub at_most: Option<Count>,
    pub fixed: Option<Id>,
    pub keep_off: Option<ItemsOrOne>,
    pub hands_free: Option<Count>,
    pub reserve: Option<MassOrShare>,
    pub of: Option<ItemsOrOne>,
    pub to: Option<Id>,
    pub from: Option<OneOrMore>,
    pub r#for: Option<OneOrMore>,
    pub count: Option<Count>,
}

/// One id, or a list of them.
#[derive(Debug, Clone)]
pub enum OneOrMore {
    /// Its text is in the tree of places.
    One,
    More(Vec<Id>),
}

/// One item or tag, or a list of them.
#[derive(Debug, Clone)]
pub enum ItemsOrOne {
    /// Its text is in the tree of places.
    One,
    More(Vec<ItemOrTag>),
}

scalar_or!(
    OneOrMore,
    One,
    "an id or a list of ids",
    visit_seq,
    SeqAccess,
    SeqAccessDeserializer,
    OneOrMore::More
);
scalar_or!(
    ItemsOrOne,
    One,
    "an item or a list of items",
    visit_seq,
    SeqAccess,
    SeqAccessDeserializer,
    ItemsOrOne::More
);
either_schema!(OneOrMore, "an id, or a list of ids", Id, Vec<Id>);
either_schema!(ItemsOrOne, "an item or a tag, or a list of them", ItemOrTag, Vec<ItemOrTag>);

impl Shaped for OneOrMore {
    fn shape() -> Shape {
        let what = "an id or a list of ids";
        Shape { text: Some("an id"), list: Some(Id::shape), map: None, what }
    }
}
impl Shaped for ItemsOrOne {
    fn shape() -> Shape {
        let what = "an item or a list of items";
        Shape { text: Some("an item"), list: Some(ItemOrTag::shape), map: None, what }
    }
}

macro_rules! field {
    ($ident:ident: $type:ty) => {
        Field { ident: stringify!($ident), required: false, shape: <$type as Shaped>::shape }
    };
}

impl Shaped for RawRule {
    fn shape() -> Shape {
        const RECORD: Record = Record {
            noun: "a rule",
            fields: &[
                field!(apart: Vec<ItemOrTag>),
                field!(together: Vec<ItemOrTag>),
                field!(at_most: Count),
                field!(fixed: Id),
                field!(keep_off: ItemsOrOne),
                field!(hands_free: Count),
                field!(reserve: MassOrShare),
                field!(of: ItemsOrOne),
                field!(to: Id),
                field!(from: OneOrMore),
                field!(r#for: OneOrMore),
                field!(count: Count),
            ],
        };
        Shape { text: None, list: None, map: Some(Map::Record(&RECORD)), what: "a rule" }
    }
}

impl JsonSchema for RawRule {
    fn schema_name() -> Cow<'static, str> {
        "RawRule".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let id = json!(generator.subschema_for::<Id>());
        let two = json!({
            "type": "array", "minItems": 1, "items": generator.subschema_for::<ItemOrTag>()
        });
        let items = json!(generator.subschema_for::<ItemsOrOne>());
        let who = json!(generator.subschema_for::<OneOrMore>());
        let share = json!(generator.subschema_for::<MassOrShare>());
        let from = |least: u32| json!({ "type": "integer", "minimum": least });
        let hands = json!({ "type": "integer", "minimum": 1, "maximum": 2 });
        let object = |doc: &str, required: &[&str], fields: &[(&str, &Value)]| {
            let properties: serde_json::Map<String, Value> =
                fields.iter().map(|(k, v)| (k.to_string(), (*v).clone())).collect();
            json!({
                "description": doc,
                "type": "object",
                "properties": properties,
                "required": required,
                "additionalProperties": false
            })
        };
        json_schema!({ "oneOf": [
            object("nobody has more than one of these kinds", &["apart"], &[("apart", &two)]),
            object("what goes of these is on one carrier", &["together"], &[("together", &two)]),
            object(
                "each carrier has at most so many of these; default: everybody who takes kit",
                &["at-most", "of"],
                &[("at-most", &from(0)), ("of", &items), ("for", &who)],
            ),
            object(
                "a carrier has this item",
                &["fixed", "to"],
                &[("fixed", &id), ("to", &id), ("count", &from(1))],
            ),
            object(
                "these carriers have none of these",
                &["keep-off", "from"],
                &[("keep-off", &items), ("from", &who)],
            ),
            object(
                "so many hands stay free; default: all people on foot",
                &["hands-free"],
                &[("hands-free", &hands), ("for", &who)],
            ),
            object(
                "so much of the limit is kept back; default: all people on foot outside the store",
                &["reserve"],
                &[("reserve", &share), ("for", &who)],
            )
        ] })
    }
}
