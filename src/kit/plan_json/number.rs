//! Numbers of the JSON reports, without float noise, and how they are read back.

use crate::diagnostic::quoted;
use crate::load::{GoalValue, Share};
use crate::quantity::{Mass, Percent};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Number;
use std::borrow::Cow;

/// Grams, exact to the milligram: `4195.729`, `12000`.
pub struct Grams(pub Mass);

impl Default for Grams {
    fn default() -> Self {
        Grams(Mass::ZERO)
    }
}

impl Grams {
    fn number(&self) -> Number {
        let mg = self.0.mg();
        if mg.is_multiple_of(1000) {
            return (mg / 1000).into();
        }
        // The nearest double to three decimals prints as those decimals.
        Number::from_f64(mg as f64 / 1000.0).unwrap_or_else(|| 0.into())
    }
}

impl Serialize for Grams {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        self.number().serialize(s)
    }
}

impl<'de> Deserialize<'de> for Grams {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let number = Number::deserialize(d)?;
        match format!("{number} g").parse() {
            Ok(mass) => Ok(Grams(mass)),
            Err(_) => Err(D::Error::custom(format!("{} is no mass", quoted(&number.to_string())))),
        }
    }
}

/// A share, 0.5 for half, to six decimals; null for a load on no limit.
pub struct Ratio(pub Share);

impl Default for Ratio {
    fn default() -> Self {
        Ratio(Share { load: Mass::ZERO, limit: Mass::ZERO })
    }
}

impl Ratio {
    fn number(&self) -> Option<f64> {
        match (self.0.load.mg(), self.0.limit.mg()) {
            (0, _) => Some(0.0),
            (_, 0) => None,
            (load, limit) => {
                let (load, limit) = (u128::from(load), u128::from(limit));
                let millionths = (load * 2_000_000 + limit) / (2 * limit);
                Some(millionths as f64 / 1e6)
            }
        }
    }
}

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        self.number().serialize(s)
    }
}

/// A percentage as it was given, exact to four decimals; any number, as it was read.
#[derive(Serialize, Deserialize)]
pub struct Part(Number);

impl Part {
    /// What it says, if it is a percentage.
    pub fn percent(&self) -> Option<Percent> {
        format!("{} %", self.0).parse().ok()
    }
}

impl From<Percent> for Part {
    fn from(percent: Percent) -> Self {
        Part(Number::from_f64(percent.ppm() as f64 / 1e4).unwrap_or_else(|| 0.into()))
    }
}

impl std::fmt::Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// A percentage to four decimals, rounded up: only a proven goal has a zero.
pub struct Gap(pub f64);

impl Serialize for Gap {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64((self.0 * 1e4).ceil() / 1e4)
    }
}

impl<'de> Deserialize<'de> for Gap {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        Ok(Gap(Number::deserialize(d)?.as_f64().unwrap_or(f64::INFINITY)))
    }
}

/// Points, grams, a share or a count; which of them says a unit beside it.
#[derive(Serialize, Deserialize)]
pub struct Value(Option<Number>);

impl From<GoalValue> for Value {
    fn from(value: GoalValue) -> Self {
        Value(match value {
            GoalValue::Points(n) | GoalValue::Count(n) => Some(n.into()),
            GoalValue::Mass(m) => Some(Grams(m).number()),
            GoalValue::Share(share) => Ratio(share).number().and_then(Number::from_f64),
        })
    }
}

impl Value {
    /// What it says in this unit, if it says anything. Shares are to six decimals.
    pub fn of(&self, unit: &str) -> Option<GoalValue> {
        let number = self.0.as_ref()?;
        match unit {
            "points" => number.as_u64().map(GoalValue::Points),
            "count" => number.as_u64().map(GoalValue::Count),
            "g" => format!("{number} g").parse().ok().map(GoalValue::Mass),
            "share" => {
                let millionths = (number.as_f64()? * 1e6).round();
                let load = Mass::from_mg(millionths as u64);
                Some(GoalValue::Share(Share { load, limit: Mass::from_mg(1_000_000) }))
            }
            _ => None,
        }
    }
}

/// The unit of a value of a goal.
pub fn unit(value: GoalValue) -> &'static str {
    match value {
        GoalValue::Points(_) => "points",
        GoalValue::Mass(_) => "g",
        GoalValue::Share(_) => "share",
        GoalValue::Count(_) => "count",
    }
}

/// All are plain numbers of zero or more to whoever reads them.
macro_rules! number_schema {
    ($($name:ident: $schema:tt),*) => {$(
        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!($schema)
            }
        }
    )*};
}

number_schema! {
    Grams: {"type": "number", "minimum": 0},
    Ratio: {"type": ["number", "null"], "minimum": 0},
    Gap: {"type": "number", "minimum": 0},
    Part: {"type": "number", "minimum": 0},
    Value: {"type": ["number", "null"], "minimum": 0}
}

#[cfg(test)]
mod tests {
    use super::*;

    fn json(value: impl Serialize) -> String {
        serde_json::to_string(&value).unwrap()
    }

    #[test]
    fn grams_are_exact_to_the_milligram() {
        assert_eq!(json(Grams(Mass::from_mg(4_195_729))), "4195.729");
        assert_eq!(json(Grams(Mass::from_mg(12_000_000))), "12000");
        assert_eq!(json(Grams(Mass::from_mg(1))), "0.001");
        assert_eq!(json(Grams(Mass::from_mg(999_999_999_999_999))), "999999999999.999");
    }

    #[test]
    fn shares_are_rounded_and_never_infinite() {
        let share = |load, limit| Share { load: Mass::from_mg(load), limit: Mass::from_mg(limit) };
        assert_eq!(json(Ratio(share(2, 3))), "0.666667");
        assert_eq!(json(Ratio(share(0, 0))), "0.0");
        assert_eq!(json(Ratio(share(5, 0))), "null");
    }

    #[test]
    fn values_are_read_back_by_their_unit() {
        let share = Share { load: Mass::from_mg(250_000), limit: Mass::from_mg(1_000_000) };
        for value in [
            GoalValue::Points(7),
            GoalValue::Count(0),
            GoalValue::Mass(Mass::from_mg(4_195_729)),
            GoalValue::Mass(Mass::from_mg(12_000_000)),
            GoalValue::Share(share),
        ] {
            let written = json(Value::from(value));
            let read: Value = serde_json::from_str(&written).unwrap();
            assert_eq!(read.of(unit(value)), Some(value), "{written}");
        }
        assert_eq!(serde_json::from_str::<Value>("null").unwrap().of("g"), None);
    }

    #[test]
    fn a_gap_that_is_left_never_shows_as_none() {
        assert_eq!(json(Gap(0.000_001)), "0.0001");
        assert_eq!(json(Gap(0.0)), "0.0");
    }
}
