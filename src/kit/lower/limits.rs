//! Guards on totals: what passes here can be added up in 64 bits without
//! another thought.

use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
use crate::load::{Item, MoveParts, NeedNode, Use};
use crate::quantity::{Amount, Span as Time};
use crate::source::TextSpan;
use crate::tree::At;

/// In mg, mL or the base unit of a supply: a million tonnes, to give it a face.
pub(super) const MOST_TOTAL: u128 = 1_000_000_000_000_000;
/// What all that is held may use in the longest time that can be given, and
/// all needs ask for: some hundred times what may be held, for a time is long.
const MOST_RATED: u128 = 100 * MOST_TOTAL;
/// Pieces inside one case, at any depth.
const MOST_PIECES: u64 = 1_000_000_000;
/// Kinds inside all cases, at any depth: what the catalogue has to list.
const MOST_LISTED: u64 = 2_000_000;

/// Whether the contents of every case can be counted out. Call only when no
/// case contains itself.
pub(super) fn contents(items: &[Item], spans: &[TextSpan], sink: &mut Sink) -> bool {
    let n = items.len();
    // Per item: pieces and kinds inside, itself included.
    let mut sums: Vec<Option<(u64, u64)>> = vec![None; n];
    let mut listed = 0u64;
    for start in 0..n {
        let mut stack = vec![(start, 0usize)];
        while let Some((i, next)) = stack.last_mut() {
            let i = *i;
            let inner = items.get(i).map_or(&[][..], |item| &item.contents);
            if sums[i].is_some() {
                stack.pop();
                continue;
            }
            if let Some((to, _)) = inner.get(*next) {
                *next += 1;
                if sums.get(to.0).is_some_and(Option::is_none) {
                    stack.push((to.0, 0));
                }
                continue;
            }
            let mut sum = (1u64, 1u64);
            for (to, count) in inner {
                let (pieces, kinds) = sums.get(to.0).copied().flatten().unwrap_or((1, 1));
                sum.0 = sum.0.saturating_add(pieces.saturating_mul(u64::from(*count)));
                sum.1 = sum.1.saturating_add(kinds);
            }
            listed = listed.saturating_add(sum.1);
            if sum.0 > MOST_PIECES || listed > MOST_LISTED {
                let id = items.get(i).map_or("", |item| item.id.as_str());
                sink.fault(|| {
                    let what = format!("the contents of {} are too many to work with", quoted(id));
                    let d = Diagnostic::error(FaultCode::TooMuch, what);
                    match spans.get(i) {
                        Some(span) => d.at(*span, "cases in cases multiply here"),
                        None => d,
                    }
                });
                return false;
            }
            sums[i] = Some(sum);
            stack.pop();
        }
    }
    true
}

/// Checks the totals of all that is held.
pub(super) fn held(items: &[Item], at: At<'_>, sink: &mut Sink) {
    let mut mass = 0u128;
    let mut bulk = 0u128;
    for item in items {
        let held = u128::from(item.held);
        mass += held * u128::from(item.mass.mg());
        bulk += held * u128::from(item.bulk.ml());
    }
    let mut over = |total: u128, what: &str, most: &str| {
        if total > MOST_TOTAL {
            sink.fault(|| {
                Diagnostic::error(FaultCode::TooMuch, format!("all items together {what}"))
                    .at(at.span(), format!("the most that can be worked with is {most}"))
            });
        }
    };
    over(mass, "are too heavy to work with", "1 000 000 t");
    over(bulk, "are too bulky to work with", "1 000 000 000 m³");
}

/// Checks, supply by supply, what is held and what could be asked for.
pub(super) fn supplies(parts: &MoveParts, spans: &[TextSpan], at: At<'_>, sink: &mut Sink) {
    let catalogue = &parts.catalogue;
    let kinds = catalogue.supplies().count();
    let mut held = vec![0u128; kinds];
    let mut once = vec![0u128; kinds];
    // Rates over the longest time that can be given.
    let longest = Time::MOST;
    let used = |u: &Use| match u {
        Use::Once(a) => u128::from(a.base),
        Use::Over(r) => u128::from(r.over(longest)),
    };
    let mut last: Vec<Option<TextSpan>> = vec![None; kinds];
    for (ix, item) in catalogue.items() {
        let n = u128::from(item.held);
        if n == 0 {
            continue;
        }
        for (inner, count) in catalogue.inside(ix) {
            let pieces = n * u128::from(*count);
            let inner = &catalogue[*inner];
            for (s, amount) in &inner.supplies {
                held[s.0] = held[s.0].saturating_add(pieces.saturating_mul(amount.base.into()));
                last[s.0] = spans.get(ix.0).copied();
            }
            for (s, u) in &inner.uses {
                once[s.0] = once[s.0].saturating_add(pieces.saturating_mul(used(u)));
                last[s.0] = spans.get(ix.0).copied();
            }
        }
    }
    for carrier in &parts.carriers {
        for (s, u) in carrier.person().iter().flat_map(|p| &p.uses) {
            once[s.0] = once[s.0].saturating_add(used(u));
        }
    }
    for need in &parts.needs {
        let party = parts.parties.get(need.party.0);
        let people = party.map_or(0, |p| p.who.len()) as u128;
        let mut open = vec![&need.node];
        while let Some(node) = open.pop() {
            match node {
                NeedNode::Supply(d) => {
                    let amount = |a: Option<Amount>| a.map_or(0, |a| u128::from(a.base));
                    let asked = amount(d.amount) + people * amount(d.per_person);
                    // Slack may be tenfold.
                    once[d.supply.0] = once[d.supply.0].saturating_add(11 * asked);
                }
                NeedNode::All(list) | NeedNode::Any(list) | NeedNode::AtLeast { of: list, .. } => {
                    open.extend(list);
                }
                NeedNode::Item { .. } => {}
            }
        }
    }
    for (s, supply) in catalogue.supplies() {
        if held[s.0] > MOST_TOTAL || once[s.0] > MOST_RATED {
            sink.fault(|| {
                let what = format!("there is too much of {} to work with", quoted(&supply.id));
                Diagnostic::error(FaultCode::TooMuch, what)
                    .at(last[s.0].unwrap_or_else(|| at.span()), "too much together with this")
            });
        }
    }
}
