//! How large a move's programs would be, before one is written down.

use crate::facts::{Facts, KitIx};
use crate::load::{ItemIx, Way};

/// With more columns than this the coarse program is not branched on.
pub(super) const MOST_COARSE: usize = 6_000;

/// With more columns than this the relaxation leaves ways out: counts only.
pub(super) const MOST_WITH_WAYS: usize = 500;

/// A full program of no more columns than this is solved quickly.
pub(super) const FEW_COLUMNS: usize = 800;

/// The conflict-driven search is for full programs of no more columns than this.
pub(super) const MOST_CONFLICT_COLUMNS: usize = 6_000;

/// A full program with more columns than this is not even written down.
pub(super) const MOST_COLUMNS: usize = 60_000;

/// Columns of the coarse program, about.
pub(super) fn coarse_columns(facts: &Facts) -> usize {
    let held = (0..facts.items.len()).filter(|&i| facts.items[i].held > 0);
    let columns = held.map(|i| {
        let ways = facts.order.item(ItemIx(i)).ways.iter().count();
        let parties = (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store());
        parties.filter(|&p| facts.most_in(i, p) > 0).count() * (ways + 1)
    });
    columns.sum()
}

/// Columns of the full program, about.
pub(super) fn full_columns(facts: &Facts) -> usize {
    let held = (0..facts.items.len()).filter(|&i| facts.items[i].held > 0);
    held.map(|i| {
        let ways = facts.order.item(ItemIx(i)).ways;
        let of = |here: &Vec<KitIx>| {
            let pairs = if ways.has(Way::Pair) { here.len() * here.len() / 2 } else { 0 };
            here.len() * ways.iter().count() + pairs
        };
        facts.by_party.iter().map(of).sum::<usize>()
    })
    .sum()
}
