//! `*.move.yaml`.

use super::*;
use crate::shape::{Map, Shape, Shaped, record};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::fmt;

record! {
    /// A move order: who goes where, what must work there, what else is worth
    /// taking, and by which rules.
    RawMove, "a move" {
        /// The name of the move.
        r#move: Name,
        /// How numbers are printed; wins over the equipment file's.
        units: Option<UnitsText>,
        /// Path of the equipment file, or the items themselves.
        equipment: EquipmentRef,
        /// Path of the carriers file, or the carriers themselves.
        carriers: CarriersRef,
        /// Who goes together, and how.
        parties: Entries<RawParty>,
        /// The store: a party by vehicle that keeps what no other party takes.
        stays_with: Option<Id>,
        /// What must work where a party ends up, by party.
        needs: Option<Entries<Vec<RawNeed>>>,
        /// What is worth taking if it fits, by party, with its value.
        wants: Option<Entries<Entries<RawWant>>>,
        /// Who may carry what.
        rules: Option<Vec<RawRule>>,
        /// What makes one plan better than another, first things first.
        /// Default: wants, lightest, even, keeper, hands.
        goals: Option<Vec<RawGoal>>,
    }
}

record! {
    /// Carriers who go together.
    RawParty, "a party" {
        /// On foot, people carry; by vehicle, kit rides and people only ride.
        travel: TravelText,
        /// Ids of people and vehicles.
        #[expect(dead_code, reason = "its texts are in the tree of places")]
        who: OneOrMore,
    }
}

record! {
    /// A value, and how many of the item are worth it.
    RawValue, "a want" {
        /// The value of each one.
        value: Count,
        /// How many are worth it. Default: 1.
        up_to: Option<Count>,
    }
}

/// A value alone, or with a number.
#[derive(Debug, Clone)]
pub enum RawWant {
    /// The place holds the text; see the lowering.
    Value,
    Record(RawValue),
}

/// A goal, alone or with what later goals may give up of it.
#[derive(Debug, Clone)]
pub enum RawGoal {
    Word,
    Give(Entries<PercentText>),
}

/// The path of the equipment, or the items.
#[derive(Debug, Clone)]
pub enum EquipmentRef {
    Path,
    Inline(Vec<RawItem>),
}

/// The path of the carriers, or the carriers.
#[derive(Debug, Clone)]
pub enum CarriersRef {
    Path,
    Inline(RawCarriers),
}

/// Reads a scalar as one thing and a list or a mapping as another. The text of
/// the scalar is not kept: serde's way to "any" loses how a number was
/// written, so the lowering takes it from the tree of places.
macro_rules! scalar_or {
    ($name:ident, $scalar:ident, $words:literal, $($visit:ident, $access:ident, $via:ident, $make:expr)?) => {
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
                struct Read;
                impl<'de> Visitor<'de> for Read {
                    type Value = $name;
                    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                        f.write_str($words)
                    }
                    fn visit_str<E: Error>(self, _: &str) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_bool<E: Error>(self, _: bool) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_i64<E: Error>(self, _: i64) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_u64<E: Error>(self, _: u64) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_i128<E: Error>(self, _: i128) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_u128<E: Error>(self, _: u128) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    fn visit_f64<E: Error>(self, _: f64) -> Result<$name, E> {
                        Ok($name::$scalar)
                    }
                    $(fn $visit<A: $access<'de>>(self, a: A) -> Result<$name, A::Error> {
                        Deserialize::deserialize($via::new(a)).map($make)
                    })?
                }
                d.deserialize_any(Read)
            }
        }
    };
}
pub(super) use scalar_or;

scalar_or!(RawWant, Value, "a value", visit_map, MapAccess, MapAccessDeserializer, RawWant::Record);
scalar_or!(RawGoal, Word, "a goal", visit_map, MapAccess, MapAccessDeserializer, RawGoal::Give);
scalar_or!(
    EquipmentRef,
    Path,
    "a path or a list of items",
    visit_seq,
    SeqAccess,
    SeqAccessDeserializer,
    EquipmentRef::Inline
);
scalar_or!(
    CarriersRef,
    Path,
    "a path or a mapping of people and vehicles",
    visit_map,
    MapAccess,
    MapAccessDeserializer,
    CarriersRef::Inline
);

impl Shaped for RawWant {
    fn shape() -> Shape {
        let map = Some(Map::Record(RawValue::RECORD));
        let what = "a value, or a mapping with `value` and `up-to`";
        Shape { text: Some("a value"), list: None, map, what }
    }
}
impl Shaped for RawGoal {
    fn shape() -> Shape {
        let map = Some(Map::Entries(PercentText::shape));
        Shape { text: Some("a goal"), list: None, map, what: "a goal, or a goal with a percentage" }
    }
}
impl Shaped for EquipmentRef {
    fn shape() -> Shape {
        let what = "the path of a file, or a list of items";
        Shape { text: Some("a path"), list: Some(RawItem::shape), map: None, what }
    }
}
impl Shaped for CarriersRef {
    fn shape() -> Shape {
        let what = "the path of a file, or a mapping with `people` and `vehicles`";
        let map = Some(Map::Record(RawCarriers::RECORD));
        Shape { text: Some("a path"), list: None, map, what }
    }
}

/// A schema that allows either of two types.
macro_rules! either_schema {
    ($name:ident, $doc:literal, $one:ty, $two:ty) => {
        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                let one = generator.subschema_for::<$one>();
                let two = generator.subschema_for::<$two>();
                json_schema!({ "description": $doc, "anyOf": [one, two] })
            }
        }
    };
}
pub(super) use either_schema;

either_schema!(RawWant, "the value of each one, or value and number", Count, RawValue);
either_schema!(EquipmentRef, "a path, or the items", PathText, Vec<RawItem>);
either_schema!(CarriersRef, "a path, or people and vehicles", PathText, RawCarriers);

impl JsonSchema for RawGoal {
    fn schema_name() -> Cow<'static, str> {
        "RawGoal".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let word = generator.subschema_for::<GoalText>();
        let give = generator.subschema_for::<PercentText>();
        json_schema!({
            "description": "a goal, or a goal with what later goals may give up of it",
            "anyOf": [word.clone(), {
                "type": "object",
                "propertyNames": word,
                "additionalProperties": give,
                "minProperties": 1,
                "maxProperties": 1
            }]
        })
    }
}
