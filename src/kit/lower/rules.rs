//! Rules.

use super::carriers::Carriers;
use super::faults::{empty, twice};
use super::items::Items;
use super::parties::{Parties, who};
use super::rule_form::head;
use super::scalar::{self, MOST_COUNT, MassOr};
use crate::code::Code;
use crate::diagnostic::{Diagnostic, Sink, did_you_mean, quoted};
use crate::load::{CarrierIx, ItemIx, PartyIx, Reserve, Rule, RuleKind, Travel};
use crate::raw::{ItemOrTag, ItemsOrOne, OneOrMore, RawMove, RawRule};
use crate::source::Span;
use crate::tree::At;
use std::collections::{BTreeMap, BTreeSet};

/// Items and carriers that all rules together may name, tags spelt out.
const MOST_NAMED: usize = 1_000_000;

/// What rules are read against.
struct Rules<'a> {
    items: &'a Items,
    carriers: &'a Carriers,
    parties: &'a Parties,
    tags: BTreeMap<&'a str, Vec<ItemIx>>,
}

pub(super) fn rules(
    raw: &RawMove,
    at: At<'_>,
    items: &Items,
    carriers: &Carriers,
    parties: &Parties,
    sink: &mut Sink,
) -> Vec<Rule> {
    let mut tags: BTreeMap<&str, Vec<ItemIx>> = BTreeMap::new();
    for (i, item) in items.list.iter().enumerate() {
        for tag in &item.tags {
            tags.entry(tag).or_default().push(ItemIx(i));
        }
    }
    let rules = Rules { items, carriers, parties, tags };
    let mut out = Vec::new();
    let mut named = 0usize;
    for (i, rule) in raw.rules.iter().flatten().enumerate() {
        let at = at.get("rules").item(i);
        let Some(kind) = rules.one(rule, at, sink) else { continue };
        named = named.saturating_add(size(&kind));
        if named > MOST_NAMED {
            sink.fault(|| {
                let what = "the rules together name too many items and carriers to reckon with";
                Diagnostic::error(Code::TooMuch, what)
                    .at(at.span(), format!("{MOST_NAMED} are passed here"))
            });
            break;
        }
        out.push(Rule { kind, place: at.place() });
    }
    out
}

fn size(kind: &RuleKind) -> usize {
    match kind {
        RuleKind::Apart { items } | RuleKind::Together { items } => items.len(),
        RuleKind::AtMost { items, carriers, .. } | RuleKind::KeepOff { items, carriers } => {
            items.len() + carriers.len()
        }
        RuleKind::Fixed { .. } => 2,
        RuleKind::HandsFree { carriers, .. } | RuleKind::Reserve { carriers, .. } => carriers.len(),
    }
}

