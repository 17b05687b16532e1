//! What a cell holds, and the number that stands for it.

use super::Kind;
use crate::load::Share;
use crate::quantity::{Bulk, Mass, Units};
use tumpline_core::text::clean;

/// The most a cell may hold, in UTF-16 units.
const MOST_TEXT: usize = 32_767;
/// What ends a text that was cut.
const CUT: &str = "… (cut)";

/// The value of a cell.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Cell {
    Empty,
    /// Made inert when it is written.
    Text(String),
    Count(u64),
    Mass(Mass),
    Bulk(Bulk),
    Share(Share),
    /// So many base units, of which one unit has so many.
    Number {
        base: u64,
        unit: u64,
    },
}

impl Cell {
    pub fn text(text: impl Into<String>) -> Self {
        Cell::Text(text.into())
    }

    /// The value in base units, for sums.
    pub(super) fn base(&self) -> u64 {
        match self {
            Cell::Count(n) => *n,
            Cell::Mass(m) => m.mg(),
            Cell::Bulk(b) => b.ml(),
            Cell::Empty | Cell::Text(_) | Cell::Share(_) | Cell::Number { .. } => 0,
        }
    }

    /// The number in the unit of its column; none for texts.
    pub(super) fn number(&self, units: Units) -> Option<f64> {
        match self {
            Cell::Empty | Cell::Text(_) => None,
            Cell::Count(n) => Some(*n as f64),
            Cell::Mass(m) => Some(Kind::Mass.number(m.mg(), units)),
            Cell::Bulk(b) => Some(Kind::Bulk.number(b.ml(), units)),
            // Rounded up to tenths of a percent, so that none looks less full.
            Cell::Share(s) => Some(s.permille_up() as f64 / 1000.0),
            Cell::Number { base, unit } => Some(*base as f64 / (*unit).max(1) as f64),
        }
    }
}

impl Kind {
    /// The unit for the header.
    pub(super) fn unit(self, units: Units) -> Option<&'static str> {
        match (self, units) {
            (Kind::Text | Kind::Count | Kind::Share | Kind::Number, _) => None,
            (Kind::Mass, Units::Metric) => Some("kg"),
            (Kind::Mass, Units::Imperial) => Some("lb"),
            (Kind::Bulk, _) => Some("L"),
        }
    }

    /// Base units as a number of the column's unit. Both sides of the division
    /// are whole and below 2^53, so the result is the nearest number there is
    /// to the exact decimal, and is shown as that decimal.
    pub(super) fn number(self, base: u64, units: Units) -> f64 {
        match (self, units) {
            (Kind::Text | Kind::Count | Kind::Share | Kind::Number, _) => base as f64,
            (Kind::Mass, Units::Metric) => base as f64 / 1e6,
            // 1 lb = 0.453 592 37 kg exactly (1959 agreement).
            (Kind::Mass, Units::Imperial) => base as f64 * 100.0 / 45_359_237.0,
            (Kind::Bulk, _) => base as f64 / 1e3,
        }
    }

    /// The format of the numbers in the column.
    pub(super) fn format(self, units: Units) -> &'static str {
        match self {
            Kind::Text => "@",
            Kind::Count => "0",
            // A whole number of milligrams has no short decimal in pounds.
            Kind::Mass if units == Units::Imperial => "0.00",
            Kind::Mass => "0.00####",
            Kind::Bulk => "0.0##",
            Kind::Share => "0.0%",
            // As many decimals as there are, and no point where there are none.
            Kind::Number => "General",
        }
    }
}

/// Clean text, cut to what a cell holds.
pub(super) fn inert(text: &str) -> String {
    let text = clean(text);
    if text.encode_utf16().count() <= MOST_TEXT {
        return text;
    }
    let room = MOST_TEXT - CUT.encode_utf16().count();
    let mut used = 0;
    let kept = text.chars().take_while(|c| {
        used += c.len_utf16();
        used <= room
    });
    let mut short: String = kept.collect();
    short.push_str(CUT);
    short
}
