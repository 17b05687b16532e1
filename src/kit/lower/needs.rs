//! Needs and wants.

use super::faults::empty;
use super::items::Items;
use super::parties::Parties;
use super::scalar::{self, MOST_COUNT};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
use crate::load::{Demand, MOST_OPTIONAL_DEMANDS, Need, NeedNode, Want};
use crate::quantity::{Amount, Percent};
use crate::raw::{Element, Entries, ItemRef, RawMove, RawNeed, RawNode, RawWant};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::BTreeMap;

/// The value of all wants together may not pass this.
const MOST_POINTS: u64 = 1_000_000_000_000;
const MOST_VALUE: u32 = 1_000_000;

pub(super) fn needs(
    raw: &RawMove,
    at: At<'_>,
    items: &Items,
    parties: &Parties,
    sink: &mut Sink,
) -> Vec<Need> {
    let mut out = Vec::new();
    let Some(by_party) = &raw.needs else { return out };
    let at = at.get("needs");
    for (party, list) in &by_party.0 {
        let at = at.get(party);
        let found = parties.find(party, at.key_span(), sink);
        if list.is_empty() {
            sink.fault(|| empty(party, at).help("write the party's needs, or leave it out"));
        }
        let mut names: BTreeMap<String, TextSpan> = BTreeMap::new();
        let (mut choices, mut told) = (0, false);
        for (i, RawNeed(raw)) in list.iter().enumerate() {
            let at = at.item(i);
            let text = raw.need.as_ref().map_or("", |n| n.0.as_str());
            let name = scalar::name(Some(text), "need", at, "need", sink);
            let span = at.get("need").span();
            if let Some(first) = names.get(&name) {
                sink.fault(|| {
                    let what = format!("two needs of a party are called {}", quoted(&name));
                    Diagnostic::error(FaultCode::DuplicateId, what)
                        .at(span, "called so again here")
                        .label(*first, "first called so here")
                });
            }
            names.entry(name.clone()).or_insert(span);
            let node = node(raw, at, items, sink);
            let priority = raw
                .priority
                .as_ref()
                .and_then(|text| scalar::count(&text.0, at.get("priority"), 1..=MOST_COUNT, sink));
            choices += node.as_ref().map_or(0, |n| n.optional_demands(true));
            if choices > MOST_OPTIONAL_DEMANDS && !told {
                told = true;
                sink.fault(|| {
                    let what = "too many supply demands of a party hang on a choice";
                    let most = format!("at most {MOST_OPTIONAL_DEMANDS} may stand below `any` or `at-least` in one party");
                    Diagnostic::error(FaultCode::TooManyChoices, what)
                        .at(span, "one too many with this need")
                        .help(most)
                });
            }
            if let (Some(party), Some(node)) = (found, node) {
                out.push(Need { party, name, node, priority, place: at.place() });
            }
        }
    }
    out
}

/// Lowers a node. Nodes nest no deeper than the vetting pass lets lists nest.
fn node(raw: &RawNode, at: At<'_>, items: &Items, sink: &mut Sink) -> Option<NeedNode> {
    let heads = [
        ("item", raw.item.is_some()),
        ("all", raw.all.is_some()),
        ("any", raw.any.is_some()),
        ("at-least", raw.at_least.is_some()),
        ("supply", raw.supply.is_some()),
    ];
    let given: Vec<&str> = heads.iter().filter(|(_, g)| *g).map(|(h, _)| *h).collect();
    let [head] = given[..] else {
        sink.fault(|| no_one_head(&given, raw.of.is_some(), at));
        return None;
    };
    if !together(head, raw, at, sink) {
        return None;
    }
    match head {
        "item" => item_ref(raw.item.as_ref()?, at.get("item"), items, sink),
        "all" => Some(NeedNode::All(list(raw.all.as_ref()?, at.get("all"), items, sink)?)),
        "any" => Some(NeedNode::Any(list(raw.any.as_ref()?, at.get("any"), items, sink)?)),
        "at-least" => {
            let of = raw.of.as_ref()?;
            let most = u32::try_from(of.len()).unwrap_or(u32::MAX);
            let text = raw.at_least.as_ref()?;
            let nodes = list(of, at.get("of"), items, sink);
            let count = if most == 0 {
                None
            } else {
                scalar::count(&text.0, at.get("at-least"), 1..=most, sink)
            };
            Some(NeedNode::AtLeast { count: count?, of: nodes? })
        }
        _ => demand(raw, at, items, sink).map(NeedNode::Supply),
    }
}

