//! Bulk (volume) in whole millilitres.

use super::decimal::{Decimal, NANO, QuantityError, Unit, parse_terms, rounded, trimmed};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul};
use std::str::FromStr;

/// A volume in whole millilitres, at most 100 m³ for one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Bulk(u64);

const UNITS: &[Unit] = &[
    Unit { names: &["L", "l"], nano: 1_000 * NANO },
    Unit { names: &["mL", "ml"], nano: NANO },
    Unit { names: &["cL", "cl"], nano: 10 * NANO },
    Unit { names: &["dL", "dl"], nano: 100 * NANO },
];

/// Side units in micrometres, so that an inch is whole.
const SIDES: &[(&str, u128)] = &[("mm", 1_000), ("cm", 10_000), ("m", 1_000_000), ("in", 25_400)];

impl Bulk {
    /// Nothing.
    pub const ZERO: Bulk = Bulk(0);
    /// The most one thing may take up: 100 m³.
    pub const MOST: Bulk = Bulk(100_000_000);
    /// The units that may be written, for messages.
    pub const ALLOWED: &'static str = "L, mL, cL, dL";

    /// So many millilitres.
    pub const fn from_ml(ml: u64) -> Self {
        Bulk(ml)
    }
    /// In millilitres.
    pub const fn ml(self) -> u64 {
        self.0
    }
    /// Less the other; never below nothing.
    pub fn saturating_sub(self, o: Bulk) -> Bulk {
        Bulk(self.0.saturating_sub(o.0))
    }
    /// The outer volume of a box, `42 x 31 x 17 cm`, rounded half up to a mL.
    /// Sides may be parted by `x`, `×` or `*`; units are mm, cm, m, in.
    pub fn from_size(text: &str) -> Result<Self, QuantityError> {
        let bad = || QuantityError::BadSize { text: text.trim().to_string() };
        let body = text.trim();
        let cut = body.trim_end_matches(char::is_alphabetic).len();
        let (numbers, unit) = body.split_at(cut);
        let (_, um) = SIDES.iter().find(|(n, _)| *n == unit).ok_or_else(bad)?;
        let sides: Vec<&str> = numbers.split(['x', '×', '*']).map(str::trim).collect();
        if sides.len() != 3 {
            return Err(bad());
        }
        let too_large =
            || QuantityError::TooLarge { text: body.to_string(), most: "100 m³".into() };
        let mut digits: u128 = 1;
        let mut places = 0;
        for side in sides {
            let d = Decimal::parse(side)?;
            let side = d.digits.checked_mul(*um).ok_or_else(too_large)?;
            digits = digits.checked_mul(side).ok_or_else(too_large)?;
            places += d.places;
        }
        // Cubic micrometres over 10^places; a millilitre is 10^12 of them.
        let one = 10u128
            .checked_pow(places)
            .and_then(|p| p.checked_mul(1_000_000_000_000))
            .ok_or_else(too_large)?;
        let ml = digits.checked_add(one / 2).ok_or_else(too_large)? / one;
        match u64::try_from(ml) {
            Ok(v) if v <= Self::MOST.0 => Ok(Bulk(v)),
            _ => Err(too_large()),
        }
    }
    /// For tables: litres with one decimal.
    pub fn rounded(self) -> String {
        format!("{} L", rounded(self.0, 3, 1))
    }
}

impl FromStr for Bulk {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, false, (Self::MOST.0, "100 000 L")).map(Bulk)
    }
}

/// Canonical and exact: reads back as the same bulk.
impl fmt::Display for Bulk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 != 0 && self.0 < 1000 {
            write!(f, "{} mL", self.0)
        } else {
            write!(f, "{} L", trimmed(self.0, 3))
        }
    }
}

impl Add for Bulk {
    type Output = Bulk;
    fn add(self, o: Bulk) -> Bulk {
        Bulk(self.0.saturating_add(o.0))
    }
}
impl AddAssign for Bulk {
    fn add_assign(&mut self, o: Bulk) {
        *self = *self + o;
    }
}
impl Mul<u32> for Bulk {
    type Output = Bulk;
    fn mul(self, n: u32) -> Bulk {
        Bulk(self.0.saturating_mul(u64::from(n)))
    }
}
impl Sum for Bulk {
    fn sum<I: Iterator<Item = Bulk>>(iter: I) -> Bulk {
        iter.fold(Bulk::ZERO, Add::add)
    }
}
