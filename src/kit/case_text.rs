//! Which of the cases is meant: `trauma-pack 1 / pouch 2`.

use super::code::Code;
use super::diagnostic::{Diagnostic, nearest, quoted};
use super::source::Span;
use crate::load::{CasePath, Catalogue, ItemIx, Stores};

/// Cases inside each other that a text may name.
const MOST_DEEP: usize = 30;

/// The case that a text names, ids or names. The stores say how many there are.
pub(super) fn case_path(
    text: &str,
    span: Span,
    catalogue: &Catalogue,
    stores: &Stores,
) -> Result<CasePath, Box<Diagnostic>> {
    let fault =
        |what: String, label: &str| Diagnostic::error(Code::UnknownCase, what).at(span, label);
    let mut path = CasePath(Vec::new());
    if text.split('/').count() > MOST_DEEP {
        return Err(fault(format!("{} is too deep", quoted(text)), "no such case").boxed());
    }
    for part in text.split('/') {
        let part = part.trim();
        let Some((kind, number)) = kind(part, catalogue) else {
            let cases = catalogue.items().filter(|(_, i)| !i.contents.is_empty());
            let words = cases.flat_map(|(_, i)| [i.id.as_str(), i.name.as_str()]);
            let word = part.trim_end_matches(|c: char| c.is_ascii_digit() || c.is_whitespace());
            let near = nearest(if word.is_empty() { part } else { word }, words);
            let d = fault(format!("there is no case {}", quoted(part)), "no case is called this");
            return Err(d.maybe_help(near.map(|n| format!("did you mean {}?", quoted(n)))).boxed());
        };
        let item = &catalogue[kind];
        if item.contents.is_empty() {
            let what =
                format!("{} is no case: the catalogue gives it no contents", quoted(&item.id));
            return Err(fault(what, "no contents").boxed());
        }
        let (there, whole) = match path.0.is_empty() {
            true if item.ways.is_empty() => (0, "by itself".to_string()),
            true => (stores.holding(catalogue, kind).held, "on charge".to_string()),
            false => {
                let inside = stores.contents(catalogue, &path);
                let n = inside.iter().find(|(i, ..)| *i == kind).map_or(0, |(_, _, n)| *n);
                (n, format!("in {}", quoted(&path.text(catalogue))))
            }
        };
        let number = match number {
            Some(n) if (1..=there).contains(&n) => n,
            None if there == 1 => 1,
            given => {
                let what = match (there, given) {
                    (0, _) => format!("there is no {} {whole}", quoted(&item.id)),
                    (n, None) => {
                        format!("there are {n} of {} {whole}: which one?", quoted(&item.id))
                    }
                    (1, Some(_)) => format!("there is 1 {} {whole}", quoted(&item.id)),
                    (n, Some(_)) => format!("there are {n} of {} {whole}", quoted(&item.id)),
                };
                let d = fault(what, "no such case");
                return Err(match there {
                    0 => d,
                    1 => d.help(format!("write {}", quoted(&format!("{} 1", item.id)))),
                    n => {
                        let (first, last) = (format!("{} 1", item.id), format!("{} {n}", item.id));
                        d.help(format!("write one of {} to {}", quoted(&first), quoted(&last)))
                    }
                }
                .boxed());
            }
        };
        path.0.push((kind, number));
    }
    Ok(path)
}

/// The kind, and the number if one follows. A name that ends in a number is
/// tried first.
fn kind(part: &str, catalogue: &Catalogue) -> Option<(ItemIx, Option<u32>)> {
    if let Some(found) = by_word(part, catalogue) {
        return Some((found, None));
    }
    let (word, number) = part.rsplit_once(char::is_whitespace)?;
    let digits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    let found = by_word(word.trim_end(), catalogue).filter(|_| digits)?;
    Some((found, Some(number.parse().unwrap_or(0))))
}

/// By id, else by a name that only one item has, in any case of letters.
pub(super) fn by_word(word: &str, catalogue: &Catalogue) -> Option<ItemIx> {
    let lower = word.to_lowercase();
    if let Some(found) = catalogue.find(&lower) {
        return Some(found);
    }
    let mut named = catalogue.items().filter(|(_, i)| i.name.to_lowercase() == lower);
    match (named.next(), named.next()) {
        (Some((found, _)), None) => Some(found),
        _ => None,
    }
}
