//! Reading single texts: quantities, whole numbers, ids, names, words.

use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, barred, did_you_mean, one_of, quoted};
use crate::quantity::{Percent, QuantityError, Units};
use crate::tree::At;
use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Far more than any quantity takes.
const MOST_QUANTITY: usize = 100;
const MOST_ID: usize = 64;
const MOST_NAME: usize = 200;

/// The most of one thing that may be held, asked for or packed.
pub(crate) const MOST_COUNT: u32 = 100_000;

pub(super) fn quantity<T>(text: &str, at: At<'_>, sink: &mut Sink) -> Option<T>
where
    T: FromStr<Err = QuantityError>,
{
    quantity_by(text, at, sink, str::parse)
}

pub(super) fn quantity_by<T>(
    text: &str,
    at: At<'_>,
    sink: &mut Sink,
    read: impl Fn(&str) -> Result<T, QuantityError>,
) -> Option<T> {
    if text.len() > MOST_QUANTITY {
        sink.fault(|| {
            let what = format!("{} is too long for a quantity", quoted(text));
            Diagnostic::error(FaultCode::BadQuantity, what).at(at.span(), "not a quantity")
        });
        return None;
    }
    match read(text) {
        Ok(v) => Some(v),
        Err(e) => {
            sink.fault(|| bad_quantity(&e, at));
            None
        }
    }
}

pub(super) fn bad_quantity(e: &QuantityError, at: At<'_>) -> Diagnostic {
    let place = at.key().map_or("not a quantity".into(), |k| format!("given for {}", quoted(k)));
    Diagnostic::error(FaultCode::BadQuantity, e.to_string()).at(at.span(), place).help(e.help())
}

/// An optional quantity of a record.
pub(super) fn maybe<T>(text: Option<&str>, field: &str, at: At<'_>, sink: &mut Sink) -> Option<T>
where
    T: FromStr<Err = QuantityError>,
{
    text.and_then(|t| quantity(t, at.get(field), sink))
}

/// A mass, or a share of something.
pub(super) enum MassOr {
    Mass(crate::quantity::Mass),
    Share(Percent),
}

pub(super) fn mass_or_share(text: &str, at: At<'_>, sink: &mut Sink) -> Option<MassOr> {
    if text.trim_end().ends_with('%') {
        quantity(text, at, sink).map(MassOr::Share)
    } else {
        quantity(text, at, sink).map(MassOr::Mass)
    }
}

pub(super) fn count(
    text: &str,
    at: At<'_>,
    range: RangeInclusive<u32>,
    sink: &mut Sink,
) -> Option<u32> {
    let digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let value = if digits { text.parse().ok() } else { None };
    if let Some(v) = value.filter(|v| range.contains(v)) {
        return Some(v);
    }
    sink.fault(|| {
        let what = match (digits, at.key()) {
            (true, _) => format!("{} is out of range", quoted(text)),
            (false, Some(key)) => {
                format!("{} has to be a whole number, not {}", quoted(key), quoted(text))
            }
            (false, None) => format!("{} is not a whole number", quoted(text)),
        };
        let (least, most) = (range.start(), range.end());
        Diagnostic::error(FaultCode::BadCount, what)
            .at(at.span(), format!("a whole number from {least} to {most} is wanted here"))
    });
    None
}

/// Whether a text may be an id.
fn formed(text: &str) -> bool {
    let first = text.as_bytes().first();
    first.is_some_and(|b| *b != b'-')
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && text.len() <= MOST_ID
}

/// Checks an id that stands as a value (`at.span`) or as a key.
pub(super) fn id(text: &str, span: crate::source::TextSpan, sink: &mut Sink) -> bool {
    if formed(text) {
        return true;
    }
    sink.fault(|| {
        let lower: String = text.trim().to_lowercase().replace([' ', '_', '.'], "-");
        let hint = formed(&lower).then(|| format!("for instance {}", quoted(&lower)));
        Diagnostic::error(FaultCode::BadId, format!("{} cannot be an id", quoted(text)))
            .at(span, "not formed as ids are")
            .help(format!(
                "an id is made of lower-case letters, digits and hyphens, starts with a letter \
                 or a digit and has at most {MOST_ID} of them"
            ))
            .maybe_help(hint)
    });
    false
}

/// A name, or the id if it is not given or faulty.
pub(super) fn name(
    text: Option<&str>,
    id: &str,
    at: At<'_>,
    field: &str,
    sink: &mut Sink,
) -> String {
    let Some(text) = text else { return id.to_string() };
    let text = text.trim();
    let long = text.chars().count() > MOST_NAME;
    if !text.is_empty() && !long && !text.chars().any(barred) {
        return text.to_string();
    }
    sink.fault(|| {
        let what = if long {
            format!("a name has at most {MOST_NAME} characters")
        } else if text.is_empty() {
            "a name is empty".to_string()
        } else {
            format!("{} is not on one line, or holds what cannot be seen", quoted(text))
        };
        Diagnostic::error(FaultCode::BadName, what)
            .at(at.get(field).span(), "this name")
            .help("write the name on one line, without control characters")
    });
    id.to_string()
}

/// Checks the name of whoever has something, which is a key or a cell.
pub(crate) fn holder(text: &str, span: crate::source::TextSpan, sink: &mut Sink) -> bool {
    let fine = !text.is_empty() && text.trim() == text && !text.chars().any(barred);
    if fine && text.chars().count() <= MOST_NAME {
        return true;
    }
    sink.fault(|| {
        Diagnostic::error(FaultCode::BadName, format!("{} cannot be a name", quoted(text)))
            .at(span, "whoever has it")
            .help(format!(
                "write the name on one line, without blanks at its ends; at most {MOST_NAME} characters"
            ))
    });
    false
}

/// One of some fixed words.
pub(super) fn word<T: Copy>(
    text: &str,
    at: At<'_>,
    words: &[(&'static str, T)],
    what: &str,
    sink: &mut Sink,
) -> Option<T> {
    if let Some((_, value)) = words.iter().find(|(w, _)| *w == text) {
        return Some(*value);
    }
    sink.fault(|| {
        let all = words.iter().map(|(w, _)| *w);
        Diagnostic::error(FaultCode::BadWord, format!("{} is not {what}", quoted(text)))
            .at(at.span(), format!("not {what}"))
            .maybe_help(did_you_mean(text, all.clone()))
            .help(format!("allowed here: {}", one_of(all)))
    });
    None
}

pub(crate) fn units(text: Option<&str>, at: At<'_>, sink: &mut Sink) -> Option<Units> {
    let words = [("metric", Units::Metric), ("imperial", Units::Imperial)];
    text.and_then(|t| word(t, at.get("units"), &words, "a system of units", sink))
}

/// Looks an id up; points at the nearest if it is not there.
pub(super) struct Lookup<'a, T> {
    pub by_id: &'a BTreeMap<String, T>,
    pub code: FaultCode,
    /// `item`, `carrier`, `party`.
    pub noun: &'static str,
}

impl<T: Copy> Lookup<'_, T> {
    pub fn find(
        &self,
        id: &str,
        span: crate::source::TextSpan,
        place_of: impl Fn(T) -> Option<crate::source::TextSpan>,
        sink: &mut Sink,
    ) -> Option<T> {
        if let Some(found) = self.by_id.get(id) {
            return Some(*found);
        }
        sink.fault(|| {
            let what = format!("unknown {} {}", self.noun, quoted(id));
            let d = Diagnostic::error(self.code, what)
                .at(span, format!("no {} has this id", self.noun));
            let near = crate::diagnostic::nearest(id, self.by_id.keys().map(String::as_str));
            let Some(near) = near else { return d };
            let d = match self.by_id.get(near).copied().and_then(place_of) {
                Some(place) => d.label(place, "this one?"),
                None => d,
            };
            d.help(format!("did you mean {}?", quoted(near)))
        });
        None
    }
}
