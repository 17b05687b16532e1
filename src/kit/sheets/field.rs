//! One cell as the value of a key.

use super::keys::{Key, Kind};
use super::notation::{Odd, amounts, counts, is_id, slug, words};
use super::number::{Reading, Unclear, plain};
use super::yaml::Yaml;
use crate::cells::{Cell, Content};
use crate::code::FaultCode;
use crate::diagnostic::shorten;
use crate::diagnostic::{Diagnostic, one_of, quoted};
use crate::load::Way;
use crate::quantity::{Bulk, Mass, Percent, QuantityError};
use std::collections::BTreeMap;
use std::fmt::Display;
use std::str::FromStr;

/// How cells of a column are read.
#[derive(Debug, Clone, Copy)]
pub(super) struct As<'a> {
    pub key: &'static Key,
    pub unit: Option<&'static str>,
    pub header: &'a str,
    pub reading: Reading,
    /// Ids of items by their names, folded.
    pub names: &'a BTreeMap<String, String>,
}

type Read = Result<Yaml, Box<Diagnostic>>;

/// # Errors
/// The fault of the cell.
pub(super) fn value(cell: &Cell, to: &As<'_>) -> Read {
    match &cell.content {
        Content::Error(error) => {
            let what = format!("the cell holds the error {}", quoted(error));
            return fault(FaultCode::WrongCell, what, cell, to)
                .help_with("mend the formula, or write the value");
        }
        Content::Date(date) if !matches!(to.key.kind, Kind::Name) => {
            let what = format!("the cell holds the date {date}");
            return fault(FaultCode::WrongCell, what, cell, to).help_with(
                "some programs make a date of what looks like one, as of `4.5`: write it again in a \
                 cell that is formatted as text",
            );
        }
        Content::Flag(_) if !matches!(to.key.kind, Kind::Flag | Kind::Name) => {
            let what = "the cell holds yes or no, true or false".to_string();
            return fault(FaultCode::WrongCell, what, cell, to)
                .help_with("write the value as text");
        }
        _ => {}
    }
    if let Some(merged) = cell.merged
        && numeric(to.key.kind)
        && merged.last > merged.first
    {
        let what = format!("one cell is merged over the rows {} to {}", merged.first, merged.last);
        return fault(FaultCode::Merged, what, cell, to).help_with(
            "whether each of them has so much, or all together, it does not say: unmerge it and \
             write what each has",
        );
    }
    match to.key.kind {
        Kind::Id => Ok(Yaml::Text(cell.text())),
        Kind::Name => Ok(Yaml::Text(one_line(&cell.text()))),
        Kind::Mass => mass(cell, to),
        Kind::Bulk => quantity::<Bulk>(cell, to).map(|(_, b)| Yaml::Text(b.to_string())),
        Kind::Size => size(cell, to),
        Kind::Count => count(cell, to),
        Kind::Word => Ok(Yaml::Text(word(&cell.text()))),
        Kind::Words if to.key.name == "carry" => ways(cell, to),
        Kind::Words => Ok(Yaml::List(words(&cell.text()).iter().map(|w| word(w)).collect())),
        Kind::Percents => percents(cell, to),
        Kind::MassOrShare => mass_or_share(cell, to),
        Kind::Amounts => match amounts(&cell.text(), to.reading) {
            Ok(pairs) => Ok(Yaml::Map(pairs)),
            Err(Odd::Number(unclear)) => Err(unclear_number(&unclear, cell, to)),
            Err(Odd::NoAmount(entry)) => {
                let what = format!("{} says no amount", quoted(&entry));
                fault(FaultCode::BadQuantity, what, cell, to)
                    .help_with("write what and how much, as in `power 390 Wh; line 20 m`")
            }
        },
        Kind::Counts | Kind::Required => {
            let pairs = counts(&cell.text()).into_iter();
            Ok(Yaml::Map(pairs.map(|(what, n)| (item(&what, to), n)).collect()))
        }
        Kind::Slots => {
            let pairs = counts(&cell.text()).into_iter();
            Ok(Yaml::Map(pairs.map(|(way, n)| (way.to_lowercase(), n)).collect()))
        }
        Kind::Flag => flag(cell, to),
        Kind::Riding => Ok(Yaml::Text(cell.text().to_lowercase())),
    }
}

/// Whether a merged cell of this kind may be meant as a sum.
fn numeric(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Mass
            | Kind::Bulk
            | Kind::Size
            | Kind::Count
            | Kind::MassOrShare
            | Kind::Id
            | Kind::Name
    )
}

/// A fault in the making: the cell, and what it was to become.
struct Fault(Diagnostic);

impl Fault {
    fn help_with(self, help: impl AsRef<str>) -> Read {
        Err(Box::new(self.0.help(help)))
    }
}

