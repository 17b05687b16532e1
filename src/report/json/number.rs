//! Numbers of the JSON report, without float noise.

use crate::load::{GoalValue, Share};
use crate::quantity::{Mass, Percent};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use std::borrow::Cow;

/// Grams, exact to the milligram: `4195.729`, `12000`.
pub(super) struct Grams(pub Mass);

impl Serialize for Grams {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mg = self.0.mg();
        if mg.is_multiple_of(1000) {
            s.serialize_u64(mg / 1000)
        } else {
            // The nearest double to three decimals prints as those decimals.
            s.serialize_f64(mg as f64 / 1000.0)
        }
    }
}

/// A share, 0.5 for half, to six decimals; null for a load on no limit.
pub(super) struct Ratio(pub Share);

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match (self.0.load.mg(), self.0.limit.mg()) {
            (0, _) => s.serialize_f64(0.0),
            (_, 0) => s.serialize_none(),
            (load, limit) => {
                let (load, limit) = (u128::from(load), u128::from(limit));
                let millionths = (load * 2_000_000 + limit) / (2 * limit);
                s.serialize_f64(millionths as f64 / 1e6)
            }
        }
    }
}

/// A percentage as it was given, exact to four decimals.
pub(super) struct Part(pub Percent);

impl Serialize for Part {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64(self.0.ppm() as f64 / 1e4)
    }
}

/// A percentage to four decimals, rounded up: only a proven goal has a zero.
pub(super) struct Gap(pub f64);

impl Serialize for Gap {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_f64((self.0 * 1e4).ceil() / 1e4)
    }
}

/// Points, grams, a share or a count.
pub(super) struct Value(pub GoalValue);

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            GoalValue::Points(n) | GoalValue::Count(n) => s.serialize_u64(n),
            GoalValue::Mass(m) => Grams(m).serialize(s),
            GoalValue::Share(share) => Ratio(share).serialize(s),
        }
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
    fn a_gap_that_is_left_never_shows_as_none() {
        assert_eq!(json(Gap(0.000_001)), "0.0001");
        assert_eq!(json(Gap(0.0)), "0.0");
    }
}
