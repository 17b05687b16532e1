//! How far the catalogue's weights may be off.

use crate::quantity::{Mass, Percent};

/// At most `off` kinds of item weigh up to `share` more than the catalogue
/// says, whichever they are (Bertsimas and Sim 2004, "The Price of
/// Robustness", Operations Research 52(1), 35-53). All units of a kind are off
/// alike, as where its entry is wrong. What is worn, and people aboard, are
/// taken as they are.
///
/// A carrier's *worst load* is its load and the most that `off` of the kinds
/// on it could add; a plan holds if no carrier's worst load passes what it may
/// bear. Goals are computed with the catalogue's weights.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tolerance {
    /// How much more one may weigh, of what the catalogue says.
    pub share: Percent,
    /// How many kinds may be off at once; `None` is all of them (Soyster 1973).
    pub off: Option<u32>,
}

impl Tolerance {
    /// What one of this mass may weigh more, rounded up to a whole milligram.
    pub fn deviation(&self, mass: Mass) -> Mass {
        self.share.of_mass_up(mass)
    }
}