fn no_one_head(given: &[&str], of: bool, at: At<'_>) -> Diagnostic {
    let choice = "give exactly one of `item`, `all`, `any`, `at-least` with `of`, and `supply`";
    match given {
        [first, second, ..] => {
            let what = format!("{} and {} are both given", quoted(first), quoted(second));
            Diagnostic::error(FaultCode::Together, what)
                .at(at.get(second).key_span(), "does not go with the other")
                .label(at.get(first).key_span(), "the other")
                .help(choice)
        }
        _ if of => Diagnostic::error(FaultCode::Together, "`of` is given without `at-least`")
            .at(at.get("of").key_span(), "how many of these?")
            .help("write `at-least: 1` beside it, or use `any` or `all`"),
        _ => Diagnostic::error(FaultCode::MissingField, "a need does not say what it needs")
            .at(at.span(), "nothing is asked for here")
            .help(choice),
    }
}

/// Whether the other fields of a node go with its head.
fn together(head: &str, raw: &RawNode, at: At<'_>, sink: &mut Sink) -> bool {
    let mut good = true;
    if head == "at-least" && raw.of.is_none() {
        good = false;
        sink.fault(|| {
            Diagnostic::error(FaultCode::Together, "`at-least` is given without `of`")
                .at(at.get("at-least").key_span(), "of what?")
                .help("list the choices under `of`")
        });
    }
    let mut stray = |field: &str| {
        good = false;
        sink.fault(|| {
            let what = format!("{} does not go with {}", quoted(field), quoted(head));
            Diagnostic::error(FaultCode::Together, what)
                .at(at.get(field).key_span(), "has no meaning here")
                .label(at.get(head).key_span(), "beside this")
        });
    };
    if head != "at-least" && raw.of.is_some() {
        stray("of");
    }
    if head != "supply" {
        for (field, _) in &raw.entries {
            stray(field);
        }
    }
    good
}

fn list(raw: &[Element], at: At<'_>, items: &Items, sink: &mut Sink) -> Option<Vec<NeedNode>> {
    if raw.is_empty() {
        sink.fault(|| empty(at.key().unwrap_or("the list"), at));
        return None;
    }
    let nodes: Vec<Option<NeedNode>> =
        raw.iter().enumerate().map(|(i, e)| element(e, at.item(i), items, sink)).collect();
    nodes.into_iter().collect()
}

fn element(raw: &Element, at: At<'_>, items: &Items, sink: &mut Sink) -> Option<NeedNode> {
    match raw {
        Element::Item => one_item(at, items, sink),
        Element::Node(raw) => {
            let plain = raw.item.is_none()
                && raw.all.is_none()
                && raw.any.is_none()
                && raw.at_least.is_none()
                && raw.of.is_none()
                && raw.supply.is_none();
            if plain {
                let counts = raw.entries.iter().map(|(id, n)| (id.as_str(), n.as_str()));
                counted_items(counts, at, items, sink)
            } else {
                node(raw, at, items, sink)
            }
        }
    }
}

fn one_item(at: At<'_>, items: &Items, sink: &mut Sink) -> Option<NeedNode> {
    let item = items.find(at.text()?, at.span(), sink)?;
    Some(NeedNode::Item { item, count: 1 })
}

fn item_ref(raw: &ItemRef, at: At<'_>, items: &Items, sink: &mut Sink) -> Option<NeedNode> {
    match raw {
        ItemRef::Item => one_item(at, items, sink),
        ItemRef::Counts(Entries(list)) => {
            let counts = list.iter().map(|(id, n)| (id.as_str(), n.0.as_str()));
            counted_items(counts, at, items, sink)
        }
    }
}

