//! The numbers and texts that stand for cells.

use crate::quantity::Units;
use crate::report::page::{Cell, Kind};
use tumpline_core::text::clean;

/// The most a cell may hold, in UTF-16 units.
const MOST_TEXT: usize = 32_767;
/// What ends a text that was cut.
const CUT: &str = "… (cut)";

impl Cell {
    /// The number in the unit of its column; none for texts.
    pub(super) fn shown(&self, units: Units) -> Option<f64> {
        match self {
            Cell::Count(n) => Some(*n as f64),
            Cell::Mass(m) => Some(Kind::Mass.shown(m.mg(), units)),
            Cell::Bulk(b) => Some(Kind::Bulk.shown(b.ml(), units)),
            // Rounded up to tenths of a percent, so that none looks less full.
            Cell::Share(s) => Some(s.permille_up() as f64 / 1000.0),
            Cell::Number { base, unit } => Some(*base as f64 / (*unit).max(1) as f64),
            Cell::Toned(_, cell) => cell.shown(units),
            _ => None,
        }
    }
}

impl Kind {
    /// Base units as a number of the column's unit. Both sides of the division
    /// are whole and below 2^53, so the result is the nearest number there is
    /// to the exact decimal, and is shown as that decimal.
    pub(super) fn shown(self, base: u64, units: Units) -> f64 {
        match (self, units) {
            (Kind::Mass | Kind::Grams, Units::Metric) => base as f64 / 1e6,
            // 1 lb = 0.453 592 37 kg exactly (1959 agreement).
            (Kind::Mass | Kind::Grams, Units::Imperial) => base as f64 * 100.0 / 45_359_237.0,
            (Kind::Bulk, _) => base as f64 / 1e3,
            _ => base as f64,
        }
    }

    /// The format of the numbers in the column.
    pub(super) fn format(self, units: Units) -> &'static str {
        match self {
            Kind::Text => "@",
            Kind::Count => "0",
            // A whole number of milligrams has no short decimal in pounds.
            Kind::Mass | Kind::Grams if units == Units::Imperial => "0.00",
            Kind::Mass | Kind::Grams => "0.00####",
            Kind::Bulk => "0.0##",
            Kind::Share | Kind::Bar => "0.0%",
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
