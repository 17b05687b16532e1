//! Needs, and the trees they are made of.

use super::move_file::scalar_or;
use super::*;
use crate::shape::{Field, Map, Record, Shape, Shaped};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use std::borrow::Cow;
use std::fmt;

/// A need: a node with a name.
#[derive(Debug, Clone)]
pub struct RawNeed(pub RawNode);

/// A node of a need: exactly one of item, all, any, at-least with of, supply.
/// If none of them is given, all entries are items with counts.
#[derive(Debug, Clone, Default)]
pub struct RawNode {
    pub need: Option<Name>,
    /// Of needs alone; see [`RawNeed`].
    pub priority: Option<Count>,
    pub item: Option<ItemRef>,
    pub all: Option<Vec<Element>>,
    pub any: Option<Vec<Element>>,
    pub at_least: Option<Count>,
    pub of: Option<Vec<Element>>,
    pub supply: Option<Id>,
    /// What goes with a supply, or items with their counts.
    pub entries: Vec<(String, String)>,
}

/// What stands in the lists of a node.
#[derive(Debug, Clone)]
pub enum Element {
    /// An id; its text is in the tree of places.
    Item,
    Node(Box<RawNode>),
}

/// An item, or items with counts.
#[derive(Debug, Clone)]
pub enum ItemRef {
    Item,
    Counts(Entries<Count>),
}

/// The keys that make a mapping a node and not items with counts.
pub(crate) const HEADS: [&str; 7] = ["need", "item", "all", "any", "at-least", "of", "supply"];

impl<'de> Deserialize<'de> for RawNode {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Read;
        impl<'de> Visitor<'de> for Read {
            type Value = RawNode;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a need or items with counts")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<RawNode, A::Error> {
                let mut node = RawNode::default();
                while let Some(key) = map.next_key::<String>()? {
                    match key.as_str() {
                        "need" => node.need = Some(map.next_value()?),
                        "item" => node.item = Some(map.next_value()?),
                        "all" => node.all = Some(map.next_value()?),
                        "any" => node.any = Some(map.next_value()?),
                        "at-least" => node.at_least = Some(map.next_value()?),
                        "of" => node.of = Some(map.next_value()?),
                        "supply" => node.supply = Some(map.next_value()?),
                        _ => {
                            let value = map.next_value()?;
                            node.entries.push((key, value));
                        }
                    }
                }
                Ok(node)
            }
        }
        d.deserialize_map(Read)
    }
}

impl<'de> Deserialize<'de> for RawNeed {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let mut node = RawNode::deserialize(d)?;
        // Of a part of a need this would be an item.
        if let Some(at) = node.entries.iter().position(|(key, _)| key == "priority") {
            node.priority = Some(Count(node.entries.remove(at).1));
        }
        Ok(RawNeed(node))
    }
}

fn node(n: RawNode) -> Element {
    Element::Node(Box::new(n))
}
scalar_or!(Element, Item, "an item or a node", visit_map, MapAccess, MapAccessDeserializer, node);
scalar_or!(ItemRef, Item, "an item", visit_map, MapAccess, MapAccessDeserializer, ItemRef::Counts);

macro_rules! field {
    ($ident:ident: $type:ty) => {
        Field { ident: stringify!($ident), required: false, shape: <$type as Shaped>::shape }
    };
}

/// The fields of a node, after those given.
macro_rules! node_fields {
    ($($first:expr),*) => {
        &[
            $($first,)*
            field!(item: ItemRef),
            field!(all: Vec<Element>),
            field!(any: Vec<Element>),
            field!(at_least: Count),
            field!(of: Vec<Element>),
            field!(supply: Id),
            field!(amount: AmountText),
            field!(per_person: AmountText),
            field!(r#for: SpanText),
            field!(slack: PercentText),
        ]
    };
}

const NODE: &[Field] = node_fields!();
/// A need is a node with a name.
const NEED: &[Field] = node_fields!(
    Field { ident: "need", required: true, shape: Name::shape },
    field!(priority: Count)
);

impl Shaped for RawNeed {
    fn shape() -> Shape {
        let map = Some(Map::Record(&Record { noun: "a need", fields: NEED }));
        Shape { text: None, list: None, map, what: "a need" }
    }
}
impl Shaped for Element {
    fn shape() -> Shape {
        const RECORD: Record = Record { noun: "a part of a need", fields: NODE };
        let map = Some(Map::Either(&RECORD, &HEADS, Count::shape));
        let what = "an item, items with counts, or a part of a need";
        Shape { text: Some("an item"), list: None, map, what }
    }
}
impl Shaped for ItemRef {
    fn shape() -> Shape {
        let what = "an item, or an item with a count";
        Shape { text: Some("an item"), list: None, map: Some(Map::Entries(Count::shape)), what }
    }
}

impl JsonSchema for ItemRef {
    fn schema_name() -> Cow<'static, str> {
        "ItemRef".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let id = generator.subschema_for::<Id>();
        let counts = generator.subschema_for::<Entries<Count>>();
        json_schema!({ "description": "an item, or items with counts", "anyOf": [id, counts] })
    }
}

