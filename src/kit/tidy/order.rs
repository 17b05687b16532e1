//! The order of keys and the spelling of values. Both come from the shapes of
//! the raw records: the order of their fields is the order of the keys.

use super::syntax::{Entry, Many, Scalar, Value};
use crate::quantity::{Amount, Bulk, Mass, Percent, Rate, Span};
use crate::raw::BulkText;
use crate::raw::{
    AmountText, Count, MassOrShare, MassText, PercentText, RawWant, RequiredText, SizeText,
    SpanText, UseText,
};
use crate::shape::{Field, Map, Record, Shape, Shaped};
use crate::yaml_text::{in_quotes, plain, written};

/// How a kind of text is spelled, and its value, printed.
type Spelling = (fn() -> Shape, fn(&str) -> String, fn(&str) -> Option<String>);

const SPELLINGS: [Spelling; 11] = [
    (MassText::shape, Mass::respelled, value::<Mass>),
    (BulkText::shape, Bulk::respelled, value::<Bulk>),
    (SizeText::shape, Bulk::size_respelled, |t| Bulk::from_size(t).ok().map(|v| v.to_string())),
    (PercentText::shape, Percent::respelled, value::<Percent>),
    (MassOrShare::shape, mass_or_share, |t| value::<Percent>(t).or_else(|| value::<Mass>(t))),
    (SpanText::shape, Span::respelled, value::<Span>),
    (AmountText::shape, Amount::respelled, value::<Amount>),
    (UseText::shape, used, |t| value::<Rate>(t).or_else(|| value::<Amount>(t))),
    (Count::shape, count, |t| t.parse::<u64>().ok().map(|v| v.to_string())),
    (RequiredText::shape, count, |t| t.parse::<u64>().ok().map(|v| v.to_string())),
    (RawWant::shape, count, |t| t.parse::<u64>().ok().map(|v| v.to_string())),
];

fn value<T: std::str::FromStr + ToString>(text: &str) -> Option<String> {
    text.parse::<T>().ok().map(|v| v.to_string())
}

fn mass_or_share(text: &str) -> String {
    if text.trim_end().ends_with('%') { Percent::respelled(text) } else { Mass::respelled(text) }
}

fn used(text: &str) -> String {
    let rate = text.contains('/') || text.trim_end().ends_with('W');
    if rate { Rate::respelled(text) } else { Amount::respelled(text) }
}

/// A whole number without zeros in front; anything else as it is.
fn count(text: &str) -> String {
    text.parse::<u64>().map_or(text.to_string(), |n| n.to_string())
}

fn spelling(shape: &Shape) -> Option<&'static Spelling> {
    let what = shape.text?;
    SPELLINGS.iter().find(|(of, ..)| of().text == Some(what))
}

/// The value of a text as the reader takes it; the text where it is one.
pub(super) fn canonical(text: &str, shape: &Shape) -> String {
    spelling(shape).and_then(|(.., value)| value(text)).unwrap_or_else(|| text.to_string())
}

/// The record that a mapping is read as, or the shape of each of its values.
pub(super) enum Read<'a> {
    Record(&'a Record),
    Entries(fn() -> Shape),
}

/// What a shape makes of a mapping with these keys.
pub(super) fn read<'a>(shape: &'a Shape, has: impl Fn(&str) -> bool) -> Option<Read<'a>> {
    Some(match shape.map.as_ref()? {
        Map::Record(record) => Read::Record(record),
        Map::Entries(of) => Read::Entries(*of),
        Map::Either(record, heads, of) => match heads.iter().any(|h| has(h)) {
            true => Read::Record(record),
            false => Read::Entries(*of),
        },
    })
}

/// Puts everything in its order and spelling. `text` is the source.
pub(super) fn arrange(many: &mut Many, shape: &Shape, text: &str) {
    if !many.map {
        for entry in &mut many.entries {
            if let Some(of) = shape.list {
                below(entry, &of(), text);
            }
        }
        return;
    }
    for entry in &mut many.entries {
        if let Some(key) = &mut entry.key {
            // A key of several words reads better in its quotes.
            let word = plain(&key.text) && !key.text.contains(' ');
            key.out = spelled(key, text, word);
        }
    }
    let name = |e: &Entry| e.key.as_ref().map_or("", |k| k.text.as_str()).to_string();
    let names: Vec<String> = many.entries.iter().map(name).collect();
    match read(shape, |key| names.iter().any(|n| n == key)) {
        Some(Read::Record(record)) => {
            let fields: Vec<(String, &Field)> =
                record.fields.iter().map(|f| (f.name(), f)).collect();
            let rank = |name: &str| fields.iter().position(|(n, _)| n == name);
            for (entry, name) in many.entries.iter_mut().zip(&names) {
                if let Some((_, field)) = rank(name).and_then(|i| fields.get(i)) {
                    below(entry, &(field.shape)(), text);
                }
            }
            sort(many, |entry| rank(&name(entry)));
        }
        Some(Read::Entries(of)) => {
            many.entries.iter_mut().for_each(|entry| below(entry, &of(), text));
        }
        None => {}
    }
}

fn below(entry: &mut Entry, shape: &Shape, text: &str) {
    match &mut entry.value {
        Value::Many(inner) => arrange(inner, shape, text),
        Value::Scalar(scalar) => {
            scalar.out = match spelling(shape) {
                Some((_, respelled, value)) if value(&scalar.text).is_some() => {
                    respelled(&scalar.text)
                }
                _ => spelled(scalar, text, plain(&scalar.text)),
            };
        }
    }
}

/// As it is written, if that is on one line and no quotes are to be taken off.
fn spelled(scalar: &Scalar, text: &str, bare: bool) -> String {
    let source = text.get(scalar.start..scalar.end).unwrap_or("");
    let line = !source.contains('\n') && !scalar.block;
    match () {
        () if bare => scalar.text.clone(),
        () if line => source.to_string(),
        // Folded of several lines, it is as plain as it was.
        () if !scalar.quotes && !scalar.block && !scalar.text.contains('\n') => scalar.text.clone(),
        () if scalar.block || scalar.quotes => in_quotes(&scalar.text),
        () => written(&scalar.text),
    }
}

/// Sorts by rank. A blank line above what comes first goes to what was first:
/// that begins a group now.
fn sort(many: &mut Many, rank: impl Fn(&Entry) -> Option<usize>) {
    if many.entries.is_sorted_by_key(&rank) {
        return;
    }
    many.moved = true;
    let was = many.entries.first().map(|e| e.start);
    many.entries.sort_by_key(rank);
    let lead = many.entries.first_mut().map(|e| std::mem::take(e.lead()));
    if let Some(entry) = many.entries.iter_mut().find(|e| Some(e.start) == was) {
        let blank = lead.unwrap_or(false);
        *entry.lead() |= blank;
    }
}
