//! Length in whole millimetres.

use super::decimal::{NANO, QuantityError, Unit, parse_terms, rounded, trimmed};
use super::units::Units;
use std::fmt;
use std::str::FromStr;

/// A length in whole millimetres, at most 1000 km.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(u64);

const UNITS: &[Unit] = &[
    Unit { names: &["m"], nano: 1_000 * NANO },
    Unit { names: &["km"], nano: 1_000_000 * NANO },
    Unit { names: &["cm"], nano: 10 * NANO },
    Unit { names: &["mm"], nano: NANO },
    // Exact by the 1959 agreement: 1 yd = 0.9144 m.
    Unit { names: &["yd"], nano: 914_400_000_000 },
    Unit { names: &["ft"], nano: 304_800_000_000 },
    Unit { names: &["in"], nano: 25_400_000_000 },
    Unit { names: &["mi"], nano: 1_609_344_000_000_000 },
];

impl Length {
    /// The most that may be written: 1000 km.
    pub const MOST: Length = Length(1_000_000_000);
    /// The units that may be written, for messages.
    pub const ALLOWED: &'static str = "m, km, cm, mm, yd, ft, in, mi";

    /// So many millimetres.
    pub const fn from_mm(mm: u64) -> Self {
        Length(mm)
    }
    /// In millimetres.
    pub const fn mm(self) -> u64 {
        self.0
    }
    /// For tables: metres (yards in imperial kits) with at most one decimal.
    pub fn rounded(self, units: Units) -> String {
        let (tenths, unit) = match units {
            Units::Metric => (self.0.saturating_add(50) / 100, "m"),
            Units::Imperial => {
                let t = (u128::from(self.0) * 100 + 4572) / 9144;
                (u64::try_from(t).unwrap_or(u64::MAX), "yd")
            }
        };
        let text = rounded(tenths, 1, 1);
        format!("{} {unit}", text.strip_suffix(".0").unwrap_or(&text))
    }
}

impl FromStr for Length {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, true, (Self::MOST.0, "1000 km")).map(Length)
    }
}

/// Canonical and exact: reads back as the same length.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            0 => write!(f, "0 m"),
            mm if mm >= 1000 => write!(f, "{} m", trimmed(mm, 3)),
            mm => write!(f, "{mm} mm"),
        }
    }
}
