//! What the command line names in a move: items and carriers, by id or by name.

use super::Failure;
use crate::kit::nearest;
use crate::load::{CarrierIx, ItemIx, MoveOrder};
use tumpline_core::text::clean;

pub(super) fn item(order: &MoveOrder, text: &str) -> Result<ItemIx, Failure> {
    let all = order.catalogue().items().map(|(i, item)| (i, item.id.as_str(), item.name.as_str()));
    one("item", text, all.collect())
}

pub(super) fn carrier(order: &MoveOrder, text: &str) -> Result<CarrierIx, Failure> {
    let all = order.carriers().iter().enumerate();
    let all = all.map(|(c, who)| (CarrierIx(c), who.id.as_str(), who.name.as_str()));
    one("carrier", text, all.collect())
}

/// An id counts before a name; a name only if nothing else has it.
fn one<T: Copy>(kind: &str, text: &str, all: Vec<(T, &str, &str)>) -> Result<T, Failure> {
    if let Some((ix, ..)) = all.iter().find(|(_, id, _)| *id == text) {
        return Ok(*ix);
    }
    let named: Vec<_> = all.iter().filter(|(_, _, name)| *name == text).collect();
    let text = clean(text);
    match named.as_slice() {
        [(ix, ..)] => Ok(*ix),
        [] => {
            let words = all.iter().flat_map(|(_, id, name)| [*id, *name]);
            let part: Vec<_> = all.iter().filter(|(_, id, _)| id.contains(&text)).collect();
            let help = match (nearest(&text, words), part.is_empty() || text.is_empty()) {
                (Some(word), _) => format!("; did you mean `{}`?", clean(word)),
                (None, false) => format!("; did you mean {}?", some(part.into_iter(), " or ")),
                (None, true) => format!("; its {kind}s are {}", some(all.iter(), ", ")),
            };
            Err(Failure::Usage(format!("no {kind} `{text}` in this move{help}")))
        }
        several => {
            let ids: Vec<String> = several.iter().map(|(_, id, _)| format!("`{id}`")).collect();
            let what = format!("{} {kind}s are called `{text}`", ids.len());
            Err(Failure::Usage(format!("{what}; give an id: {}", ids.join(", "))))
        }
    }
}

/// A few of them.
fn some<'a, T: 'a>(all: impl Iterator<Item = &'a (T, &'a str, &'a str)>, and: &str) -> String {
    const MOST: usize = 8;
    let ids: Vec<String> = all.take(MOST + 1).map(|(_, id, _)| format!("`{id}`")).collect();
    let more = if ids.len() > MOST { ", …" } else { "" };
    format!("{}{more}", ids[..ids.len().min(MOST)].join(and))
}
