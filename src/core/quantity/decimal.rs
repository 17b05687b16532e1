//! Exact reading of "number unit" text, shared by every quantity.

use std::fmt;

/// Why a quantity could not be read. `Display` gives a lower-case sentence
/// without a full stop; [`QuantityError::help`] says what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing but white space.
    Empty,
    /// A number without a unit.
    NoUnit { number: String, allowed: &'static str },
    /// Not a number where one was expected.
    NotANumber { text: String },
    /// A unit this quantity does not know.
    UnknownUnit { unit: String, allowed: &'static str },
    /// `4,2`: a comma where a point belongs.
    Comma { text: String },
    /// A sign in front: quantities here are never negative.
    Signed { text: String },
    /// More than the tool can carry exactly.
    TooLarge { text: String, most: String },
    /// Box sizes need three sides and one unit.
    BadSize { text: String },
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "no quantity given"),
            Self::NoUnit { number, .. } => write!(f, "`{number}` has no unit"),
            Self::NotANumber { text } => write!(f, "`{text}` is not a number"),
            Self::UnknownUnit { unit, .. } => write!(f, "unknown unit `{unit}`"),
            Self::Comma { text } => write!(f, "`{text}` has a comma"),
            Self::Signed { text } => write!(f, "`{text}` has a sign"),
            Self::TooLarge { text, .. } => write!(f, "`{text}` is too large"),
            Self::BadSize { text } => write!(f, "`{text}` is not the size of a box"),
        }
    }
}

impl std::error::Error for QuantityError {}

impl QuantityError {
    /// What to write instead: one short sentence, lower case, no full stop.
    pub fn help(&self) -> String {
        match self {
            Self::Empty => "write a number and a unit, as in `4.2 kg`".into(),
            Self::NoUnit { number, allowed } => match allowed.split_once(", ") {
                Some((first, _)) => {
                    format!("add a unit, as in `{number} {first}`; allowed here: {allowed}")
                }
                None => format!("add the unit: `{number} {allowed}`"),
            },
            Self::NotANumber { .. } => "write digits and at most one point, then the unit".into(),
            Self::UnknownUnit { allowed, .. } => format!("allowed here: {allowed}"),
            Self::Comma { text } => match text.split_once(',') {
                // `1,000` may mean a thousand: guess only where a guess is sure.
                Some((_, frac)) if frac.len() != 3 && !frac.contains(',') => {
                    format!("use a point: `{}`", text.replace(',', "."))
                }
                _ => "use a point for decimals and nothing between thousands".into(),
            },
            Self::Signed { .. } => "leave the sign out; quantities are zero or more".into(),
            Self::TooLarge { most, .. } => format!("the most that can be given is {most}"),
            Self::BadSize { .. } => "write three sides and a unit, as in `42 x 31 x 17 cm`".into(),
        }
    }
}

/// Nano-units of the base, so that every accepted unit is a whole number.
pub(super) const NANO: u128 = 1_000_000_000;

/// A unit: its spellings and its size in nano-units of the base unit.
pub(super) struct Unit {
    pub names: &'static [&'static str],
    pub nano: u128,
}

/// An unsigned decimal number: `digits / 10^places`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Decimal {
    pub digits: u128,
    pub places: u32,
}

/// The most digits a number may have, so that products stay inside `u128`.
const MOST_DIGITS: usize = 18;

impl Decimal {
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let whole = || text.to_string();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        if text.starts_with(['+', '-', '\u{2212}']) {
            return Err(QuantityError::Signed { text: whole() });
        }
        if text.contains(',') {
            return Err(QuantityError::Comma { text: whole() });
        }
        let (int, frac) = text.split_once('.').unwrap_or((text, ""));
        let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if int.is_empty()
            || !all_digits(int)
            || !all_digits(frac)
            || (frac.is_empty() && text.contains('.'))
        {
            return Err(QuantityError::NotANumber { text: whole() });
        }
        let int = int.trim_start_matches('0');
        let frac = frac.trim_end_matches('0');
        if int.len() + frac.len() > MOST_DIGITS {
            return Err(QuantityError::TooLarge {
                text: whole(),
                most: format!("{MOST_DIGITS} digits"),
            });
        }
        let digits = format!("{int}{frac}");
        Ok(Self { digits: digits.parse().unwrap_or(0), places: frac.len() as u32 })
    }

    /// `self * nano`, as a fraction over `10^places`.
    fn times(self, nano: u128) -> Option<u128> {
        self.digits.checked_mul(nano)
    }
}

