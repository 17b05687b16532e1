//! Faults that several parts of the lowering tell alike.

use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, quoted};
use crate::load::Item;
use crate::source::TextSpan;
use crate::tree::At;

pub(super) fn duplicate(
    noun: &str,
    id: &str,
    span: TextSpan,
    first: Option<TextSpan>,
) -> Diagnostic {
    let what = format!("two {noun} ids are {}", quoted(id));
    let d = Diagnostic::error(FaultCode::DuplicateId, what).at(span, "given again here");
    match first {
        Some(first) => d.label(first, "first given here"),
        None => d,
    }
}

pub(super) fn twice(word: &str, span: TextSpan) -> Diagnostic {
    let what = format!("{} is listed twice", quoted(word));
    Diagnostic::error(FaultCode::Twice, what).at(span, "listed before").help("list it once")
}

pub(super) fn empty(what: &str, at: At<'_>) -> Diagnostic {
    Diagnostic::error(FaultCode::EmptyList, format!("{} is empty", quoted(what)))
        .at(at.span(), "nothing is listed here")
}

pub(super) fn no_effect(field: &str, way: &str, at: At<'_>) -> Diagnostic {
    let what = format!("{} has no effect on what is not carried by `{way}`", quoted(field));
    Diagnostic::warning(FaultCode::NoEffect, what)
        .at(at.get(field).key_span(), format!("`carry` has no `{way}`"))
}

/// A circle in words, pointing along it.
pub(super) fn round(
    items: &[Item],
    circle: &[(usize, TextSpan)],
    code: FaultCode,
    verb: &str,
    verbs: &str,
) -> Diagnostic {
    /// More labels than this only hide the text.
    const MOST_LABELS: usize = 6;
    let id = |i: usize| items.get(i).map_or("", |item| item.id.as_str());
    let last = circle.last().copied();
    let Some((closes, span)) = last else { return Diagnostic::error(code, "a circle") };
    if circle.len() == 1 {
        let what = format!("{} {verbs} itself", quoted(id(closes)));
        return Diagnostic::error(code, what).at(span, "this is the item itself");
    }
    let mut names: Vec<String> = vec![quoted(id(closes))];
    names.extend(circle.iter().take(MOST_LABELS).map(|(i, _)| quoted(id(*i))));
    if circle.len() > MOST_LABELS {
        names.push("…".into());
    }
    let what = format!("items {verb} each other in a circle: {}", names.join(" → "));
    let mut d = Diagnostic::error(code, what)
        .at(span, format!("which brings back {}", quoted(id(closes))))
        .help("take one of these entries out");
    let mut from = closes;
    for (to, span) in circle.iter().take(circle.len() - 1).take(MOST_LABELS) {
        d = d.label(*span, format!("{} {verbs} {}", quoted(id(from)), quoted(id(*to))));
        from = *to;
    }
    d
}
