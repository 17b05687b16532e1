//! Percentages in whole parts per million.

use super::decimal::{NANO, QuantityError, Unit, parse_terms, trimmed};
use super::mass::Mass;
use std::fmt;
use std::str::FromStr;

/// A percentage in whole parts per million: `33.3 %` is 333 000.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Percent(u64);

const UNITS: &[Unit] = &[Unit { names: &["%"], nano: 10_000 * NANO }];

impl Percent {
    /// Nothing.
    pub const ZERO: Percent = Percent(0);
    /// A half.
    pub const HALF: Percent = Percent(500_000);
    /// All of it.
    pub const WHOLE: Percent = Percent(1_000_000);
    /// 1000 %: more is surely a slip of the pen.
    pub const MOST: Percent = Percent(10_000_000);
    /// The unit that may be written, for messages.
    pub const ALLOWED: &'static str = "%";

    /// So many parts per million.
    pub const fn from_ppm(ppm: u64) -> Self {
        Percent(ppm)
    }
    /// In parts per million.
    pub const fn ppm(self) -> u64 {
        self.0
    }
    /// This share of `base`, rounded down: for limits, so that nobody gains.
    pub fn of_down(self, base: u64) -> u64 {
        let v = u128::from(base) * u128::from(self.0) / 1_000_000;
        u64::try_from(v).unwrap_or(u64::MAX)
    }
    /// This share of `base`, rounded up: for demands and burdens.
    pub fn of_up(self, base: u64) -> u64 {
        let v = (u128::from(base) * u128::from(self.0)).div_ceil(1_000_000);
        u64::try_from(v).unwrap_or(u64::MAX)
    }
    /// This share of a mass, rounded down to a whole milligram.
    pub fn of_mass_down(self, base: Mass) -> Mass {
        Mass::from_mg(self.of_down(base.mg()))
    }
    /// This share of a mass, rounded up to a whole milligram.
    pub fn of_mass_up(self, base: Mass) -> Mass {
        Mass::from_mg(self.of_up(base.mg()))
    }
}

impl FromStr for Percent {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, false, (Self::MOST.0, "1000 %")).map(Percent)
    }
}

/// Canonical and exact: reads back as the same percentage.
impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", trimmed(self.0, 4))
    }
}