fn fault(code: FaultCode, what: impl AsRef<str>, cell: &Cell, to: &As<'_>) -> Fault {
    let place = format!("to be `{}`, by its column {}", to.key.name, quoted(to.header));
    Fault(Diagnostic::error(code, what).at(cell.span, place))
}

fn unclear_number(unclear: &Unclear, cell: &Cell, to: &As<'_>) -> Box<Diagnostic> {
    let d = match unclear {
        Unclear::TwoWays { text, decimal, whole } => {
            let what = format!("{} can be {decimal} or {whole}", quoted(text));
            fault(FaultCode::Ambiguous, what, cell, to)
                .0
                .help("say which for the whole file: `--decimal comma` or `--decimal point`")
        }
        Unclear::Neither { text } => fault(
            FaultCode::BadQuantity,
            format!("{} is not a number", quoted(text)),
            cell,
            to,
        )
        .0
        .help("write digits and at most one decimal sign, thousands apart by threes or not at all"),
    };
    Box::new(d)
}

fn bad(e: &QuantityError, cell: &Cell, to: &As<'_>) -> Box<Diagnostic> {
    let help = match e {
        QuantityError::NoUnit { number, .. } => {
            let unit = if to.key.kind == Kind::Bulk { "L" } else { "kg" };
            format!(
                "write the unit in the cell, as in `{number} {unit}`, or in the header, as in `{0} \
                 ({unit})`, or say it by `--map \"{0}={1}:{unit}\"`",
                shorten(to.header),
                to.key.name
            )
        }
        e => e.help(),
    };
    Box::new(fault(FaultCode::BadQuantity, e.to_string(), cell, to).0.help(help))
}

