//! Rules: their keys and their schema, from `rule_forms.rs`.

use super::move_file::either_schema;
use super::*;
use crate::rule_forms::{BESIDE, FORMS, Holds, under};
use crate::shape::{Field, Map, Record, Shape, Shaped};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, IgnoredAny};
use serde_json::{Value, json};
use std::borrow::Cow;
use std::sync::LazyLock;

/// A value whose texts are in the tree of places, where the lowering reads them.
macro_rules! in_the_tree {
    ($($(#[$meta:meta])* $name:ident;)*) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone)]
        pub struct $name;

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
                IgnoredAny::deserialize(d).map(|_| $name)
            }
        }
    )* };
}

in_the_tree! {
    /// A rule: one head, and what goes with it.
    RawRule;
    /// One id, or a list of them.
    OneOrMore;
    /// One item or tag, or a list of them.
    ItemsOrOne;
}

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

impl Holds {
    fn shape(self) -> fn() -> Shape {
        match self {
            Holds::Item | Holds::To => Id::shape,
            Holds::Items => ItemsOrOne::shape,
            Holds::Two => Vec::<ItemOrTag>::shape,
            Holds::Count(_) | Holds::Hands => Count::shape,
            Holds::Kept => MassOrShare::shape,
            Holds::Carriers | Holds::Takers | Holds::People => OneOrMore::shape,
        }
    }

    fn schema(self, generator: &mut SchemaGenerator) -> Value {
        match self {
            Holds::Item | Holds::To => json!(generator.subschema_for::<Id>()),
            Holds::Items => json!(generator.subschema_for::<ItemsOrOne>()),
            Holds::Two => json!({
                "type": "array", "minItems": 1, "items": generator.subschema_for::<ItemOrTag>()
            }),
            Holds::Count(least) => json!({ "type": "integer", "minimum": least }),
            Holds::Hands => json!({ "type": "integer", "minimum": 1, "maximum": 2 }),
            Holds::Kept => json!(generator.subschema_for::<MassOrShare>()),
            Holds::Carriers | Holds::Takers | Holds::People => {
                json!(generator.subschema_for::<OneOrMore>())
            }
        }
    }
}

static FIELDS: LazyLock<Vec<Field>> = LazyLock::new(|| {
    let keys = FORMS.iter().map(|f| f.head).chain(BESIDE);
    let field = |key| {
        let shape = under(key)?.shape();
        Some(Field { ident: key, required: false, shape })
    };
    keys.filter_map(field).collect()
});
static RECORD: LazyLock<Record> = LazyLock::new(|| Record { noun: "a rule", fields: &FIELDS });

impl Shaped for RawRule {
    fn shape() -> Shape {
        Shape { text: None, list: None, map: Some(Map::Record(&RECORD)), what: "a rule" }
    }
}

impl JsonSchema for RawRule {
    fn schema_name() -> Cow<'static, str> {
        "RawRule".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        // Named in the order in which the file has them.
        let _ = (generator.subschema_for::<Id>(), generator.subschema_for::<ItemOrTag>());
        let form = |f: &crate::rule_forms::Form, generator: &mut SchemaGenerator| {
            let keys = f.keys().map(|(key, holds)| (key.to_string(), holds.schema(generator)));
            let properties: serde_json::Map<String, Value> = keys.collect();
            let must = f.must.iter().map(|(key, _)| *key);
            let required: Vec<&str> = std::iter::once(f.head).chain(must).collect();
            json!({
                "description": f.doc,
                "type": "object",
                "properties": properties,
                "required": required,
                "additionalProperties": false
            })
        };
        let forms: Vec<Value> = FORMS.iter().map(|f| form(f, generator)).collect();
        json_schema!({ "oneOf": forms })
    }
}