/// All of these items, with their counts.
fn counted_items<'a>(
    list: impl Iterator<Item = (&'a str, &'a str)>,
    at: At<'_>,
    items: &Items,
    sink: &mut Sink,
) -> Option<NeedNode> {
    let mut nodes = Vec::new();
    let mut good = true;
    let mut any = false;
    for (id, text) in list {
        any = true;
        let at = at.get(id);
        let item = items.find(id, at.key_span(), sink);
        let count = scalar::count(text, at, 1..=MOST_COUNT, sink);
        match (item, count) {
            (Some(item), Some(count)) => nodes.push(NeedNode::Item { item, count }),
            _ => good = false,
        }
    }
    if !any {
        sink.fault(|| empty(at.key().unwrap_or("the mapping"), at));
    }
    match nodes.len() {
        _ if !good => None,
        0 => None,
        1 => nodes.pop(),
        _ => Some(NeedNode::All(nodes)),
    }
}

fn demand(raw: &RawNode, at: At<'_>, items: &Items, sink: &mut Sink) -> Option<Demand> {
    let id = raw.supply.as_ref()?;
    let supply = items.supplies.supplied(&id.0, at.get("supply").span(), sink);
    let text = |field: &str| raw.entries.iter().find(|(k, _)| k == field).map(|(_, t)| t.as_str());
    let amount = |field: &str, sink: &mut Sink| -> Option<Option<Amount>> {
        let Some(text) = text(field) else { return Some(None) };
        let read: Amount = scalar::quantity(text, at.get(field), sink)?;
        let span = at.get(field).span();
        let good = supply.is_none_or(|ix| items.supplies.agree(ix, read.dimension, span, sink));
        good.then_some(Some(read))
    };
    let fixed = amount("amount", sink);
    let per_person = amount("per-person", sink);
    let time = scalar::maybe(text("for"), "for", at, sink);
    let slack: Option<Percent> = scalar::maybe(text("slack"), "slack", at, sink);
    if !["amount", "per-person", "for"].iter().any(|f| text(f).is_some()) {
        sink.fault(|| {
            let what = format!("the need for {} does not say how much", quoted(&id.0));
            Diagnostic::error(FaultCode::MissingField, what)
                .at(at.get("supply").span(), "how much of it?")
                .help("give at least one of `amount`, `per-person` and `for`")
        });
    }
    let slack = slack.unwrap_or(Percent::ZERO);
    Some(Demand { supply: supply?, amount: fixed?, per_person: per_person?, time, slack })
}

pub(super) fn wants(
    raw: &RawMove,
    at: At<'_>,
    items: &Items,
    parties: &Parties,
    sink: &mut Sink,
) -> Vec<Want> {
    let mut out = Vec::new();
    let Some(by_party) = &raw.wants else { return out };
    let at = at.get("wants");
    let mut points = 0u64;
    for (party, list) in &by_party.0 {
        let at = at.get(party);
        let found = parties.find(party, at.key_span(), sink);
        if list.0.is_empty() {
            sink.fault(|| empty(party, at).help("write the party's wants, or leave it out"));
        }
        for (id, raw) in &list.0 {
            let at = at.get(id);
            let item = items.find(id, at.key_span(), sink);
            let (value, up_to) = match raw {
                RawWant::Value => {
                    let text = at.text().unwrap_or("");
                    (scalar::count(text, at, 1..=MOST_VALUE, sink), Some(1))
                }
                RawWant::Record(r) => (
                    scalar::count(&r.value.0, at.get("value"), 1..=MOST_VALUE, sink),
                    match &r.up_to {
                        Some(t) => scalar::count(&t.0, at.get("up-to"), 1..=MOST_COUNT, sink),
                        None => Some(1),
                    },
                ),
            };
            let (Some(party), Some(item), Some(value), Some(up_to)) = (found, item, value, up_to)
            else {
                continue;
            };
            points = points.saturating_add(u64::from(value) * u64::from(up_to));
            out.push(Want { party, item, value, up_to, place: at.place() });
        }
    }
    if points > MOST_POINTS {
        sink.fault(|| {
            Diagnostic::error(
                FaultCode::TooMuch,
                "the wants together are worth too much to work with",
            )
            .at(at.span(), "the most that can be worked with is 1 000 000 000 000")
        });
    }
    out
}