/// The text of a quantity with a unit, that of the header if it has none of its
/// own, and what it comes to.
fn quantity<T>(cell: &Cell, to: &As<'_>) -> Result<(String, T), Box<Diagnostic>>
where
    T: FromStr<Err = QuantityError>,
{
    let text = match cell.content {
        Content::Text(_) => {
            plain(&cell.text(), to.reading).map_err(|u| unclear_number(&u, cell, to))?
        }
        _ => cell.text(),
    };
    let text = units_as_read(&text);
    let read = match (text.parse::<T>(), to.unit) {
        (Err(QuantityError::NoUnit { .. }), Some(unit)) => {
            let text = format!("{text} {unit}");
            text.parse::<T>().map(|v| (text, v))
        }
        (read, _) => read.map(|v| (text, v)),
    };
    read.map_err(|e| bad(&e, cell, to))
}

/// Units as the files have them: `4 KG`, `3 litres`, `9 pounds`.
fn units_as_read(text: &str) -> String {
    let words = text.split(' ').filter(|w| !w.is_empty());
    let words = words.map(|w| match super::spelling::unit(w) {
        Some(unit) if !w.starts_with(|c: char| c.is_ascii_digit()) => unit.to_string(),
        _ => {
            // `4kg`, `4KG`
            let cut = w.rfind(|c: char| c.is_ascii_digit()).map_or(0, |i| i + 1);
            match super::spelling::unit(&w[cut..]) {
                Some(unit) if cut > 0 && cut < w.len() => format!("{}{unit}", &w[..cut]),
                _ => w.to_string(),
            }
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

fn mass(cell: &Cell, to: &As<'_>) -> Read {
    let (text, mass) = quantity::<Mass>(cell, to)?;
    Ok(Yaml::Text(shown(&text, mass)))
}

/// Pounds stay pounds where few decimals say the same; all else is canonical.
fn shown(text: &str, mass: Mass) -> String {
    let Some(number) = text.strip_suffix("lb").map(str::trim) else {
        let ounces = text.contains("oz") && text.len() <= 12;
        return if ounces { text.to_string() } else { mass.to_string() };
    };
    let short = |decimals: usize| {
        let number: f64 = number.parse().ok()?;
        let text = format!("{number:.decimals$} lb");
        (text.parse() == Ok(mass)).then_some(text)
    };
    let found = (0..=4).find_map(short);
    found.unwrap_or_else(|| mass.to_string())
}

fn mass_or_share(cell: &Cell, to: &As<'_>) -> Read {
    if let (Content::Number(n), Some("%"), false) = (&cell.content, to.unit, cell.percent)
        && *n <= 1.0
    {
        let what = format!("{} can be {} or {} %", cell.text(), Part(*n), cell.text());
        return fault(FaultCode::Ambiguous, what, cell, to).help_with(
            "write it as text with its sign, as in `30 %`, or format the cell as percent",
        );
    }
    let text = plain(&cell.text(), to.reading).map_err(|u| unclear_number(&u, cell, to))?;
    let share = text.ends_with('%') || to.unit == Some("%") && text.parse::<Mass>().is_err();
    if !share {
        return mass(cell, to);
    }
    let text = if text.ends_with('%') { text } else { format!("{text} %") };
    let percent: Percent = text.parse().map_err(|e| bad(&e, cell, to))?;
    Ok(Yaml::Text(percent.to_string()))
}

/// A fraction as a percentage, for messages.
struct Part(f64);

impl Display for Part {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} %", crate::cells::decimal(self.0 * 100.0))
    }
}

fn size(cell: &Cell, to: &As<'_>) -> Read {
    let text = plain(&cell.text(), to.reading).map_err(|u| unclear_number(&u, cell, to))?;
    let text = units_as_read(&text.replace(['X', '×', '*'], "x"));
    let has_unit = text.trim_end().ends_with(char::is_alphabetic);
    let text = match to.unit {
        Some(unit) if !has_unit => format!("{text} {unit}"),
        _ => text,
    };
    Bulk::from_size(&text).map_err(|e| bad(&e, cell, to))?;
    Ok(Yaml::Text(text))
}

fn count(cell: &Cell, to: &As<'_>) -> Read {
    let text = match cell.content {
        Content::Text(_) => {
            plain(&cell.text(), to.reading).map_err(|u| unclear_number(&u, cell, to))?
        }
        _ => cell.text(),
    };
    // `3.0` is a whole number to those who wrote it.
    let whole = match text.split_once('.') {
        Some((whole, part)) if part.bytes().all(|b| b == b'0') => whole,
        _ => text.as_str(),
    };
    if !whole.is_empty() && whole.bytes().all(|b| b.is_ascii_digit()) && whole.len() < 10 {
        return Ok(Yaml::Plain(whole.trim_start_matches('0').to_string()).or_zero());
    }
    let what = format!("`{}` has to be a whole number, not {}", to.key.name, quoted(&cell.text()));
    fault(FaultCode::BadCount, what, cell, to).help_with("write digits alone, as in `3`")
}

impl Yaml {
    fn or_zero(self) -> Yaml {
        match self {
            Yaml::Plain(text) if text.is_empty() => Yaml::Plain("0".into()),
            other => other,
        }
    }
}

fn percents(cell: &Cell, to: &As<'_>) -> Read {
    let text = plain(&cell.text(), to.reading).map_err(|u| unclear_number(&u, cell, to))?;
    let one = |w: &String| {
        let text = if w.ends_with('%') { w.clone() } else { format!("{w} %") };
        text.parse::<Percent>().map(|p| p.to_string()).map_err(|e| bad(&e, cell, to))
    };
    words(&text).iter().map(one).collect::<Result<Vec<_>, _>>().map(Yaml::List)
}

fn ways(cell: &Cell, to: &As<'_>) -> Read {
    let mut out = Vec::new();
    for w in words(&cell.text()) {
        let way = w.to_lowercase();
        if !Way::ALL.iter().any(|known| known.word() == way) {
            let all = Way::ALL.map(Way::word);
            let near = crate::nearest(&way, all);
            let near = near.map(|n| format!("did you mean {}?", quoted(n)));
            let d = fault(
                FaultCode::BadWord,
                format!("{} is not a way to carry", quoted(&w)),
                cell,
                to,
            )
            .0;
            let d = d.maybe_help(near).help(format!("allowed here: {}", one_of(all)));
            return Err(Box::new(d));
        }
        out.push(way);
    }
    Ok(Yaml::List(out))
}

fn flag(cell: &Cell, to: &As<'_>) -> Read {
    match cell.text().to_lowercase().as_str() {
        "yes" | "y" | "true" | "x" | "1" | "✓" => Ok(Yaml::Plain("true".into())),
        "no" | "n" | "false" | "0" | "-" => Ok(Yaml::Plain("false".into())),
        other => {
            let what = format!("{} is neither yes nor no", quoted(other));
            fault(FaultCode::BadWord, what, cell, to).help_with("write `yes` or `no`")
        }
    }
}

/// An id as it is; of a name the id of the item that is called so, or one made
/// of it.
fn item(text: &str, to: &As<'_>) -> String {
    if is_id(text) {
        return text.to_string();
    }
    to.names.get(&super::spelling::fold(text)).cloned().unwrap_or_else(|| word(text))
}

/// An id, or one made of what is written; what cannot be made into one stays,
/// for the reader to tell.
fn word(text: &str) -> String {
    let made = if is_id(text) { text.to_string() } else { slug(text) };
    if made.is_empty() { text.to_string() } else { made }
}

/// Every kind of blank as a plain one.
fn one_line(text: &str) -> String {
    let blank = |c: char| if c.is_whitespace() || c.is_control() { ' ' } else { c };
    text.replace("\r\n", " ").chars().map(blank).collect::<String>().trim().to_string()
}
