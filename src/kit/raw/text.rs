//! Scalars. They stay texts until the lowering reads them, where their place
//! is known: so `.nan`, `010`, `1e3` and `4,2` are ours to rule on.

use crate::load::GoalKind;
use crate::shape::{Shape, Shaped};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use std::borrow::Cow;

/// Defines texts: name, what it is in words, and its schema.
macro_rules! texts {
    ($($(#[$meta:meta])* $name:ident, $what:literal, { $($schema:tt)* };)*) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl Shaped for $name {
            fn shape() -> Shape {
                Shape { text: Some($what), list: None, map: None, what: $what }
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ $($schema)* })
            }
        }
    )* };
}

texts! {
    /// An id, or the name of a duty, a tag or a supply.
    Id, "an id such as `relay-set`", {
        "description": "lower-case letters, digits and hyphens",
        "type": ["string", "integer"],
        "pattern": "^[a-z0-9][a-z0-9-]*$",
        "examples": ["relay-set"]
    };
    /// An item, or all items with a tag.
    #[expect(dead_code, reason = "only its shape and schema are used")]
    ItemOrTag, "an item, or `tag:` and a tag", {
        "description": "an item, or all items with a tag",
        "type": ["string", "integer"],
        "pattern": "^(tag:)?[a-z0-9][a-z0-9-]*$",
        "examples": ["relay-set", "tag:medical"]
    };
    /// Free text on one line.
    Name, "a name", {
        "type": ["string", "number"],
        "minLength": 1,
        "maxLength": 200
    };
    /// The path of another file.
    #[expect(dead_code, reason = "only its shape and schema are used")]
    PathText, "the path of a file", {
        "description": "path of a file, relative to this one",
        "type": "string",
        "examples": ["equipment.yaml"]
    };
    MassText, "a mass such as `4.2 kg`", {
        "description": "mass in kg, g, mg, t, lb, oz",
        "type": "string",
        "pattern": "^\\s*([0-9]+(\\.[0-9]+)?\\s*(kg|g|mg|t|lbs?|oz)\\s*)+$",
        "examples": ["4.2 kg", "850 g", "9 lb 4 oz"]
    };
    BulkText, "a volume such as `21 L`", {
        "description": "volume in L, mL, cL, dL",
        "type": "string",
        "pattern": "^\\s*[0-9]+(\\.[0-9]+)?\\s*[mcd]?[Ll]\\s*$",
        "examples": ["21 L", "750 mL"]
    };
    SizeText, "the size of a box such as `42 x 31 x 17 cm`", {
        "description": "three outer sides and one unit: mm, cm, m, in",
        "type": "string",
        "pattern": "^\\s*[0-9.]+(\\s*[x×*]\\s*[0-9.]+){2}\\s*(mm|cm|m|in)\\s*$",
        "examples": ["42 x 31 x 17 cm"]
    };
    PercentText, "a percentage such as `10 %`", {
        "type": "string",
        "pattern": "^\\s*[0-9]+(\\.[0-9]+)?\\s*%\\s*$",
        "examples": ["10 %"]
    };
    /// A limit or a reserve.
    MassOrShare, "a mass such as `24 kg` or a share such as `30 %`", {
        "description": "a mass, or a share in %",
        "type": "string",
        "pattern": "^\\s*([0-9]+(\\.[0-9]+)?\\s*%|([0-9]+(\\.[0-9]+)?\\s*(kg|g|mg|t|lbs?|oz)\\s*)+)\\s*$",
        "examples": ["24 kg", "30 %"]
    };
    #[expect(dead_code, reason = "only its shape and schema are used")]
    SpanText, "a time such as `18 h`", {
        "description": "time in h, min, s, d",
        "type": "string",
        "pattern": "^\\s*([0-9]+(\\.[0-9]+)?\\s*(h|min|s|d|days?)\\s*)+$",
        "examples": ["18 h", "1 h 30 min", "2 d"]
    };
    AmountText, "an amount such as `390 Wh`, `350 m`, `2 L` or `12`", {
        "description": "a length, an energy, a volume, a mass, or a plain number",
        "type": ["string", "integer"],
        "pattern": "^\\s*[0-9]+(\\.[0-9]+)?\\s*([a-zA-Z]+.*)?$",
        "minimum": 0,
        "examples": ["350 m", "390 Wh", "2 L", 12]
    };
    UseText, "a rate such as `14 W` or `0.5 L/h`, or an amount such as `2 L`", {
        "description": "a rate (over time) or an amount (once)",
        "type": ["string", "integer"],
        "pattern": "^\\s*[0-9]+(\\.[0-9]+)?\\s*([a-zA-Z/]+.*)?$",
        "minimum": 0,
        "examples": ["14 W", "0.5 L/h", "2 L/d", "3 m", 1]
    };
    Count, "a whole number", {
        "type": "integer",
        "minimum": 0
    };
    /// One of the cases that are held.
    CaseText, "a case such as `operator-satchel` or `trauma-pack 1 / pouch 2`", {
        "description": "the id of a case, and its number; one inside another after a stroke",
        "type": ["string", "integer"],
        "pattern": "^\\s*[a-z0-9][a-z0-9-]*(\\s+[0-9]+)?(\\s*/\\s*[a-z0-9][a-z0-9-]*(\\s+[0-9]+)?)*\\s*$",
        "examples": ["operator-satchel", "spare-dressings 2", "trauma-pack 1 / pouch 2"]
    };
    RequiredText, "a whole number or the word `shared`", {
        "description": "so many for each, or `shared`: one in the party serves all",
        "anyOf": [{ "type": "integer", "minimum": 1 }, { "const": "shared" }]
    };
    WayText, "a way to carry", {
        "enum": ["back", "chest", "shoulder", "belt", "hand", "pair", "bed"]
    };
    UnitsText, "`metric` or `imperial`", { "enum": ["metric", "imperial"] };
    TravelText, "`foot` or `vehicle`", { "enum": ["foot", "vehicle"] };
    YesNo, "`true` or `false`", { "type": "boolean" };
    #[expect(dead_code, reason = "only its shape and schema are used")]
    GoalText, "a goal", { "enum": (GoalKind::ALL.map(GoalKind::word)) };
}
