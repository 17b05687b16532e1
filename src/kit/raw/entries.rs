//! Mappings with free keys, in the order written.

use crate::shape::{Map, Shape, Shaped};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

/// Key and value of each entry.
#[derive(Debug, Clone)]
pub struct Entries<T>(pub Vec<(String, T)>);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Entries<T> {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Read<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Read<T> {
            type Value = Entries<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a mapping")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut list = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    list.push(entry);
                }
                Ok(Entries(list))
            }
        }
        d.deserialize_map(Read(PhantomData))
    }
}

impl<T: Shaped> Shaped for Entries<T> {
    fn shape() -> Shape {
        let what = "a mapping";
        Shape { text: None, list: None, map: Some(Map::Entries(T::shape)), what }
    }
}

impl<T: JsonSchema> JsonSchema for Entries<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("EntriesOf{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<T>();
        json_schema!({
            "type": "object",
            "propertyNames": { "pattern": "^[a-z0-9][a-z0-9-]*$" },
            "additionalProperties": value
        })
    }
}
