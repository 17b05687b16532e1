//! The stores.

use super::faults::duplicate;
use super::items::Items;
use super::limits::MOST_TOTAL;
use super::scalar::{self, MOST_COUNT};
use crate::case_text::{Words, case_path};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
use crate::load::{CasePath, Catalogue, Holding, ItemIx, MOST_CASES, MOST_CASES_DEEP, Stores};
use crate::raw::{Holders, RawStores};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::BTreeMap;

/// Lowers a stores file over the items it names.
pub(crate) fn stores(
    raw: &RawStores,
    at: At<'_>,
    items: &Items,
    catalogue: &Catalogue,
    sink: &mut Sink,
) -> Stores {
    let mut out = Stores {
        name: scalar::name(Some(&raw.stores.0), "", at, "stores", sink),
        ..Stores::default()
    };
    for (id, text) in raw.scale.iter().flat_map(|s| &s.0) {
        let at = at.get("scale").get(id);
        let count = scalar::count(&text.0, at, 0..=MOST_COUNT, sink);
        if let (Some(item), Some(n)) = (loose(id, at.key_span(), items, catalogue, sink), count) {
            out.scale.insert(item, n);
        }
    }
    let mut first: BTreeMap<ItemIx, TextSpan> = BTreeMap::new();
    for (i, raw) in raw.holdings.iter().flatten().enumerate() {
        let at = at.get("holdings").item(i);
        let span = at.get("id").span();
        let item = loose(&raw.id.0, span, items, catalogue, sink);
        let mut count = |text: Option<&str>, field: &str, usual: u32| {
            let given = text.map(|t| scalar::count(t, at.get(field), 0..=MOST_COUNT, sink));
            given.unwrap_or(Some(usual)).unwrap_or(0)
        };
        let usual = item.map_or(0, |i| catalogue[i].held);
        let holding = Holding {
            held: count(raw.held.as_ref().map(|t| t.0.as_str()), "held", usual),
            shelf: count(Some(&raw.shelf.0), "shelf", 0),
            unserviceable: count(
                raw.unserviceable.as_ref().map(|t| t.0.as_str()),
                "unserviceable",
                0,
            ),
            issued: holders(raw.issued.as_ref(), "issued", at, sink),
            on_loan: holders(raw.on_loan.as_ref(), "on-loan", at, sink),
        };
        let Some(item) = item else { continue };
        match first.get(&item) {
            Some(first) => sink.fault(|| duplicate("holding", &raw.id.0, span, Some(*first))),
            None => {
                first.insert(item, span);
                out.holdings.insert(item, holding);
            }
        }
    }
    too_heavy(&out, at, catalogue, sink);
    cases(raw, at, &mut out, items, catalogue, sink);
    if out.cases(catalogue).is_none() {
        sink.fault(|| {
            let what = format!(
                "there are more than {MOST_CASES} cases to look into, more than {MOST_CASES_DEEP} inside \
                 each other, or too much in them"
            );
            Diagnostic::error(FaultCode::TooMuch, what).at(at.get("stores").span(), "in these stores")
        });
    }
    out
}

/// An item that can be held loose.
fn loose(
    id: &str,
    span: TextSpan,
    items: &Items,
    catalogue: &Catalogue,
    sink: &mut Sink,
) -> Option<ItemIx> {
    let item = items.find(id, span, sink)?;
    if catalogue[item].ways.is_empty() {
        sink.fault(|| {
            let what = format!("{} is only known as the content of a case", quoted(id));
            Diagnostic::error(FaultCode::UnknownItem, what)
                .at(span, "it is not held by itself")
                .help("say under `cases` what was found in its case")
        });
        return None;
    }
    Some(item)
}

fn holders(
    raw: Option<&Holders>,
    field: &str,
    at: At<'_>,
    sink: &mut Sink,
) -> BTreeMap<String, u32> {
    let mut out = BTreeMap::new();
    for (name, text) in raw.iter().flat_map(|h| &h.0.0) {
        let at = at.get(field).get(name);
        let count = scalar::count(&text.0, at, 0..=MOST_COUNT, sink);
        if scalar::holder(name, at.key_span(), sink)
            && let Some(count) = count
        {
            out.insert(name.clone(), count);
        }
    }
    out
}

fn cases(
    raw: &RawStores,
    at: At<'_>,
    out: &mut Stores,
    items: &Items,
    catalogue: &Catalogue,
    sink: &mut Sink,
) {
    let at = at.get("cases");
    let words = Words::new(catalogue);
    let mut first: BTreeMap<CasePath, TextSpan> = BTreeMap::new();
    // How many are in an outer case has to be known first.
    let mut order: Vec<_> = raw.cases.iter().flatten().enumerate().collect();
    order.sort_by_key(|(_, c)| c.case.0.matches('/').count());
    for (i, raw) in order {
        let at = at.item(i);
        let span = at.get("case").span();
        let mut found = BTreeMap::new();
        for (id, text) in &raw.found.0 {
            let at = at.get("found").get(id);
            let count = scalar::count(&text.0, at, 0..=MOST_COUNT, sink);
            if let (Some(item), Some(n)) = (items.find(id, at.key_span(), sink), count) {
                found.insert(item, n);
            }
        }
        match case_path(&raw.case.0, span, catalogue, &words, out) {
            Err(fault) => sink.fault(|| fault.told(catalogue)),
            Ok(path) => match first.get(&path) {
                Some(first) => sink.fault(|| duplicate("case", &raw.case.0, span, Some(*first))),
                None => {
                    let inside = found.keys().find(|i| holds(catalogue, **i, &path));
                    if let Some(item) = inside {
                        let id = &catalogue[*item].id;
                        sink.fault(|| {
                            let what = format!("{} cannot be inside itself", quoted(id));
                            let at = at.get("found").get(id);
                            Diagnostic::error(FaultCode::ContentsCircle, what)
                                .at(at.key_span(), "it holds the case it is said to be in")
                        });
                        continue;
                    }
                    first.insert(path.clone(), span);
                    out.found.insert(path, found);
                }
            },
        }
    }
}

/// Whether this, were it in the case, would bring the case with it.
pub(crate) fn holds(catalogue: &Catalogue, item: ItemIx, path: &CasePath) -> bool {
    let inside = catalogue.inside(item);
    path.0.iter().any(|(case, _)| inside.iter().any(|(i, _)| i == case))
}

fn too_heavy(out: &Stores, at: At<'_>, catalogue: &Catalogue, sink: &mut Sink) {
    let sum = |n: &dyn Fn(ItemIx) -> u64| -> u128 {
        let each = Stores::loose(catalogue);
        each.map(|i| u128::from(catalogue[i].mass.mg()) * u128::from(n(i))).sum()
    };
    let scale = sum(&|i| out.scale_of(catalogue, i).into());
    let there = sum(&|i| {
        let holding = out.holding(catalogue, i);
        holding.accounted().max(holding.held.into())
    });
    if scale.max(there) > MOST_TOTAL {
        sink.fault(|| {
            let what = "all items together are too heavy to work with";
            Diagnostic::error(FaultCode::TooMuch, what)
                .at(at.get("stores").span(), "the most that can be worked with is 1 000 000 t")
        });
    }
}
