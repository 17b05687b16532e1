//! Mass in whole milligrams.

use super::decimal::{NANO, QuantityError, Unit, parse_terms, rounded, trimmed};
use super::units::Units;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};
use std::str::FromStr;

/// A mass in whole milligrams. One thing is at most 100 t ([`Mass::MOST`]), so
/// that sums over any kit the reader accepts stay inside 64 bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Mass(u64);

const UNITS: &[Unit] = &[
    Unit { names: &["kg"], nano: 1_000_000 * NANO },
    Unit { names: &["g"], nano: 1_000 * NANO },
    Unit { names: &["mg"], nano: NANO },
    Unit { names: &["t"], nano: 1_000_000_000 * NANO },
    // Exact by the 1959 agreement: 1 lb = 0.453 592 37 kg, 16 oz to the pound.
    Unit { names: &["lb", "lbs"], nano: 453_592_370_000_000 },
    Unit { names: &["oz"], nano: 28_349_523_125_000 },
];

impl Mass {
    /// Nothing.
    pub const ZERO: Mass = Mass(0);
    /// The most one thing may weigh: 100 t.
    pub const MOST: Mass = Mass(100_000_000_000);
    /// What may be written, for messages.
    pub const ALLOWED: &'static str = "kg, g, mg, t, lb, oz";

    /// So many milligrams.
    pub const fn from_mg(mg: u64) -> Self {
        Mass(mg)
    }
    /// So many grams.
    pub const fn from_g(g: u64) -> Self {
        Mass(g * 1000)
    }
    /// In milligrams.
    pub const fn mg(self) -> u64 {
        self.0
    }
    /// Less the other; never below nothing.
    pub fn saturating_sub(self, other: Mass) -> Mass {
        Mass(self.0.saturating_sub(other.0))
    }
    /// For tables: kilograms with two decimals (pounds in imperial kits).
    pub fn rounded(self, units: Units) -> String {
        match units {
            Units::Metric => format!("{} kg", rounded(self.0, 6, 2)),
            Units::Imperial => {
                // Hundredths of a pound, half up, by whole-number arithmetic.
                let pound = 45_359_237u128;
                let hundredths = (u128::from(self.0) * 10_000 + pound / 2) / pound;
                let h = u64::try_from(hundredths).unwrap_or(u64::MAX);
                format!("{} lb", rounded(h, 2, 2))
            }
        }
    }
}

impl FromStr for Mass {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, true, (Self::MOST.0, "100 t")).map(Mass)
    }
}

/// Canonical and exact: reads back as the same mass.
impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            0 => write!(f, "0 kg"),
            mg if mg >= 1_000_000 => write!(f, "{} kg", trimmed(mg, 6)),
            mg if mg >= 1000 => write!(f, "{} g", trimmed(mg, 3)),
            mg => write!(f, "{mg} mg"),
        }
    }
}

impl Add for Mass {
    type Output = Mass;
    fn add(self, o: Mass) -> Mass {
        Mass(self.0.saturating_add(o.0))
    }
}
impl AddAssign for Mass {
    fn add_assign(&mut self, o: Mass) {
        *self = *self + o;
    }
}
impl Sub for Mass {
    type Output = Mass;
    fn sub(self, o: Mass) -> Mass {
        self.saturating_sub(o)
    }
}
impl Mul<u32> for Mass {
    type Output = Mass;
    fn mul(self, n: u32) -> Mass {
        Mass(self.0.saturating_mul(u64::from(n)))
    }
}
impl Sum for Mass {
    fn sum<I: Iterator<Item = Mass>>(iter: I) -> Mass {
        iter.fold(Mass::ZERO, Add::add)
    }
}
