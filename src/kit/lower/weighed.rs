//! Weighed masses.

use super::faults::{duplicate, empty};
use super::limits::MOST_TOTAL;
use super::scalar::{self, Lookup};
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, quoted};
use crate::load::{Catalogue, ItemIx};
use crate::quantity::Mass;
use crate::raw::RawWeighed;
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::BTreeMap;

/// What was weighed, by id, and where each is written.
pub(crate) type Weighed = Vec<(String, TextSpan, Mass)>;

/// Lowers the list; whether there are such items, a catalogue has to say.
pub(crate) fn weighed(raw: &RawWeighed, at: At<'_>, sink: &mut Sink) -> Weighed {
    let at = at.get("weighed");
    if raw.weighed.is_empty() {
        sink.fault(|| empty("weighed", at).help("list what was weighed, or leave the file out"));
    }
    let mut first: BTreeMap<&str, TextSpan> = BTreeMap::new();
    let mut out = Vec::new();
    for (i, raw) in raw.weighed.iter().enumerate() {
        let at = at.item(i);
        let span = at.get("id").span();
        scalar::id(&raw.id.0, span, sink);
        if let Some(first) = first.get(raw.id.0.as_str()) {
            sink.fault(|| duplicate("weighed", &raw.id.0, span, Some(*first)));
            continue;
        }
        first.insert(&raw.id.0, span);
        let Some(mass) = scalar::quantity::<Mass>(&raw.mass.0, at.get("mass"), sink) else {
            continue;
        };
        if mass == Mass::ZERO {
            sink.fault(|| {
                let what = format!("the mass of {} is zero", quoted(&raw.id.0));
                Diagnostic::error(FaultCode::ZeroMass, what)
                    .at(at.get("mass").span(), "a mass over zero is wanted here")
            });
        }
        out.push((raw.id.0.clone(), span, mass));
    }
    out
}

/// The items of a catalogue that were weighed.
pub(crate) fn weighed_items(
    weighed: &Weighed,
    catalogue: &Catalogue,
    at: At<'_>,
    sink: &mut Sink,
) -> Vec<(ItemIx, Mass)> {
    // What is known as a content only weighs what its case does.
    let loose = catalogue.items().filter(|(_, item)| !item.ways.is_empty());
    let by_id: BTreeMap<String, ItemIx> = loose.map(|(i, item)| (item.id.clone(), i)).collect();
    let look = Lookup { by_id: &by_id, code: FaultCode::UnknownItem, noun: "item" };
    let mut out = Vec::new();
    for (id, span, mass) in weighed {
        if !by_id.contains_key(id) && catalogue.find(id).is_some() {
            sink.fault(|| {
                let what = format!("{} is only known as the content of a case", quoted(id));
                Diagnostic::error(FaultCode::UnknownItem, what)
                    .at(*span, "it has no mass of its own")
                    .help("weigh the case, packed, and give that")
            });
            continue;
        }
        out.extend(look.find(id, *span, |_| None, sink).map(|i| (i, *mass)));
    }
    let by_item: BTreeMap<ItemIx, Mass> = out.iter().copied().collect();
    let of = |i: ItemIx| by_item.get(&i).copied();
    let each = catalogue
        .items()
        .map(|(i, item)| u128::from(of(i).unwrap_or(item.mass).mg()) * u128::from(item.held));
    if each.sum::<u128>() > MOST_TOTAL {
        sink.fault(|| {
            Diagnostic::error(FaultCode::TooMuch, "all items together are too heavy to work with")
                .at(at.span(), "the most that can be worked with is 1 000 000 t")
        });
    }
    out
}
