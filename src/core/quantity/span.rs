//! A span of time in whole seconds.

use super::decimal::{NANO, QuantityError, Unit, parse_terms};
use std::fmt;
use std::str::FromStr;

/// A span of time in whole seconds, at most 1000 days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span(u64);

const UNITS: &[Unit] = &[
    Unit { names: &["h"], nano: 3_600 * NANO },
    Unit { names: &["min"], nano: 60 * NANO },
    Unit { names: &["s"], nano: NANO },
    Unit { names: &["d", "day", "days"], nano: 86_400 * NANO },
];

impl Span {
    /// An hour.
    pub const HOUR: Span = Span(3600);
    /// The most that may be written: 1000 days.
    pub const MOST: Span = Span(86_400_000);
    /// The units that may be written, for messages.
    pub const ALLOWED: &'static str = "h, min, s, d";

    /// So many seconds.
    pub const fn from_s(s: u64) -> Self {
        Span(s)
    }
    /// In seconds.
    pub const fn s(self) -> u64 {
        self.0
    }
}

impl FromStr for Span {
    type Err = QuantityError;
    fn from_str(s: &str) -> Result<Self, QuantityError> {
        parse_terms(s, UNITS, Self::ALLOWED, true, (Self::MOST.0, "1000 d")).map(Span)
    }
}

/// Canonical and exact: `1 h 30 min`; reads back as the same span.
impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (h, min, s) = (self.0 / 3600, self.0 / 60 % 60, self.0 % 60);
        let parts: Vec<String> = [(h, "h"), (min, "min"), (s, "s")]
            .iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, unit)| format!("{n} {unit}"))
            .collect();
        if parts.is_empty() { write!(f, "0 h") } else { write!(f, "{}", parts.join(" ")) }
    }
}
