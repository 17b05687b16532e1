//! What a cell holds, and how each form writes it.

use super::Tone;
use crate::load::Share;
use crate::quantity::{Amount, Bulk, Mass, Units};
use crate::report::words;
use serde_json::{Value as Json, json};

/// The value of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// Not given, or what goes without saying.
    None,
    /// Ours or typed: made inert wherever it is written.
    Text(String),
    Count(u64),
    Mass(Mass),
    Bulk(Bulk),
    Share(Share),
    /// Rounded, with its unit.
    Amount(Amount),
    /// So many base units, of which one unit, named in another column, has so many.
    Number {
        base: u64,
        unit: u64,
    },
    Flag(bool),
    /// `pair, back`
    Words(Vec<String>),
    /// `power 390 Wh; line 20 m`, `headset x2; logbook`
    Entries(Vec<(String, Entry)>),
    /// What is known only to be between two values: `17 to 18`; one where they are
    /// the same.
    Between(Box<[Cell; 2]>),
    /// Remarks: lines under the row on a terminal, in one cell elsewhere.
    Lines(Vec<(Tone, String)>),
    /// A value, in colour.
    Toned(Tone, Box<Cell>),
}

/// What stands behind the id of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    Count(u32),
    /// An amount, a rate, `shared`.
    Word(String),
}

/// What the cells of a column are, beside texts; it decides the unit in the header
/// where cells are numbers, and which side they stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kind {
    #[default]
    Text,
    /// Whole numbers.
    Count,
    /// Kilograms, or pounds in imperial kits.
    Mass,
    /// Grams in CSV, else as masses are.
    Grams,
    /// Litres.
    Bulk,
    /// Percent.
    Share,
    /// Any unit, named in another column.
    Number,
    /// A share as a bar on a terminal.
    Bar,
}

impl Cell {
    pub(crate) fn words<T: ToString>(words: impl IntoIterator<Item = T>) -> Self {
        let words: Vec<String> = words.into_iter().map(|w| w.to_string()).collect();
        if words.is_empty() { Cell::None } else { Cell::Words(words) }
    }

    pub(crate) fn entries(entries: impl IntoIterator<Item = (String, Entry)>) -> Self {
        let entries: Vec<_> = entries.into_iter().collect();
        if entries.is_empty() { Cell::None } else { Cell::Entries(entries) }
    }

    pub(crate) fn between(least: impl Into<Cell>, most: impl Into<Cell>) -> Self {
        Cell::Between(Box::new([least.into(), most.into()]))
    }

    pub(crate) fn toned(tone: Tone, cell: impl Into<Cell>) -> Self {
        Cell::Toned(tone, Box::new(cell.into()))
    }

    /// For people, not yet inert. Where `exact`, in the notation that reads back,
    /// but in imperial kits masses are always in hundredths of a pound.
    pub(crate) fn text(&self, units: Units, exact: bool) -> String {
        match self {
            Cell::None => String::new(),
            Cell::Text(text) => text.clone(),
            Cell::Count(n) => n.to_string(),
            Cell::Mass(mass) if exact && units == Units::Metric => mass.to_string(),
            Cell::Mass(mass) => mass.rounded(units),
            Cell::Bulk(bulk) if exact => bulk.to_string(),
            Cell::Bulk(bulk) => bulk.rounded(),
            Cell::Share(share) => words::share(*share),
            Cell::Amount(amount) => amount.rounded(units),
            Cell::Number { base, unit } => decimal(*base, unit.max(&1).ilog10()),
            Cell::Flag(flag) => if *flag { "yes" } else { "no" }.into(),
            Cell::Words(words) => words.join(", "),
            Cell::Entries(entries) => entries.iter().map(entry).collect::<Vec<_>>().join("; "),
            Cell::Between(ends) => between(&ends.each_ref().map(|end| end.text(units, exact))),
            Cell::Lines(lines) => {
                lines.iter().map(|(_, line)| line.as_str()).collect::<Vec<_>>().join("; ")
            }
            Cell::Toned(_, cell) => cell.text(units, exact),
        }
    }

    /// A number without its unit, as the header of the column says it.
    pub(super) fn number(&self, kind: Kind, units: Units) -> Option<String> {
        match (self, units) {
            (Cell::Mass(mass), _) if kind == Kind::Grams => {
                Some(format!("{}.{:03}", mass.mg() / 1000, mass.mg() % 1000))
            }
            (Cell::Mass(mass), Units::Metric) => Some(decimal(mass.mg(), 6)),
            (Cell::Mass(mass), Units::Imperial) => {
                // Twelve decimals are far below a milligram.
                let lb = mass.mg() as f64 * 100.0 / 45_359_237.0;
                let text = format!("{lb:.12}");
                Some(text.trim_end_matches('0').trim_end_matches('.').into())
            }
            (Cell::Bulk(bulk), _) => Some(decimal(bulk.ml(), 3)),
            (Cell::Share(share), _) => Some(decimal(share.permille_up(), 1)),
            (Cell::Toned(_, cell), _) => cell.number(kind, units),
            _ => None,
        }
    }

