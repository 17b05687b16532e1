//! Items: the catalogue without its supplies' totals.

use super::circle::{Edges, circles};
use super::faults::{duplicate, empty, no_effect, round, twice};
use super::limits;
use super::scalar::{self, Lookup, MOST_COUNT};
use super::supplies::Supplies;
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, counted, quoted};
use crate::load::{Item, ItemIx, Required, Requirement, Way, Ways};
use crate::quantity::{Bulk, Mass, Percent};
use crate::raw::{HEADS, RawItem, WayText};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::{BTreeMap, BTreeSet};

/// Every item, by id, and where each is written.
#[derive(Debug, Default)]
pub(crate) struct Items {
    pub list: Vec<Item>,
    pub by_id: BTreeMap<String, ItemIx>,
    pub spans: Vec<TextSpan>,
    pub supplies: Supplies,
    /// Contents go round, or are too many: no catalogue can be made.
    pub broken: bool,
}

impl Items {
    pub fn find(&self, id: &str, span: TextSpan, sink: &mut Sink) -> Option<ItemIx> {
        let look = Lookup { by_id: &self.by_id, code: FaultCode::UnknownItem, noun: "item" };
        look.find(id, span, |ix| self.spans.get(ix.0).copied(), sink)
    }

    fn enter(&mut self, item: Item, span: TextSpan) {
        self.by_id.insert(item.id.clone(), ItemIx(self.list.len()));
        self.list.push(item);
        self.spans.push(span);
    }
}

/// Lowers the list of items that stands at `at`.
pub(crate) fn items(raw: &[RawItem], at: At<'_>, sink: &mut Sink) -> Items {
    let mut out = Items::default();
    // First the ids, so that items may name each other in any order.
    let mut kept: Vec<(&RawItem, At<'_>)> = Vec::new();
    for (i, item) in raw.iter().enumerate() {
        let at = at.item(i);
        let id_at = at.get("id");
        item_id(&item.id.0, id_at.span(), sink);
        match out.by_id.get(&item.id.0) {
            Some(first) => {
                let first = out.spans.get(first.0).copied();
                sink.fault(|| duplicate("item", &item.id.0, id_at.span(), first));
            }
            None => {
                out.enter(bare(&item.id.0, at), id_at.span());
                kept.push((item, at));
            }
        }
    }
    for (item, at) in &kept {
        for (id, _) in item.contents.iter().flat_map(|c| &c.0) {
            if !out.by_id.contains_key(id) {
                let at = at.get("contents").get(id);
                item_id(id, at.key_span(), sink);
                out.enter(bare(id, at), at.key_span());
            }
        }
    }
    let mut inside: Edges = vec![Vec::new(); out.list.len()];
    let mut beside: Edges = vec![Vec::new(); out.list.len()];
    for (i, (raw, at)) in kept.iter().enumerate() {
        let item = lower(raw, *at, &mut out, sink);
        for (to, _) in &item.contents {
            if let Some(id) = out.list.get(to.0).map(|i| &i.id) {
                inside[i].push((to.0, at.get("contents").get(id).key_span()));
            }
        }
        for r in &item.requires {
            if let Some(id) = out.list.get(r.item.0).map(|i| &i.id) {
                beside[i].push((r.item.0, at.get("requires").get(id).key_span()));
            }
        }
        out.list[i] = item;
    }
    for circle in circles(&inside) {
        out.broken = true;
        sink.fault(|| round(&out.list, &circle, FaultCode::ContentsCircle, "contain", "contains"));
    }
    for circle in circles(&beside) {
        sink.fault(|| round(&out.list, &circle, FaultCode::RequiresCircle, "require", "requires"));
    }
    if !out.broken {
        out.broken = !limits::contents(&out.list, &out.spans, sink);
    }
    limits::held(&out.list, at, sink);
    out
}

fn item_id(id: &str, span: TextSpan, sink: &mut Sink) {
    if scalar::id(id, span, sink) && HEADS.contains(&id) {
        sink.fault(|| {
            Diagnostic::error(FaultCode::BadId, format!("an item cannot be called {}", quoted(id)))
                .at(span, "this word has a meaning of its own in needs")
                .help(format!("for instance {}", quoted(&format!("{id}-1"))))
        });
    }
}

/// What a thing is that is known only as the content of a case.
fn bare(id: &str, at: At<'_>) -> Item {
    Item {
        id: id.to_string(),
        name: id.to_string(),
        mass: Mass::ZERO,
        bulk: Bulk::ZERO,
        held: 0,
        ways: Ways::default(),
        hands: 1,
        pair_shares: [Percent::HALF; 2],
        keeper: None,
        requires: Vec::new(),
        supplies: Vec::new(),
        uses: Vec::new(),
        contents: Vec::new(),
        tags: Vec::new(),
        place: at.place(),
    }
}

fn lower(raw: &RawItem, at: At<'_>, items: &mut Items, sink: &mut Sink) -> Item {
    let mut item = bare(&raw.id.0, at);
    let text = raw.name.as_ref().map(|n| n.0.as_str());
    item.name = scalar::name(text, &raw.id.0, at, "name", sink);
    item.mass = scalar::quantity(&raw.mass.0, at.get("mass"), sink).unwrap_or_default();
    if item.mass == Mass::ZERO && raw.mass.0.parse::<Mass>().is_ok() {
        sink.fault(|| {
            let what = format!("the mass of {} is zero", quoted(&raw.id.0));
            Diagnostic::error(FaultCode::ZeroMass, what)
                .at(at.get("mass").span(), "a mass over zero is wanted here")
        });
    }
    item.bulk = bulk(raw, at, sink);
    item.held = match &raw.held {
        Some(t) => scalar::count(&t.0, at.get("held"), 0..=MOST_COUNT, sink).unwrap_or(0),
        None => 1,
    };
    item.ways = match &raw.carry {
        Some(list) => ways(list, at.get("carry"), sink),
        None => Ways::from_iter([Way::Back]),
    };
    if let Some(t) = &raw.hands {
        let hands = scalar::count(&t.0, at.get("hands"), 1..=2, sink).unwrap_or(1);
        item.hands = if hands == 2 { 2 } else { 1 };
        if !item.ways.has(Way::Hand) {
            sink.add(no_effect("hands", "hand", at));
        }
    }
    if let Some(list) = &raw.pair_shares {
        let texts: Vec<&str> = list.iter().map(|t| t.0.as_str()).collect();
        item.pair_shares = shares(&texts, at.get("pair-shares"), sink);
        if !item.ways.has(Way::Pair) {
            sink.add(no_effect("pair-shares", "pair", at));
        }
    }
    if let Some(k) = &raw.keeper
        && scalar::id(&k.0, at.get("keeper").span(), sink)
    {
        item.keeper = Some(k.0.clone());
    }
    if let Some(list) = &raw.requires {
        let at = at.get("requires");
        for (id, text) in &list.0 {
            let at = at.get(id);
            let found = items.find(id, at.key_span(), sink);
            let count = match text.0.as_str() {
                "shared" => Some(Required::Shared),
                t => scalar::count(t, at, 1..=MOST_COUNT, sink).map(Required::Each),
            };
            if let (Some(item_ix), Some(count)) = (found, count) {
                item.requires.push(Requirement { item: item_ix, count });
            }
        }
    }
    if let Some(list) = &raw.supplies {
        item.supplies = items.supplies.amounts(list, at.get("supplies"), sink);
    }
    if let Some(list) = &raw.uses {
        item.uses = items.supplies.uses(list, at.get("uses"), sink);
    }
    if let Some(list) = &raw.contents {
        let at = at.get("contents");
        for (id, text) in &list.0 {
            let count = scalar::count(&text.0, at.get(id), 1..=MOST_COUNT, sink);
            if let (Some(ix), Some(count)) = (items.by_id.get(id), count) {
                item.contents.push((*ix, count));
            }
        }
    }
    if let Some(list) = &raw.tags {
        item.tags = words(list.iter().map(|t| t.0.as_str()), at.get("tags"), sink);
    }
    item
}

/// A list of ids, each once.
pub(super) fn words<'a>(
    list: impl Iterator<Item = &'a str>,
    at: At<'_>,
    sink: &mut Sink,
) -> Vec<String> {
    let mut out = Vec::new();
    let mut seen = BTreeSet::new();
    for (i, word) in list.enumerate() {
        let span = at.item(i).span();
        if !scalar::id(word, span, sink) {
            continue;
        }
        if seen.insert(word) {
            out.push(word.to_string());
        } else {
            sink.fault(|| twice(word, span));
        }
    }
    out
}

