//! What the wants can come to at most: all limits of a party as one knapsack,
//! less what goes anyway (surrogate relaxation; Martello and Toth 1990,
//! chapter 6).
//!
//! A unit that comes anyway, or inside a case, costs nothing. Of the others each
//! costs its mass. What is neither a must nor such a unit can be left out of any
//! plan and its wants lose nothing.

use super::caps::pinned;
use super::even::splits;
use super::fits::somebody_can;
use super::knapsack::{Lot, cut, whole};
use super::large::Large;
use super::musts::Musts;
use super::units::Units;
use crate::facts::Facts;
use crate::pins::Pins;

/// What tables of sums may cost in all, in words of 64 bits.
const TABLE_WORK: u64 = 2_000_000;
/// Surrogate relaxations that are solved with whole units.
const MOST_WHOLE: usize = 2;

/// A wanted item in one party.
struct Wanted {
    item: usize,
    /// Points of units that cost nothing.
    free: u64,
    /// (points each, how many) of those that cost their mass.
    paid: Vec<(u64, u64)>,
}

/// No plan that keeps the pins has more points of wants.
pub(super) fn wants(facts: &Facts, pins: &Pins) -> u64 {
    let musts = Musts::new(facts);
    let spare = pinned(facts, pins);
    let parties: Vec<usize> = (0..facts.by_party.len())
        .filter(|&p| facts.order.wants().iter().any(|w| w.party.0 == p))
        .collect();
    let mut work = TABLE_WORK;
    let each = parties.iter().map(|&p| of_party(facts, &musts, &spare, p, &mut work));
    let each = each.fold(0, u64::saturating_add);
    let away = parties.iter().filter(|p| Some(**p) != facts.store()).count();
    if away > 1 || pins.lightest.is_some() {
        return each.min(of_all(facts, &musts, &spare, pins));
    }
    each
}

/// Units of an item that can be in the party: by musts and cases, and loose
/// besides.
fn there(facts: &Facts, musts: &[u64], item: usize, may_more: bool) -> (u64, u64) {
    let held = u64::from(facts.items[item].held);
    let cases = facts.found_in[item].iter().filter(|(case, _)| *case != item);
    let cases = cases.map(|&(case, n)| u64::from(facts.items[case].held) * u64::from(n));
    let free = cases.fold(musts[item], u64::saturating_add);
    (free, if may_more { held - musts[item].min(held) } else { 0 })
}

/// Per item: (party, up to, points each) of the wants for it.
fn by_item(facts: &Facts) -> Vec<Vec<(usize, u32, u64)>> {
    let mut wants = vec![Vec::new(); facts.items.len()];
    for w in facts.order.wants() {
        wants[w.item.0].push((w.party.0, w.up_to, u64::from(w.value)));
    }
    wants
}

/// What units of an item are worth in a party, (points each, how many), the
/// first ones first: never rising, as every want counts up to its number.
fn worth(wants: &[(usize, u32, u64)], party: usize) -> Vec<(u64, u64)> {
    let of = || wants.iter().filter(|w| w.0 == party);
    let mut ends: Vec<u32> = of().map(|w| w.1).collect();
    ends.sort_unstable();
    ends.dedup();
    let mut from = 0;
    let mut worth = Vec::new();
    for end in ends {
        let value = of().filter(|w| w.1 >= end).map(|w| w.2).fold(0, u64::saturating_add);
        worth.push((value, u64::from(end - from)));
        from = end;
    }
    worth
}

/// The first `free` units cost nothing, the next `paid` ones do.
fn dealt(worth: &[(u64, u64)], mut free: u64, mut paid: u64) -> (u64, Vec<(u64, u64)>) {
    let (mut points, mut cost) = (0u64, Vec::new());
    for &(value, count) in worth {
        let without = free.min(count);
        let with = paid.min(count - without);
        (free, paid) = (free - without, paid - with);
        points = points.saturating_add(value.saturating_mul(without));
        cost.push((value, with));
    }
    (points, cost)
}