    /// The value in base units, for sums.
    pub(crate) fn base(&self) -> u64 {
        match self {
            Cell::Count(n) => *n,
            Cell::Mass(m) => m.mg(),
            Cell::Bulk(b) => b.ml(),
            Cell::Toned(_, cell) => cell.base(),
            _ => 0,
        }
    }

    /// For programs: masses in grams, exact to the milligram, volumes in
    /// millilitres, shares as fractions, rounded up to thousandths.
    pub(super) fn json(&self) -> Json {
        match self {
            Cell::None => Json::Null,
            Cell::Text(text) => json!(text),
            Cell::Count(n) => json!(n),
            Cell::Mass(mass) if mass.mg().is_multiple_of(1000) => json!(mass.mg() / 1000),
            // The nearest double to three decimals prints as those decimals.
            Cell::Mass(mass) => json!(mass.mg() as f64 / 1000.0),
            Cell::Bulk(bulk) => json!(bulk.ml()),
            Cell::Share(share) => json!(share.permille_up() as f64 / 1000.0),
            Cell::Amount(amount) => json!(amount.to_string()),
            Cell::Number { base, unit } => json!(*base as f64 / (*unit).max(1) as f64),
            Cell::Flag(flag) => json!(flag),
            Cell::Words(words) => json!(words),
            Cell::Entries(entries) => {
                let entries = entries.iter().map(|(id, entry)| {
                    let entry = match entry {
                        Entry::Count(n) => json!(n),
                        Entry::Word(word) => json!(word),
                    };
                    (id.clone(), entry)
                });
                Json::Object(entries.collect())
            }
            Cell::Between(ends) => json!({ "least": ends[0].json(), "most": ends[1].json() }),
            Cell::Lines(lines) => json!(lines.iter().map(|(_, l)| l).collect::<Vec<_>>()),
            Cell::Toned(_, cell) => cell.json(),
        }
    }
}

impl Kind {
    /// Whether cells stand to the right.
    pub(super) fn right(self) -> bool {
        !matches!(self, Kind::Text | Kind::Bar)
    }

    /// The unit for the header where cells are plain numbers.
    pub(crate) fn unit(self, units: Units) -> Option<&'static str> {
        match (self, units) {
            (Kind::Text | Kind::Count | Kind::Number | Kind::Bar, _) => None,
            (Kind::Mass | Kind::Grams, Units::Metric) => Some("kg"),
            (Kind::Mass | Kind::Grams, Units::Imperial) => Some("lb"),
            (Kind::Bulk, _) => Some("L"),
            (Kind::Share, _) => Some("%"),
        }
    }
}

/// `base / 10^places`, exact, without trailing zeros.
fn decimal(base: u64, places: u32) -> String {
    let one = 10u64.pow(places);
    let (whole, part) = (base / one, base % one);
    if part == 0 {
        return whole.to_string();
    }
    let text = format!("{whole}.{part:0width$}", width = places as usize);
    text.trim_end_matches('0').into()
}

fn entry((id, entry): &(String, Entry)) -> String {
    match entry {
        Entry::Count(n) => format!("{id} x{n}"),
        Entry::Word(word) => format!("{id} {word}"),
    }
}

/// `97.39 to 97.66 %`: the unit once.
fn between([least, most]: &[String; 2]) -> String {
    match (least.rsplit_once(' '), most.rsplit_once(' ')) {
        _ if least == most => most.clone(),
        (Some((number, a)), Some((_, b))) if a == b => format!("{number} to {most}"),
        _ => format!("{least} to {most}"),
    }
}

macro_rules! from {
    ($($of:ty => $make:expr;)*) => {
        $(impl From<$of> for Cell {
            fn from(of: $of) -> Cell {
                $make(of)
            }
        })*
    };
}

from! {
    String => Cell::Text;
    &str => |text: &str| Cell::Text(text.into());
    &String => |text: &String| Cell::Text(text.clone());
    u64 => Cell::Count;
    u32 => |n: u32| Cell::Count(n.into());
    usize => |n: usize| Cell::Count(n as u64);
    Mass => Cell::Mass;
    Bulk => Cell::Bulk;
    Share => Cell::Share;
    Amount => Cell::Amount;
    bool => Cell::Flag;
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(of: Option<T>) -> Cell {
        of.map_or(Cell::None, Into::into)
    }
}
