//! What is read of a plan in JSON: not all that a plan holds, and other keys
//! are let pass.

use crate::diagnostic::{did_you_mean, one_of, quoted};
use crate::load::Way;
use crate::quantity::Mass;
use serde::de::{Deserialize, Deserializer, Error};

/// The version that is read.
pub(super) const FORMAT: u64 = 1;
/// As of anything that is held.
const MOST_COUNT: u64 = 100_000;

#[derive(serde::Deserialize)]
pub(super) struct RawVersion {
    pub format_version: u64,
}

#[derive(serde::Deserialize)]
pub(super) struct RawPlan {
    #[serde(rename = "move")]
    pub move_name: String,
    pub status: String,
    pub parties: Vec<RawParty>,
    pub carriers: Vec<RawCarrier>,
    pub left: Vec<RawLeft>,
}

#[derive(serde::Deserialize)]
pub(super) struct RawParty {
    pub id: String,
    pub store: bool,
}

#[derive(serde::Deserialize)]
pub(super) struct RawCarrier {
    pub id: String,
    pub name: String,
    pub party: String,
    pub items: Vec<Carried>,
}

#[derive(serde::Deserialize)]
pub(super) struct Carried {
    pub id: String,
    pub name: String,
    #[serde(deserialize_with = "count")]
    pub count: u32,
    #[serde(deserialize_with = "way")]
    pub way: Way,
    #[serde(default)]
    pub with: Option<String>,
    pub mass_g: Milligrams,
}

#[derive(serde::Deserialize)]
pub(super) struct RawLeft {
    pub id: String,
    pub name: String,
    #[serde(deserialize_with = "count")]
    pub count: u32,
}

/// Grams as written, in mg.
pub(super) struct Milligrams(pub u64);

impl<'de> Deserialize<'de> for Milligrams {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let number = serde_json::Number::deserialize(d)?;
        match format!("{number} g").parse::<Mass>() {
            Ok(mass) => Ok(Milligrams(mass.mg())),
            Err(_) => Err(D::Error::custom(format!("{} is no mass", quoted(&number.to_string())))),
        }
    }
}

fn count<'de, D: Deserializer<'de>>(d: D) -> Result<u32, D::Error> {
    let n = u64::deserialize(d)?;
    match u32::try_from(n) {
        Ok(count) if (1..=MOST_COUNT).contains(&n) => Ok(count),
        _ => Err(D::Error::custom(format!(
            "a count from 1 to {MOST_COUNT} is wanted here, not {}",
            quoted(&n.to_string())
        ))),
    }
}

fn way<'de, D: Deserializer<'de>>(d: D) -> Result<Way, D::Error> {
    let word = String::deserialize(d)?;
    let words = || Way::ALL.into_iter().map(Way::word);
    Way::ALL.into_iter().find(|w| w.word() == word).ok_or_else(|| {
        let meant = did_you_mean(&word, words()).map_or(String::new(), |m| format!(" ({m})"));
        let allowed = one_of(words());
        D::Error::custom(format!("{} is no way to carry{meant}; allowed: {allowed}", quoted(&word)))
    })
}