/// The wants of one party by itself.
fn of_party(facts: &Facts, musts: &Musts, spare: &[u64], party: usize, work: &mut u64) -> u64 {
    let store = facts.store() == Some(party);
    let must = &musts.by_party[party];
    let mut wanted: Vec<Wanted> = Vec::new();
    for (item, wants) in by_item(facts).iter().enumerate() {
        if wants.iter().all(|w| w.0 != party) {
            continue;
        }
        let can = store || somebody_can(facts, item, party, spare);
        let (free, more) = there(facts, must, item, can);
        // What stays costs nothing.
        let (free, more) = if store { (free.saturating_add(more), 0) } else { (free, more) };
        let (free, paid) = dealt(&worth(wants, party), free, more);
        wanted.push(Wanted { item, free, paid });
    }
    let free: u64 = wanted.iter().map(|w| w.free).fold(0, u64::saturating_add);
    if store {
        return free;
    }
    let here = &facts.by_party[party];
    let mut counts = must.clone();
    for w in &wanted {
        counts[w.item] += w.paid.iter().map(|p| p.1).sum::<u64>();
    }
    let units = Units::new(facts, &counts, here);
    let caps: Vec<u64> = here.iter().map(|&c| spare[c.0]).collect();
    let must = musts.mass(facts, party);
    free.saturating_add(best(facts, &wanted, &units, &caps, must, work))
}

/// The least of several surrogates: by mass alone, and with something added to
/// the size of each large unit, where carriers are filled with whole units in
/// the best way by that size.
fn best(
    facts: &Facts,
    wanted: &[Wanted],
    units: &Units,
    caps: &[u64],
    must: u64,
    work: &mut u64,
) -> u64 {
    let lots = |extra: u64, least: u64| -> Vec<Lot> {
        let of = wanted.iter().flat_map(|w| w.paid.iter().map(|p| (facts.items[w.item].mass, *p)));
        let size = |mass: u64| if mass >= least { mass.saturating_add(extra) } else { mass };
        of.map(|(mass, (value, count))| Lot { size: size(mass), value, count }).collect()
    };
    let most = caps.iter().copied().max().unwrap_or(0);
    let plain = caps.iter().copied().fold(0, u64::saturating_add).saturating_sub(must);
    let mut surrogates: Vec<(u64, Vec<Lot>, u64)> = Vec::new();
    let mut add = |lots: Vec<Lot>, capacity: u64| {
        surrogates.push((cut(&lots, capacity), lots, capacity));
    };
    add(lots(0, u64::MAX), plain);
    for kinds in splits(units) {
        let Some(large) = Large::new(units, kinds, 0, most, work) else { continue };
        // Added sizes would have to be known of musts and pairs too.
        let applies = kinds > 0 && must == 0 && units.paired.is_empty();
        let least = if kinds > 0 { units.whole[kinds - 1].0 } else { u64::MAX };
        let extras: &[u64] = if applies { &[0, 1, 2, 4, 8] } else { &[0] };
        for extra in extras.iter().map(|n| (least / 4).saturating_mul(*n)) {
            let filled = caps.iter().map(|c| large.filled(*c, extra));
            let capacity = filled.fold(0, u64::saturating_add).saturating_sub(must);
            add(lots(extra, least), capacity);
        }
    }
    surrogates.sort_by_key(|s| s.0);
    let relaxed = surrogates[0].0;
    let exact = surrogates.iter().take(MOST_WHOLE).map(|(_, lots, c)| whole(lots, *c));
    exact.fold(relaxed, u64::min)
}

/// All parties outside the store as one: what is held goes but once, and no
/// more leaves the store than is pinned.
fn of_all(facts: &Facts, musts: &Musts, spare: &[u64], pins: &Pins) -> u64 {
    let (mut points, mut lots) = (0u64, Vec::new());
    for (item, wants) in by_item(facts).iter().enumerate().filter(|(_, w)| !w.is_empty()) {
        let parties = (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store());
        let mut units: Vec<(u64, u64)> = parties.flat_map(|p| worth(wants, p)).collect();
        // Whoever it is worth most to has it first.
        units.sort_unstable_by(|a, b| b.cmp(a));
        let (free, paid) = there(facts, &musts.outside, item, true);
        let (without, with) = dealt(&units, free, paid);
        let size = facts.items[item].mass;
        points = points.saturating_add(without);
        lots.extend(with.into_iter().map(|(value, count)| Lot { size, value, count }));
    }
    let outside = facts.kit().filter(|&c| !facts.carriers[c].store);
    let limits = outside.map(|c| spare[c.0]).fold(0, u64::saturating_add);
    let capacity = pins.lightest.map_or(limits, |most| most.min(limits));
    let must = facts.items.iter().zip(&musts.outside).map(|(f, n)| f.mass.saturating_mul(*n));
    let capacity = capacity.saturating_sub(must.fold(0, u64::saturating_add));
    // What the store itself wants costs nothing.
    let kept = facts.order.wants().iter().filter(|w| Some(w.party.0) == facts.store());
    let kept = kept.map(|w| u64::from(w.value) * u64::from(w.up_to));
    kept.fold(points, u64::saturating_add).saturating_add(whole(&lots, capacity))
}