fn bulk(raw: &RawItem, at: At<'_>, sink: &mut Sink) -> Bulk {
    if let (Some(_), Some(_)) = (&raw.bulk, &raw.size) {
        sink.fault(|| {
            Diagnostic::error(FaultCode::Together, "`bulk` and `size` are both given")
                .at(at.get("size").key_span(), "the size tells the bulk")
                .label(at.get("bulk").key_span(), "and so does this")
                .help("keep one of the two")
        });
    }
    let read = match (&raw.bulk, &raw.size) {
        (Some(t), _) => scalar::quantity(&t.0, at.get("bulk"), sink),
        (None, Some(t)) => scalar::quantity_by(&t.0, at.get("size"), sink, Bulk::from_size),
        (None, None) => None,
    };
    read.unwrap_or_default()
}

fn ways(list: &[WayText], at: At<'_>, sink: &mut Sink) -> Ways {
    if list.is_empty() {
        sink.fault(|| empty("carry", at).help("write `[bed]` for what only vehicles take"));
    }
    let words = Way::ALL.map(|w| (w.word(), w));
    let mut out = Ways::default();
    for (i, t) in list.iter().enumerate() {
        let at = at.item(i);
        if let Some(way) = scalar::word(&t.0, at, &words, "a way to carry", sink) {
            if out.has(way) {
                sink.fault(|| twice(&t.0, at.span()));
            }
            out.insert(way);
        }
    }
    out
}

fn shares(texts: &[&str], at: At<'_>, sink: &mut Sink) -> [Percent; 2] {
    let half = [Percent::HALF; 2];
    let [first, second] = texts else {
        sink.fault(|| {
            let n = counted(texts.len(), "share", "shares");
            Diagnostic::error(
                FaultCode::Shares,
                format!("a pair has two shares, not {}", texts.len()),
            )
            .at(at.span(), format!("{n} here"))
            .help("write the two bearers' shares, as in `[60 %, 40 %]`")
        });
        return half;
    };
    let first = scalar::quantity::<Percent>(first, at.item(0), sink);
    let second = scalar::quantity::<Percent>(second, at.item(1), sink);
    let (Some(a), Some(b)) = (first, second) else { return half };
    if a.ppm() + b.ppm() != Percent::WHOLE.ppm() {
        sink.fault(|| {
            let sum = Percent::from_ppm(a.ppm() + b.ppm());
            Diagnostic::error(FaultCode::Shares, format!("the shares make {sum}, not 100 %"))
                .at(at.span(), format!("{a} and {b}"))
                .help("the two shares of a pair have to make exactly 100 %")
        });
        return half;
    }
    [a, b]
}
