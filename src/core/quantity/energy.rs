//! Energy in whole milliwatt-hours.

use super::decimal::{NANO, QuantityError, Unit, parse_terms, rounded, trimmed};
use std::fmt;
use std::str::FromStr;

/// An energy in whole milliwatt-hours, at most 100 MWh.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Energy(u64);

const UNITS: &[Unit] = &[
    Unit { names: &["Wh"], nano: 1_000 * NANO },
    Unit { names: &["kWh"], nano: 1_000_000 * NANO },
    Unit { names: &["mWh"], nano: NANO },
];

impl Energy {
    /// The most that may be written: 100 MWh.
    pub const MOST: Energy = Energy(100_000_000_000);
    /// The units that may be written, for messages.
    pub const ALLOWED: &'static str = "Wh, kWh, mWh";

    /// So many milliwatt-hours.
    pub const fn from_mwh(mwh: u64) -> Self {
        Energy(mwh)
    }
    /// In milliwatt-hours.
    pub const fn mwh(self) -> u64 {
        self.0
    }
    /// For tables: watt-hours with at most one decimal.
    pub fn rounded(self) -> String {
        let text = rounded(self.0, 3, 1);
        format!("{} Wh", text.strip_suffix(".0").unwrap_or(&text))
    }
}

impl FromStr for Energy {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, false, (Self::MOST.0, "100 000 kWh")).map(Energy)
    }
}

/// Canonical and exact: reads back as the same energy.
impl fmt::Display for Energy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 != 0 && self.0 < 1000 {
            write!(f, "{} mWh", self.0)
        } else {
            write!(f, "{} Wh", trimmed(self.0, 3))
        }
    }
}
