//! The move order as a whole.

use super::carriers::Carriers;
use super::faults::empty;
use super::items::Items;
use super::limits;
use super::parties::parties;
use super::scalar;
use super::{needs, rules};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
use crate::load::{Catalogue, Goal, GoalKind, MoveParts};
use crate::quantity::{Percent, Units};
use crate::raw::{RawGoal, RawMove};
use crate::source::TextSpan;
use crate::tree::At;

/// Checks what can be checked of a move whose items could not be read.
pub(crate) fn parts(raw: &RawMove, at: At<'_>, carriers: Option<&Carriers>, sink: &mut Sink) {
    scalar::name(Some(&raw.r#move.0), "", at, "move", sink);
    goals(raw, at, sink);
    if let Some(carriers) = carriers {
        parties(raw, at, carriers, sink);
    }
}

/// What the move order is made of; it makes one if `sink` took no error meanwhile.
pub(crate) fn order(
    raw: &RawMove,
    at: At<'_>,
    items: Items,
    carriers: Carriers,
    units: Units,
    sink: &mut Sink,
) -> Option<MoveParts> {
    let name = scalar::name(Some(&raw.r#move.0), "", at, "move", sink);
    let parties = parties(raw, at, &carriers, sink);
    let needs = needs::needs(raw, at, &items, &parties, sink);
    let wants = needs::wants(raw, at, &items, &parties, sink);
    let rules = rules::rules(raw, at, &items, &carriers, &parties, sink);
    let goals = goals(raw, at, sink);
    let spans: Vec<TextSpan> = items.spans;
    if items.broken {
        return None;
    }
    let catalogue = Catalogue::new(items.list, items.supplies.list).ok()?;
    let parts = MoveParts {
        name,
        units,
        catalogue,
        carriers: carriers.list,
        parties: parties.list,
        store: parties.store,
        needs,
        wants,
        rules,
        goals,
        ..MoveParts::default()
    };
    limits::supplies(&parts, &spans, at, sink);
    Some(parts)
}

fn goals(raw: &RawMove, at: At<'_>, sink: &mut Sink) -> Vec<Goal> {
    let Some(list) = &raw.goals else { return Goal::usual() };
    let at = at.get("goals");
    if list.is_empty() {
        sink.fault(|| empty("goals", at).help("leave it out for the usual order"));
        return Goal::usual();
    }
    let words = GoalKind::ALL.map(|g| (g.word(), g));
    let mut seen: Vec<(GoalKind, TextSpan)> = Vec::new();
    let mut out = Vec::new();
    for (i, raw) in list.iter().enumerate() {
        let at = at.item(i);
        let (text, span, give, at) = match raw {
            RawGoal::Word => (at.text().unwrap_or(""), at.span(), Some(Percent::ZERO), at),
            RawGoal::Give(entries) => {
                let [(word, give)] = &entries.0[..] else {
                    sink.fault(|| {
                        let what = "an entry of `goals` is one goal, or one goal with a percentage";
                        Diagnostic::error(FaultCode::Together, what)
                            .at(at.span(), "one goal is wanted here")
                            .help("write each goal as an entry of its own, in order")
                    });
                    continue;
                };
                let at = at.get(word);
                let give = scalar::quantity::<Percent>(&give.0, at, sink);
                (word.as_str(), at.key_span(), give, at)
            }
        };
        let Some(kind) = scalar::word(text, at, &words, "a goal", sink) else { continue };
        if let Some((_, first)) = seen.iter().find(|(k, _)| *k == kind) {
            sink.fault(|| {
                Diagnostic::error(
                    FaultCode::GoalTwice,
                    format!("the goal {} is given twice", quoted(text)),
                )
                .at(span, "given again here")
                .label(*first, "first given here")
            });
            continue;
        }
        seen.push((kind, span));
        if let Some(give) = give {
            out.push(Goal { kind, give });
        }
    }
    out
}