/// Reads one or more `number unit` terms and adds them up exactly, then rounds
/// once, half up, to whole base units. A unit may touch its number. With
/// `compound`, several terms may follow each other (`9 lb 4 oz`, `1 h 30 min`).
pub(super) fn parse_terms(
    text: &str,
    units: &[Unit],
    allowed: &'static str,
    compound: bool,
    most: (u64, &str),
) -> Result<u64, QuantityError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    let too_large = || QuantityError::TooLarge { text: text.to_string(), most: most.1.to_string() };
    let mut rest = text;
    let mut terms: Vec<(Decimal, u128)> = Vec::new();
    while !rest.is_empty() {
        if !terms.is_empty() && !compound {
            return Err(QuantityError::UnknownUnit { unit: text.to_string(), allowed });
        }
        let end = rest
            .find(|c: char| c.is_alphabetic() || c == '%' || c.is_whitespace())
            .unwrap_or(rest.len());
        let number = &rest[..end];
        if end == 0 {
            return Err(QuantityError::NotANumber { text: rest.to_string() });
        }
        let value = Decimal::parse(number).map_err(|e| match e {
            // With what touches it: `.nan` and not `.` is what was written.
            QuantityError::NotANumber { .. } => {
                let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
                QuantityError::NotANumber { text: rest[..end].to_string() }
            }
            e => e,
        })?;
        rest = rest[end..].trim_start();
        let end = rest
            .find(|c: char| !(c.is_alphabetic() || c == '%' || c == '/' || c == '³'))
            .unwrap_or(rest.len());
        let unit = &rest[..end];
        if unit.is_empty() {
            return Err(QuantityError::NoUnit { number: number.to_string(), allowed });
        }
        let nano = units
            .iter()
            .find(|u| u.names.contains(&unit))
            .map(|u| u.nano)
            .ok_or_else(|| QuantityError::UnknownUnit { unit: unit.to_string(), allowed })?;
        terms.push((value, nano));
        rest = rest[end..].trim_start();
    }
    // One common denominator, so that the sum is rounded once and not by term.
    let places = terms.iter().map(|(d, _)| d.places).max().unwrap_or(0);
    let mut sum: u128 = 0;
    for (value, nano) in terms {
        let lift = 10u128.pow(places - value.places);
        let term = value.times(nano).and_then(|t| t.checked_mul(lift)).ok_or_else(too_large)?;
        sum = sum.checked_add(term).ok_or_else(too_large)?;
    }
    let one = NANO.checked_mul(10u128.pow(places)).ok_or_else(too_large)?;
    let rounded = (sum + one / 2) / one;
    match u64::try_from(rounded) {
        Ok(v) if v <= most.0 => Ok(v),
        _ => Err(too_large()),
    }
}

/// `value / 10^places` without trailing zeros: `9600000, 6` → `9.6`.
pub(super) fn trimmed(value: u64, places: u32) -> String {
    let one = 10u64.pow(places);
    let (int, frac) = (value / one, value % one);
    if frac == 0 {
        return int.to_string();
    }
    let frac = format!("{frac:0width$}", width = places as usize);
    format!("{int}.{}", frac.trim_end_matches('0'))
}

/// `value / 10^places`, rounded half up to `show` decimals, all of them shown.
pub(super) fn rounded(value: u64, places: u32, show: u32) -> String {
    let drop = 10u128.pow(places - show);
    let v = (u128::from(value) + drop / 2) / drop;
    if show == 0 {
        return v.to_string();
    }
    let one = 10u128.pow(show);
    format!("{}.{:0width$}", v / one, v % one, width = show as usize)
}