impl Rules<'_> {
    fn one(&self, raw: &RawRule, at: At<'_>, sink: &mut Sink) -> Option<RuleKind> {
        let head = head(at, sink)?;
        let here = at.get(head);
        match head {
            "apart" => Some(RuleKind::Apart { items: self.two(raw.apart.as_ref()?, here, sink)? }),
            "together" => {
                Some(RuleKind::Together { items: self.two(raw.together.as_ref()?, here, sink)? })
            }
            "at-most" => {
                let count = scalar::count(&raw.at_most.as_ref()?.0, here, 0..=MOST_COUNT, sink);
                let items = self.items_or_one(raw.of.as_ref()?, at.get("of"), sink);
                let carriers = match &raw.r#for {
                    Some(list) => self.named(list, at.get("for"), sink),
                    None => self.all(|c| self.takes_kit(c)),
                };
                Some(RuleKind::AtMost { count: count?, items: items?, carriers })
            }
            "fixed" => self.fixed(raw, at, sink),
            "keep-off" => {
                let items = self.items_or_one(raw.keep_off.as_ref()?, here, sink);
                let carriers = self.named(raw.from.as_ref()?, at.get("from"), sink);
                Some(RuleKind::KeepOff { items: items?, carriers })
            }
            "hands-free" => self.hands_free(raw, at, sink),
            _ => {
                let reserve = scalar::mass_or_share(&raw.reserve.as_ref()?.0, here, sink);
                let carriers = match &raw.r#for {
                    Some(list) => self.bound(list, at.get("for"), false, sink),
                    None => self.all(|c| self.walks(c) && !self.in_store(c)),
                };
                let reserve = match reserve? {
                    MassOr::Mass(m) => Reserve::Mass(m),
                    MassOr::Share(p) => Reserve::Share(p),
                };
                Some(RuleKind::Reserve { reserve, carriers })
            }
        }
    }

    fn fixed(&self, raw: &RawRule, at: At<'_>, sink: &mut Sink) -> Option<RuleKind> {
        let item = self.items.find(&raw.fixed.as_ref()?.0, at.get("fixed").span(), sink);
        let to = at.get("to").span();
        let carrier = self.carriers.find(&raw.to.as_ref()?.0, to, sink);
        let count = match &raw.count {
            Some(t) => scalar::count(&t.0, at.get("count"), 1..=MOST_COUNT, sink),
            None => Some(1),
        };
        if let Some(c) = carrier
            && !self.takes_kit_at_all(c)
        {
            let what = match self.parties.of(c) {
                None => "is in no party",
                Some(_) => "rides, and takes no kit",
            };
            self.wrong(c, to, what, sink);
            return None;
        }
        Some(RuleKind::Fixed { item: item?, count: count?, carrier: carrier? })
    }

    fn hands_free(&self, raw: &RawRule, at: At<'_>, sink: &mut Sink) -> Option<RuleKind> {
        let span = at.get("hands-free").span();
        let text = &raw.hands_free.as_ref()?.0;
        let hands = scalar::count(text, at.get("hands-free"), 1..=2, sink);
        let carriers = match &raw.r#for {
            Some(list) => self.bound(list, at.get("for"), true, sink),
            None => self.all(|c| self.walks(c)),
        };
        let hands = hands?;
        let short = carriers.iter().filter(|c| {
            let person = self.carriers.list.get(c.0).and_then(|c| c.person());
            person.is_some_and(|p| p.slots.hand < hands)
        });
        for c in short {
            sink.fault(|| {
                let carrier = self.carriers.list.get(c.0);
                let id = carrier.map_or("", |c| c.id.as_str());
                let has = carrier.and_then(|c| c.person()).map_or(0, |p| p.slots.hand);
                let what = format!("{hands} hands are to stay free, and {} has {has}", quoted(id));
                let d = Diagnostic::error(Code::HandsFree, what).at(span, "more than there are");
                match self.carriers.spans.get(c.0) {
                    Some(own) => d.label(*own, "see `slots` here"),
                    None => d,
                }
            });
        }
        Some(RuleKind::HandsFree { hands, carriers })
    }

    fn party(&self, c: CarrierIx) -> Option<PartyIx> {
        self.parties.of(c)
    }
    fn in_store(&self, c: CarrierIx) -> bool {
        self.party(c).is_some() && self.party(c) == self.parties.store
    }
    fn is_vehicle(&self, c: CarrierIx) -> bool {
        self.carriers.list.get(c.0).is_some_and(|c| c.vehicle().is_some())
    }
    /// A person of a party on foot.
    fn walks(&self, c: CarrierIx) -> bool {
        let party = self.party(c).and_then(|p| self.parties.get(p));
        party.is_some_and(|p| p.travel == Travel::Foot) && !self.is_vehicle(c)
    }
    fn takes_kit_at_all(&self, c: CarrierIx) -> bool {
        self.walks(c) || (self.is_vehicle(c) && self.party(c).is_some())
    }
    fn takes_kit(&self, c: CarrierIx) -> bool {
        self.takes_kit_at_all(c) && !self.in_store(c)
    }
    fn all(&self, keep: impl Fn(CarrierIx) -> bool) -> Vec<CarrierIx> {
        (0..self.carriers.list.len()).map(CarrierIx).filter(|c| keep(*c)).collect()
    }

    fn named(&self, raw: &OneOrMore, at: At<'_>, sink: &mut Sink) -> Vec<CarrierIx> {
        who(raw, at, self.carriers, sink).into_iter().map(|(c, _)| c).collect()
    }

    /// Carriers that the rule can bind. Those in no party pass, so that a move
    /// with fewer people needs no other rules.
    fn bound(&self, raw: &OneOrMore, at: At<'_>, people: bool, sink: &mut Sink) -> Vec<CarrierIx> {
        let named = who(raw, at, self.carriers, sink);
        for (c, span) in &named {
            if people && self.is_vehicle(*c) {
                self.wrong(*c, *span, "is a vehicle and has no hands", sink);
            } else if self.party(*c).is_some() && !self.takes_kit_at_all(*c) {
                self.wrong(*c, *span, "rides, and takes no kit", sink);
            }
        }
        named.into_iter().map(|(c, _)| c).collect()
    }

    fn wrong(&self, c: CarrierIx, span: Span, what: &str, sink: &mut Sink) {
        let id = self.carriers.list.get(c.0).map_or("", |c| c.id.as_str());
        sink.fault(|| {
            Diagnostic::error(Code::WrongCarrier, format!("{} {what}", quoted(id)))
                .at(span, "the rule cannot bind this carrier")
        });
    }

    /// A list that means nothing with fewer than two items.
    fn two(&self, raw: &[ItemOrTag], at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        let items = self.list(raw, at, sink)?;
        if items.len() < 2 {
            let head = at.key().unwrap_or("the rule");
            sink.fault(|| {
                let what = format!("{} names only one item", quoted(head));
                Diagnostic::error(Code::TooFew, what).at(at.span(), "at least two are wanted here")
            });
            return None;
        }
        Some(items)
    }

    fn items_or_one(&self, raw: &ItemsOrOne, at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        match raw {
            ItemsOrOne::One => self.pick(at.text()?, at.span(), sink),
            ItemsOrOne::More(list) => self.list(list, at, sink),
        }
    }

    fn list(&self, raw: &[ItemOrTag], at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        if raw.is_empty() {
            sink.fault(|| empty(at.key().unwrap_or("the list"), at));
            return None;
        }
        let mut good = true;
        let mut seen = BTreeSet::new();
        let mut written = BTreeSet::new();
        let mut out = Vec::new();
        for (i, ItemOrTag(text)) in raw.iter().enumerate() {
            let span = at.item(i).span();
            if !written.insert(text) {
                sink.fault(|| twice(text, span));
                continue;
            }
            match self.pick(text, span, sink) {
                Some(items) => out.extend(items.into_iter().filter(|i| seen.insert(*i))),
                None => good = false,
            }
        }
        good.then_some(out)
    }

    /// An item, or all with a tag.
    fn pick(&self, text: &str, span: Span, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        let Some(tag) = text.strip_prefix("tag:") else {
            return self.items.find(text, span, sink).map(|i| vec![i]);
        };
        let found = self.tags.get(tag).cloned();
        if found.is_none() {
            sink.fault(|| {
                let what = format!("no item has the tag {}", quoted(tag));
                Diagnostic::error(Code::UnknownTag, what)
                    .at(span, "unknown tag")
                    .maybe_help(did_you_mean(tag, self.tags.keys().copied()))
            });
        }
        found
    }
}