impl JsonSchema for Element {
    fn schema_name() -> Cow<'static, str> {
        "Element".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let id = generator.subschema_for::<Id>();
        let node = variants(generator, None);
        let count = generator.subschema_for::<Count>();
        json_schema!({
            "description": "an item, items with counts (all of them), or a part of a need",
            "anyOf": [id, {
                "type": "object",
                "propertyNames": { "pattern": "^[a-z0-9][a-z0-9-]*$", "not": { "enum": HEADS } },
                "additionalProperties": count,
                "minProperties": 1
            }, { "oneOf": node }]
        })
    }
}

impl JsonSchema for RawNeed {
    fn schema_name() -> Cow<'static, str> {
        "RawNeed".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let name = generator.subschema_for::<Name>();
        let priority = json_schema!({
            "description": "in which turn it is given up when not all can be met: the highest number first, 1 last, without one never",
            "type": "integer",
            "minimum": 1
        });
        let node = variants(generator, Some((&name, &priority)));
        json_schema!({ "description": "what must work where the party ends up", "oneOf": node })
    }
}

/// Description, fields that must be there, and all fields.
type Kind<'a> = (&'a str, &'a [&'a str], Vec<(&'a str, serde_json::Value)>);

/// One closed object for each kind of node, so that an editor offers what
/// belongs together; `own` is what a need has beside: name and priority.
fn variants(
    generator: &mut SchemaGenerator,
    own: Option<(&Schema, &Schema)>,
) -> Vec<serde_json::Value> {
    use serde_json::{Map, json};
    let item = json!(generator.subschema_for::<ItemRef>());
    let list =
        json!({ "type": "array", "minItems": 1, "items": generator.subschema_for::<Element>() });
    let count = json!({ "type": "integer", "minimum": 1 });
    let supply = json!(generator.subschema_for::<Id>());
    let amount = json!(generator.subschema_for::<AmountText>());
    let time = json!(generator.subschema_for::<SpanText>());
    let slack = json!(generator.subschema_for::<PercentText>());
    let kinds: [Kind; 5] = [
        ("this item", &["item"], vec![("item", item)]),
        ("all of these", &["all"], vec![("all", list.clone())]),
        ("one or more of these", &["any"], vec![("any", list.clone())]),
        ("so many of these", &["at-least", "of"], vec![("at-least", count), ("of", list)]),
        (
            "an amount of a supply: at least one of amount, per-person, for",
            &["supply"],
            vec![
                ("supply", supply),
                ("amount", amount.clone()),
                ("per-person", amount),
                ("for", time),
                ("slack", slack),
            ],
        ),
    ];
    let object = |(doc, required, fields): Kind| {
        let mut properties = Map::new();
        let mut needed: Vec<&str> = required.to_vec();
        if let Some((name, priority)) = own {
            properties.insert("need".into(), json!(name));
            properties.insert("priority".into(), json!(priority));
            needed.insert(0, "need");
        }
        properties.extend(fields.into_iter().map(|(k, v)| (k.to_string(), v)));
        let mut schema = json!({
            "description": doc,
            "type": "object",
            "properties": properties,
            "required": needed,
            "additionalProperties": false
        });
        if required == ["supply"] {
            let any = ["amount", "per-person", "for"].map(|f| json!({ "required": [f] }));
            schema["anyOf"] = json!(any);
        }
        schema
    };
    kinds.map(object).into()
}
