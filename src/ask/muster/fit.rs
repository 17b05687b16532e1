//! A move with what is fit for use in place of what the catalogue holds, and
//! with cases as they were found.
//!
//! Where cases of one kind differ, each sort becomes an item of its own that
//! holds one of the kind, which is then known as a content only. So whatever
//! asks for the kind, or for what is in it, finds it as before.

use super::rules::rule;
use crate::ask::vary;
use crate::load::{CasePath, Catalogue, Item, ItemIx, MoveOrder, Stores, Use, Ways};
use crate::quantity::{Bulk, Mass, Span};
use std::collections::{BTreeMap, BTreeSet};

/// A move as the stores are.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The move with what is fit.
    pub order: MoveOrder,
    /// Nothing that the move could use is other than the catalogue says.
    pub same: bool,
    /// A rule fixes some of several cases that differ; the fullest were taken.
    /// Then no plan may be found although one exists.
    pub narrowed: bool,
}

/// A sort of case: its kind, and what is in it.
type Sort = (ItemIx, BTreeMap<Part, u32>);

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    Thing(ItemIx),
    Sort(usize),
}

struct Sorts<'a> {
    catalogue: &'a Catalogue,
    stores: &'a Stores,
    list: Vec<Sort>,
    by: BTreeMap<Sort, usize>,
}

impl Sorts<'_> {
    /// The sort of a case, and the pieces that it is short of.
    fn of(&mut self, path: &CasePath) -> (usize, u64) {
        let mut inside: BTreeMap<Part, u32> = BTreeMap::new();
        let mut short = 0u64;
        for (item, ought, found) in self.stores.contents(self.catalogue, path) {
            short += u64::from(ought.saturating_sub(found));
            if self.catalogue[item].contents.is_empty() {
                if found > 0 {
                    inside.insert(Part::Thing(item), found);
                }
                continue;
            }
            for n in 1..=found {
                let (sort, lacks) = self.of(&path.inner(item, n));
                short += lacks;
                *inside.entry(Part::Sort(sort)).or_insert(0) += 1;
            }
        }
        let kind = path.kind().unwrap_or(ItemIx(0));
        let sort = (kind, inside);
        let next = self.list.len();
        let at = *self.by.entry(sort.clone()).or_insert(next);
        if at == next {
            self.list.push(sort);
        }
        (at, short)
    }
}

/// Why a move cannot be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// The stores are not about the move's catalogue.
    OtherEquipment,
    /// What is held is too much to add up.
    TooMuch,
}

/// The most that can be added up, as where files are read: in mg, mL or base
/// units, a million tonnes; and a hundred times as much for what is used.
const MOST_TOTAL: u128 = 1_000_000_000_000_000;
const MOST_RATED: u128 = 100 * MOST_TOTAL;

/// The move with what is fit for use. Which of several cases are unfit or lent is not written
/// down: the fullest are taken to be.
pub fn fit(order: &MoveOrder, stores: &Stores, catalogue: &Catalogue) -> Result<Fit, Unfit> {
    let ids = |c: &Catalogue| c.items().map(|(_, i)| i.id.clone()).collect::<Vec<_>>();
    if ids(order.catalogue()) != ids(catalogue) {
        return Err(Unfit::OtherEquipment);
    }
    let mut sorts = Sorts { catalogue, stores, list: Vec::new(), by: BTreeMap::new() };
    // Of each sort, how many are fit for use.
    let mut held: BTreeMap<usize, u32> = BTreeMap::new();
    let mut lacks: BTreeMap<usize, u64> = BTreeMap::new();
    for item in Stores::loose(catalogue).filter(|i| !catalogue[*i].contents.is_empty()) {
        let holding = stores.holding(catalogue, item);
        let all = (1..=holding.held).map(|n| sorts.of(&CasePath(vec![(item, n)])));
        let mut all: Vec<(usize, u64)> = all.collect();
        all.sort_by_key(|(sort, short)| (u64::MAX - short, *sort));
        for (sort, short) in all.into_iter().take(holding.fit() as usize) {
            *held.entry(sort).or_insert(0) += 1;
            lacks.insert(sort, short);
        }
    }
    let mut kinds: BTreeMap<ItemIx, Vec<usize>> = BTreeMap::new();
    for (sort, (kind, _)) in sorts.list.iter().enumerate() {
        kinds.entry(*kind).or_default().push(sort);
    }
    // Where each sort is in the new catalogue.
    let mut next = catalogue.len();
    let mut places: BTreeMap<usize, ItemIx> = BTreeMap::new();
    for (kind, sorts) in &kinds {
        for sort in sorts {
            let at = match sorts.len() {
                1 => *kind,
                _ => {
                    next += 1;
                    ItemIx(next - 1)
                }
            };
            places.insert(*sort, at);
        }
    }
    let items = items(order, stores, &sorts, &kinds, &places, &held);
    let same = items.len() == catalogue.len()
        && items.iter().zip(order.catalogue().items()).all(|(new, (_, old))| {
            new.held == old.held && new.contents == old.contents && new.mass == old.mass
        });
    let catalogue = order.catalogue().changed(|list| *list = items).ok().filter(small);
    let catalogue = catalogue.ok_or(Unfit::TooMuch)?;
    // Several sorts of one kind: those that are fit, the fullest first.
    let several: BTreeMap<ItemIx, Vec<(ItemIx, u32)>> = kinds
        .iter()
        .filter(|(_, sorts)| sorts.len() > 1)
        .map(|(kind, sorts)| {
            let mut fit: Vec<usize> =
                sorts.iter().copied().filter(|s| held.contains_key(s)).collect();
            fit.sort_by_key(|s| (lacks.get(s).copied(), *s));
            let fit = fit.iter().map(|s| (places[s], held[s]));
            (*kind, fit.collect())
        })
        .collect();
    let mut narrowed = false;
    let rules = order.rules().iter().flat_map(|r| rule(r, &several, &mut narrowed)).collect();
    let order = vary::changed(order, |parts| {
        (parts.catalogue, parts.rules) = (catalogue, rules);
    });
    Ok(Fit { order, same, narrowed })
}

