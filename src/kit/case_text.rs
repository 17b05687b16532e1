//! Which of the cases is meant: `trauma-pack 1 / pouch 2`.

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, nearest, quoted};
use super::source::TextSpan;
use crate::load::{CasePath, Catalogue, ItemIx, MOST_CASES_DEEP, Stores};
use std::collections::BTreeMap;

/// Items by what people call them.
pub(super) struct Words<'a> {
    catalogue: &'a Catalogue,
    /// In small letters; `None` where several are called so.
    names: BTreeMap<String, Option<ItemIx>>,
}

impl<'a> Words<'a> {
    pub fn new(catalogue: &'a Catalogue) -> Self {
        let mut names: BTreeMap<String, Option<ItemIx>> = BTreeMap::new();
        for (i, item) in catalogue.items() {
            names.entry(item.name.to_lowercase()).and_modify(|n| *n = None).or_insert(Some(i));
        }
        Words { catalogue, names }
    }

    /// By id, else by a name in any case of letters, if nothing else could be
    /// meant by it.
    pub fn find(&self, word: &str) -> Option<ItemIx> {
        if let Some(found) = self.catalogue.find(word) {
            return Some(found);
        }
        let lower = word.to_lowercase();
        match (self.catalogue.find(&lower), self.names.get(&lower)) {
            (Some(id), None) => Some(id),
            (Some(id), Some(Some(name))) if id == *name => Some(id),
            (None, Some(name)) => *name,
            _ => None,
        }
    }

    /// Whether the item may be called so.
    pub fn fits(&self, item: ItemIx, word: &str) -> bool {
        let plain = |text: &str| {
            let text = text.trim_start_matches('\'').to_lowercase();
            text.split_whitespace().collect::<Vec<_>>().join(" ")
        };
        plain(&self.catalogue[item].name) == plain(word) || self.find(word) == Some(item)
    }

    /// The kind, and the number if one follows. An id and a number come first:
    /// so forms have it. Then a name, which may end in a number.
    fn case(&self, part: &str) -> Option<(ItemIx, Option<u32>)> {
        if let Some(found) = self.catalogue.find(part) {
            return Some((found, None));
        }
        let counted = part.rsplit_once(char::is_whitespace);
        let counted = counted.map(|(word, number)| (word.trim_end(), number));
        let counted = counted
            .filter(|(_, n)| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
            .map(|(word, n)| (word, Some(n.parse().unwrap_or(0))));
        if let Some((id, number)) = counted
            && let Some(found) = self.catalogue.find(id)
        {
            return Some((found, number));
        }
        if let Some(found) = self.find(part) {
            return Some((found, None));
        }
        let (name, number) = counted?;
        Some((self.find(name)?, number))
    }
}

/// Why a text names no case.
pub(super) struct NoCase {
    span: TextSpan,
    why: Why,
}

enum Why {
    TooDeep,
    Unknown(String),
    NoContents(ItemIx),
    /// So many there are in the outer case, or on charge; which one was meant,
    /// if that was said.
    Number {
        kind: ItemIx,
        outer: CasePath,
        there: u32,
        given: Option<u32>,
    },
}

/// The case that a text names, by ids or names. The stores say how many there
/// are.
pub(super) fn case_path(
    text: &str,
    span: TextSpan,
    catalogue: &Catalogue,
    words: &Words<'_>,
    stores: &Stores,
) -> Result<CasePath, NoCase> {
    let no = |why| Err(NoCase { span, why });
    let mut path = CasePath(Vec::new());
    for part in text.split('/') {
        if path.0.len() == MOST_CASES_DEEP {
            return no(Why::TooDeep);
        }
        let part = part.trim();
        let Some((kind, number)) = words.case(part) else {
            return no(Why::Unknown(part.to_string()));
        };
        if catalogue[kind].contents.is_empty() {
            return no(Why::NoContents(kind));
        }
        let there = match path.0.is_empty() {
            true if catalogue[kind].ways.is_empty() => 0,
            true => stores.holding(catalogue, kind).held,
            false => {
                let inside = stores.contents(catalogue, &path);
                inside.iter().find(|(i, ..)| *i == kind).map_or(0, |(_, _, n)| *n)
            }
        };
        let number = match number {
            Some(n) if (1..=there).contains(&n) => n,
            None if there == 1 => 1,
            given => return no(Why::Number { kind, outer: path, there, given }),
        };
        path.0.push((kind, number));
    }
    Ok(path)
}

impl NoCase {
    /// In words; takes some time, since it looks for what was meant.
    pub fn told(self, catalogue: &Catalogue) -> Diagnostic {
        let span = self.span;
        let fault = |what: String, label: &str| {
            Diagnostic::error(FaultCode::UnknownCase, what).at(span, label)
        };
        match self.why {
            Why::TooDeep => fault(
                format!("more than {MOST_CASES_DEEP} cases are inside each other"),
                "too deep to look into",
            ),
            Why::Unknown(part) => {
                let cases = catalogue.items().filter(|(_, i)| !i.contents.is_empty());
                let words = cases.flat_map(|(_, i)| [i.id.as_str(), i.name.as_str()]);
                let word = part.trim_end_matches(|c: char| c.is_ascii_digit() || c.is_whitespace());
                let near = nearest(if word.is_empty() { &part } else { word }, words);
                fault(format!("there is no case {}", quoted(&part)), "no case is called this")
                    .maybe_help(near.map(|n| format!("did you mean {}?", quoted(n))))
            }
            Why::NoContents(kind) => {
                let id = quoted(&catalogue[kind].id);
                fault(format!("{id} is no case: the catalogue gives it no contents"), "no contents")
            }
            Why::Number { kind, outer, there, given } => {
                let item = &catalogue[kind];
                let whole = match outer.0.is_empty() {
                    true if item.ways.is_empty() => "by itself".to_string(),
                    true => "on charge".to_string(),
                    false => format!("in {}", quoted(&outer.text(catalogue))),
                };
                let id = quoted(&item.id);
                let what = match (there, given) {
                    (0, _) => format!("there is no {id} {whole}"),
                    (n, None) => format!("there are {n} of {id} {whole}: which one?"),
                    (1, Some(_)) => format!("there is 1 {id} {whole}"),
                    (n, Some(_)) => format!("there are {n} of {id} {whole}"),
                };
                let d = fault(what, "no such case");
                let (first, last) = (format!("{} 1", item.id), format!("{} {there}", item.id));
                match there {
                    0 => d,
                    1 => d.help(format!("write {}", quoted(&first))),
                    _ => d.help(format!("write one of {} to {}", quoted(&first), quoted(&last))),
                }
            }
        }
    }
}
