//! Rules.

use super::carriers::Carriers;
use super::faults::{empty, twice};
use super::items::Items;
use super::parties::{Parties, who};
use super::scalar::{self, MOST_COUNT, MassOr};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, did_you_mean, one_of, quoted};
use crate::load::{CarrierIx, ItemIx, PartyIx, Reserve, Rule, RuleKind, Travel};
use crate::raw::RawMove;
use crate::rule_forms::{FORMS, Form, Given, Holds};
use crate::source::TextSpan;
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
    for i in 0..raw.rules.iter().flatten().count() {
        let at = at.get("rules").item(i);
        let Some(kind) = rules.one(at, sink) else { continue };
        named = named.saturating_add(kind.items().len() + kind.carriers().len());
        if named > MOST_NAMED {
            sink.fault(|| {
                let what = "the rules together name too many items and carriers to work with";
                Diagnostic::error(FaultCode::TooMuch, what)
                    .at(at.span(), format!("{MOST_NAMED} are passed here"))
            });
            break;
        }
        out.push(Rule { kind, place: at.place() });
    }
    out
}

impl Rules<'_> {
    fn one(&self, at: At<'_>, sink: &mut Sink) -> Option<RuleKind> {
        let form = form(at, sink)?;
        let mut given = Given::default();
        if let Some(usual) = form.usual {
            let bound = |c| usual.binds(self.walks(c), self.takes_kit_at_all(c), self.in_store(c));
            given.carriers =
                (0..self.carriers.list.len()).map(CarrierIx).filter(|c| bound(*c)).collect();
        }
        let mut good = true;
        for (key, holds) in form.keys().filter(|(key, _)| at.has(key)) {
            good &= self.value(holds, at.get(key), &mut given, sink).is_some();
        }
        if form.holds == Holds::Hands && good {
            self.enough_hands(&given, at.get(form.head), sink);
        }
        if good { (form.kind)(given) } else { None }
    }

    /// Reads what stands under one key.
    fn value(&self, holds: Holds, at: At<'_>, given: &mut Given, sink: &mut Sink) -> Option<()> {
        let count = |range, sink: &mut Sink| scalar::count(at.text()?, at, range, sink);
        match holds {
            Holds::Item => given.items = vec![self.items.find(at.text()?, at.span(), sink)?],
            Holds::Items => given.items = self.items_or_one(at, sink)?,
            Holds::Two => given.items = self.two(at, sink)?,
            Holds::Count(least) => given.count = Some(count(least..=MOST_COUNT, sink)?),
            Holds::Hands => given.count = Some(count(1..=2, sink)?),
            Holds::Kept => {
                given.kept = Some(match scalar::mass_or_share(at.text()?, at, sink)? {
                    MassOr::Mass(m) => Reserve::Mass(m),
                    MassOr::Share(p) => Reserve::Share(p),
                });
            }
            Holds::To => given.to = Some(self.to(at, sink)?),
            Holds::Carriers => given.carriers = self.named(at, sink),
            Holds::Takers => given.carriers = self.bound(at, false, sink),
            Holds::People => given.carriers = self.bound(at, true, sink),
        }
        Some(())
    }

    /// A carrier who can take something.
    fn to(&self, at: At<'_>, sink: &mut Sink) -> Option<CarrierIx> {
        let c = self.carriers.find(at.text()?, at.span(), sink)?;
        if !self.takes_kit_at_all(c) {
            let what = match self.parties.of(c) {
                None => "is in no party",
                Some(_) => "rides, and takes no kit",
            };
            self.wrong(c, at.span(), what, sink);
            return None;
        }
        Some(c)
    }

    fn enough_hands(&self, given: &Given, at: At<'_>, sink: &mut Sink) {
        let hands = given.count.unwrap_or(0);
        let short = given.carriers.iter().filter(|c| {
            let person = self.carriers.list.get(c.0).and_then(|c| c.person());
            person.is_some_and(|p| p.slots.hand < hands)
        });
        for c in short {
            sink.fault(|| {
                let carrier = self.carriers.list.get(c.0);
                let id = carrier.map_or("", |c| c.id.as_str());
                let has = carrier.and_then(|c| c.person()).map_or(0, |p| p.slots.hand);
                let what = format!("{hands} hands are to stay free, and {} has {has}", quoted(id));
                let d = Diagnostic::error(FaultCode::HandsFree, what)
                    .at(at.span(), "more than there are");
                match self.carriers.spans.get(c.0) {
                    Some(own) => d.label(*own, "see `slots` here"),
                    None => d,
                }
            });
        }
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

    fn named(&self, at: At<'_>, sink: &mut Sink) -> Vec<CarrierIx> {
        who(at, self.carriers, sink).into_iter().map(|(c, _)| c).collect()
    }

    /// Carriers that the rule can bind. Those in no party pass, so that a move
    /// with fewer people needs no other rules.
    fn bound(&self, at: At<'_>, people: bool, sink: &mut Sink) -> Vec<CarrierIx> {
        let named = who(at, self.carriers, sink);
        for (c, span) in &named {
            if people && self.is_vehicle(*c) {
                self.wrong(*c, *span, "is a vehicle and has no hands", sink);
            } else if self.party(*c).is_some() && !self.takes_kit_at_all(*c) {
                self.wrong(*c, *span, "rides, and takes no kit", sink);
            }
        }
        named.into_iter().map(|(c, _)| c).collect()
    }

    fn wrong(&self, c: CarrierIx, span: TextSpan, what: &str, sink: &mut Sink) {
        let id = self.carriers.list.get(c.0).map_or("", |c| c.id.as_str());
        sink.fault(|| {
            Diagnostic::error(FaultCode::WrongCarrier, format!("{} {what}", quoted(id)))
                .at(span, "the rule cannot bind this carrier")
        });
    }

    /// A list that means nothing with fewer than two items.
    fn two(&self, at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        let items = self.list(at, sink)?;
        if items.len() < 2 {
            let head = at.key().unwrap_or("the rule");
            sink.fault(|| {
                let what = format!("{} names only one item", quoted(head));
                Diagnostic::error(FaultCode::TooFew, what)
                    .at(at.span(), "at least two are wanted here")
            });
            return None;
        }
        Some(items)
    }

    fn items_or_one(&self, at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        match at.text() {
            Some(one) => self.pick(one, at.span(), sink),
            None => self.list(at, sink),
        }
    }

    fn list(&self, at: At<'_>, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        if at.children().next().is_none() {
            sink.fault(|| empty(at.key().unwrap_or("the list"), at));
            return None;
        }
        let mut good = true;
        let mut seen = BTreeSet::new();
        let mut written = BTreeSet::new();
        let mut out = Vec::new();
        for one in at.children() {
            let (Some(text), span) = (one.text(), one.span()) else { continue };
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
    fn pick(&self, text: &str, span: TextSpan, sink: &mut Sink) -> Option<Vec<ItemIx>> {
        let Some(tag) = text.strip_prefix("tag:") else {
            return self.items.find(text, span, sink).map(|i| vec![i]);
        };
        let found = self.tags.get(tag).cloned();
        if found.is_none() {
            sink.fault(|| {
                let what = format!("no item has the tag {}", quoted(tag));
                Diagnostic::error(FaultCode::UnknownTag, what)
                    .at(span, "unknown tag")
                    .maybe_help(did_you_mean(tag, self.tags.keys().copied()))
            });
        }
        found
    }
}

/// The form of a rule, if all its fields go together.
fn form(at: At<'_>, sink: &mut Sink) -> Option<&'static Form> {
    let given: Vec<&'static Form> = FORMS.iter().filter(|f| at.has(f.head)).collect();
    let form = match given[..] {
        [form] => form,
        [first, second, ..] => {
            let (first, second) = (first.head, second.head);
            sink.fault(|| {
                let what = format!("{} and {} are two rules", quoted(first), quoted(second));
                Diagnostic::error(FaultCode::Together, what)
                    .at(at.get(second).key_span(), "a rule of its own")
                    .label(at.get(first).key_span(), "a rule of its own")
                    .help("write each as an entry of its own")
            });
            return None;
        }
        [] => {
            sink.fault(|| {
                Diagnostic::error(FaultCode::MissingField, "a rule does not say what kind it is")
                    .at(at.span(), "no rule here")
                    .help(format!("give one of {}", one_of(FORMS.iter().map(|f| f.head))))
            });
            return None;
        }
    };
    let head = form.head;
    let mut good = true;
    for (field, _) in form.must.iter().filter(|(f, _)| !at.has(f)) {
        good = false;
        sink.fault(|| {
            let what = format!("{} needs {} beside it", quoted(head), quoted(field));
            Diagnostic::error(FaultCode::MissingField, what)
                .at(at.get(head).key_span(), format!("no {} here", quoted(field)))
        });
    }
    for child in at.children() {
        let key = child.key().unwrap_or("");
        if form.keys().all(|(k, _)| k != key) {
            good = false;
            sink.fault(|| {
                let what = format!("{} does not go with {}", quoted(key), quoted(head));
                Diagnostic::error(FaultCode::Together, what)
                    .at(child.key_span(), "has no meaning here")
                    .label(at.get(head).key_span(), "beside this")
            });
        }
    }
    good.then_some(form)
}
