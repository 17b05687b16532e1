//! Amounts of a supply, and the rates at which they are used.

use super::decimal::{QuantityError, trimmed};
use super::{Bulk, Energy, Length, Mass, Span, Units};
use std::fmt;
use std::str::FromStr;

/// What kind of thing an amount measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// In mm.
    Length,
    /// In mWh.
    Energy,
    /// In mL.
    Bulk,
    /// In mg.
    Mass,
    /// A plain number: rations, doses, charges.
    Count,
}

impl Dimension {
    /// As people say it, for messages.
    pub fn word(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Energy => "an energy",
            Dimension::Bulk => "a volume",
            Dimension::Mass => "a mass",
            Dimension::Count => "a number",
        }
    }
}

/// An amount of a supply: a dimension and a whole number of its base unit
/// (mm, mWh, mL, mg or pieces).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Amount {
    /// What is measured.
    pub dimension: Dimension,
    /// How many base units of it.
    pub base: u64,
}

const ALLOWED: &str = "m, km, yd, ft, Wh, kWh, L, mL, kg, g, lb, oz, or a plain number";

impl Amount {
    /// The most pieces that may be written.
    pub const MOST_COUNT: u64 = 1_000_000_000;

    /// So many base units.
    pub fn new(dimension: Dimension, base: u64) -> Self {
        Amount { dimension, base }
    }
    /// For tables, in the units the kit asks for.
    pub fn rounded(self, units: Units) -> String {
        match self.dimension {
            Dimension::Length => Length::from_mm(self.base).rounded(units),
            Dimension::Energy => Energy::from_mwh(self.base).rounded(),
            Dimension::Bulk => Bulk::from_ml(self.base).rounded(),
            Dimension::Mass => Mass::from_mg(self.base).rounded(units),
            Dimension::Count => self.base.to_string(),
        }
    }
}

impl FromStr for Amount {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        let text = s.trim();
        if !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()) {
            return match text.parse::<u64>() {
                Ok(n) if n <= Self::MOST_COUNT => Ok(Amount::new(Dimension::Count, n)),
                _ => Err(QuantityError::TooLarge {
                    text: text.to_string(),
                    most: Self::MOST_COUNT.to_string(),
                }),
            };
        }
        // The units of the four kinds are disjoint, so the first that reads wins;
        // a fault that is not about the unit is the user's and is reported as such.
        let tries = [
            text.parse::<Length>().map(|v| Amount::new(Dimension::Length, v.mm())),
            text.parse::<Energy>().map(|v| Amount::new(Dimension::Energy, v.mwh())),
            text.parse::<Bulk>().map(|v| Amount::new(Dimension::Bulk, v.ml())),
            text.parse::<Mass>().map(|v| Amount::new(Dimension::Mass, v.mg())),
        ];
        let mut fault = None;
        for t in tries {
            match t {
                Ok(a) => return Ok(a),
                Err(QuantityError::UnknownUnit { unit, .. }) => {
                    fault.get_or_insert(QuantityError::UnknownUnit { unit, allowed: ALLOWED });
                }
                Err(QuantityError::NoUnit { number, .. }) => {
                    return Err(QuantityError::NoUnit { number, allowed: ALLOWED });
                }
                Err(e) => return Err(e),
            }
        }
        Err(fault.unwrap_or(QuantityError::Empty))
    }
}

/// Canonical and exact: reads back as the same amount.
impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.dimension {
            Dimension::Length => Length::from_mm(self.base).fmt(f),
            Dimension::Energy => Energy::from_mwh(self.base).fmt(f),
            Dimension::Bulk => Bulk::from_ml(self.base).fmt(f),
            Dimension::Mass => Mass::from_mg(self.base).fmt(f),
            Dimension::Count => write!(f, "{}", self.base),
        }
    }
}

/// An amount in a span of time: `14 W` is 14 Wh in an hour, `2 L/d` is 2 L in
/// a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rate {
    /// How much is used.
    pub amount: Amount,
    /// In what time; not zero where it was read.
    pub per: Span,
}

impl Rate {
    /// What is used in `time`, exactly: the numerator over `self.per` seconds.
    pub fn numerator(self, time: Span) -> u128 {
        u128::from(self.amount.base) * u128::from(time.s())
    }
    /// What is used in `time`, in base units, rounded up: by one alone. What
    /// several use is added up first, see [`ExactSum`](super::ExactSum).
    pub fn over(self, time: Span) -> u64 {
        let v = self.numerator(time).div_ceil(u128::from(self.per.s().max(1)));
        u64::try_from(v).unwrap_or(u64::MAX)
    }
}

impl FromStr for Rate {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        const RATES: &str = "W, mW, kW, or an amount per time as in `0.5 L/h` or `2 L/d`";
        let text = s.trim();
        if let Some((amount, time)) = text.rsplit_once('/') {
            let time = time.trim();
            let per: Span = if time.starts_with(|c: char| c.is_ascii_digit()) {
                time.parse()?
            } else {
                format!("1 {time}").parse().map_err(|_| QuantityError::UnknownUnit {
                    unit: text.to_string(),
                    allowed: RATES,
                })?
            };
            if per.s() == 0 {
                return Err(QuantityError::NotANumber { text: text.to_string() });
            }
            return Ok(Rate { amount: amount.parse()?, per });
        }
        // Watts are watt-hours by the hour: read them by the same exact reader.
        if let Some(head) = text.strip_suffix('W') {
            let energy: Energy = format!("{head}Wh").parse()?;
            return Ok(Rate {
                amount: Amount::new(Dimension::Energy, energy.mwh()),
                per: Span::HOUR,
            });
        }
        Err(match text.parse::<Amount>() {
            Ok(Amount { dimension: Dimension::Count, .. }) | Err(QuantityError::NoUnit { .. }) => {
                QuantityError::NoUnit { number: text.to_string(), allowed: RATES }
            }
            Ok(_) | Err(QuantityError::UnknownUnit { .. }) => {
                QuantityError::UnknownUnit { unit: text.to_string(), allowed: RATES }
            }
            Err(e) => e,
        })
    }
}

/// Canonical and exact: reads back as the same rate.
impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.amount.dimension == Dimension::Energy && self.per == Span::HOUR {
            return write!(f, "{} W", trimmed(self.amount.base, 3));
        }
        match self.per.s() {
            3600 => write!(f, "{}/h", self.amount),
            86_400 => write!(f, "{}/d", self.amount),
            60 => write!(f, "{}/min", self.amount),
            s if s % 3600 == 0 => write!(f, "{}/{} h", self.amount, s / 3600),
            s => write!(f, "{}/{} s", self.amount, s),
        }
    }
}