/// Whether all of it can be added up.
fn small(catalogue: &Catalogue) -> bool {
    let kinds = catalogue.supplies().count();
    let (mut mass, mut bulk) = (0u128, 0u128);
    let (mut gives, mut uses) = (vec![0u128; kinds], vec![0u128; kinds]);
    for (i, item) in catalogue.items().filter(|(_, item)| item.held > 0) {
        let held = u128::from(item.held);
        mass += held * u128::from(item.mass.mg());
        bulk += held * u128::from(item.bulk.ml());
        for (inner, n) in catalogue.inside(i) {
            let pieces = held * u128::from(*n);
            let inner = &catalogue[*inner];
            for (s, amount) in &inner.supplies {
                let more = pieces.saturating_mul(amount.base.into());
                gives[s.0] = gives[s.0].saturating_add(more);
            }
            for (s, used) in &inner.uses {
                let one = match used {
                    Use::Once(amount) => amount.base.into(),
                    Use::Over(rate) => u128::from(rate.over(Span::MOST)),
                };
                uses[s.0] = uses[s.0].saturating_add(pieces.saturating_mul(one));
            }
        }
    }
    mass.max(bulk) <= MOST_TOTAL
        && gives.iter().all(|n| *n <= MOST_TOTAL)
        && uses.iter().all(|n| *n <= MOST_RATED)
}

/// The items as they are, and then one for each sort where there are several.
fn items(
    order: &MoveOrder,
    stores: &Stores,
    sorts: &Sorts<'_>,
    kinds: &BTreeMap<ItemIx, Vec<usize>>,
    places: &BTreeMap<usize, ItemIx>,
    held: &BTreeMap<usize, u32>,
) -> Vec<Item> {
    let catalogue = order.catalogue();
    let mut items: Vec<Item> = catalogue.items().map(|(_, i)| i.clone()).collect();
    for i in Stores::loose(catalogue) {
        items[i.0].held = stores.holding(sorts.catalogue, i).fit();
    }
    let mut ids: BTreeSet<String> = items.iter().map(|i| i.id.clone()).collect();
    for (kind, list) in kinds {
        for sort in list {
            let inside = &sorts.list[*sort].1;
            let place = |part: &Part| match part {
                Part::Thing(i) => *i,
                Part::Sort(s) => places[s],
            };
            let contents: Vec<(ItemIx, u32)> =
                inside.iter().map(|(part, n)| (place(part), *n)).collect();
            let mass = catalogue[*kind].mass + over(catalogue, *kind, sorts, inside);
            if list.len() == 1 {
                // In the order of the catalogue where nothing differs.
                let mut contents = contents;
                let was = &catalogue[*kind].contents;
                contents.sort_by_key(|(i, _)| {
                    was.iter().position(|(w, _)| w == i).unwrap_or(usize::MAX)
                });
                (items[kind.0].contents, items[kind.0].mass) = (contents, mass);
                continue;
            }
            let mut item = catalogue[*kind].clone();
            item.held = held.get(sort).copied().unwrap_or(0);
            item.mass = mass;
            item.id = fresh(&item.id, &mut ids);
            item.contents = std::iter::once((*kind, 1)).chain(contents).collect();
            // What it asks for, gives and uses, the kind inside does.
            item.requires.clear();
            item.supplies.clear();
            item.uses.clear();
            items.push(item);
        }
        if list.len() > 1 {
            let item = &mut items[kind.0];
            (item.held, item.mass, item.bulk) = (0, Mass::ZERO, Bulk::ZERO);
            item.ways = Ways::default();
            item.contents.clear();
        }
    }
    items
}

/// What is in it beyond what is packed, as far as it has a mass of its own.
fn over(
    catalogue: &Catalogue,
    kind: ItemIx,
    sorts: &Sorts<'_>,
    inside: &BTreeMap<Part, u32>,
) -> Mass {
    let mut found: BTreeMap<ItemIx, u32> = BTreeMap::new();
    for (part, n) in inside {
        let item = match part {
            Part::Thing(i) => *i,
            Part::Sort(s) => sorts.list[*s].0,
        };
        *found.entry(item).or_insert(0) += n;
    }
    let ought = |i: ItemIx| {
        let line = catalogue[kind].contents.iter().find(|(o, _)| *o == i);
        line.map_or(0, |(_, n)| *n)
    };
    found.iter().map(|(i, n)| catalogue[*i].mass * n.saturating_sub(ought(*i))).sum()
}

fn fresh(id: &str, ids: &mut BTreeSet<String>) -> String {
    let mut n = 1;
    loop {
        let new = format!("{id}-as-found-{n}");
        if ids.insert(new.clone()) {
            return new;
        }
        n += 1;
    }
}
