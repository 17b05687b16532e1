//! What of a plan in JSON is checked while it is read.

use crate::diagnostic::{did_you_mean, one_of, quoted};
use crate::load::Way;
use serde::de::{Deserialize, Deserializer, Error};
use serde::{Serialize, Serializer};

/// The version that is written and read.
pub const FORMAT: u32 = 1;
/// As of anything that is held.
const MOST_COUNT: u64 = 100_000;

/// What is read first: of another version the rest may mean something else.
#[derive(serde::Deserialize)]
pub(crate) struct Version {
    pub format_version: u64,
}

/// A count of at least one.
pub(super) fn count<'de, D: Deserializer<'de>>(d: D) -> Result<u32, D::Error> {
    let n = u64::deserialize(d)?;
    match u32::try_from(n) {
        Ok(count) if (1..=MOST_COUNT).contains(&n) => Ok(count),
        _ => Err(D::Error::custom(format!(
            "a count from 1 to {MOST_COUNT} is wanted here, not {}",
            quoted(&n.to_string())
        ))),
    }
}

pub(super) fn way<'de, D: Deserializer<'de>>(d: D) -> Result<Way, D::Error> {
    let word = String::deserialize(d)?;
    let words = || Way::ALL.into_iter().map(Way::word);
    Way::ALL.into_iter().find(|w| w.word() == word).ok_or_else(|| {
        let meant = did_you_mean(&word, words()).map_or(String::new(), |m| format!(" ({m})"));
        let allowed = one_of(words());
        D::Error::custom(format!("{} is no way to carry{meant}; allowed: {allowed}", quoted(&word)))
    })
}

pub(super) fn word<S: Serializer>(way: &Way, s: S) -> Result<S::Ok, S::Error> {
    way.word().serialize(s)
}
