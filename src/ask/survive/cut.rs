//! Benders cuts: what a plan has to bring more of, if a drop-out is not to stop
//! the rest.

use super::scenario::Scenario;
use crate::ask::oracle::{Oracle, Possible};
use crate::load::{Brings, ItemIx};

/// Strengthens a cut. From what was brought and does not do: what any plan that
/// survives brings. Counts are raised towards what is held for as long as the
/// rest could still not go on, in the catalogue's order and against it: two
/// cuts. Empty if nothing is proven.
pub(super) fn of(s: &mut Scenario, brought: &[u32], held: &[u32], oracle: &Oracle) -> Vec<Brings> {
    let forth: Vec<usize> = (0..brought.len()).filter(|&i| brought[i] < held[i]).collect();
    let back: Vec<usize> = forth.iter().rev().copied().collect();
    let mut cuts: Vec<Brings> = Vec::new();
    for order in [forth, back] {
        let mut counts = brought.to_vec();
        raise(s, &mut counts, held, &order, oracle);
        let more = counts.iter().zip(held).enumerate().filter(|(_, (n, most))| n < most);
        let any: Vec<(ItemIx, u32)> = more.map(|(i, (n, _))| (ItemIx(i), n + 1)).collect();
        let cut = Brings { party: s.party, any };
        if !cut.any.is_empty() && !cuts.contains(&cut) {
            cuts.push(cut);
        }
    }
    cuts
}

/// Raises the counts of these items as far as it does not help: all of them
/// at once if that can be, else in halves.
fn raise(s: &mut Scenario, counts: &mut Vec<u32>, held: &[u32], items: &[usize], oracle: &Oracle) {
    if items.is_empty() || oracle.over() {
        return;
    }
    let mut all = counts.clone();
    items.iter().for_each(|&i| all[i] = held[i]);
    if matches!(s.possible(&all, oracle), Possible::No(_)) {
        *counts = all;
        return;
    }
    let [only] = items else {
        let (left, right) = items.split_at(items.len() / 2);
        raise(s, counts, held, left, oracle);
        raise(s, counts, held, right, oracle);
        return;
    };
    // `counts[only]` does not help, and what is held might.
    let (mut low, mut high) = (counts[*only], held[*only]);
    while high - low > 1 && !oracle.over() {
        let mut middle = counts.clone();
        middle[*only] = low + (high - low) / 2;
        if matches!(s.possible(&middle, oracle), Possible::No(_)) {
            low = middle[*only];
        } else {
            high = middle[*only];
        }
    }
    counts[*only] = low;
}
