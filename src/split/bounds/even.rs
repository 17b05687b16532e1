//! The peak share: what it is at least in any plan.
//!
//! A candidate share caps every carrier. Tests show of a candidate that what
//! must go does not fit under those caps; the bound is the least share that
//! some load can make above the largest candidate that is shown too small.

use super::caps::Caps;
use super::fits::{can_alone, may_end};
use super::large::Large;
use super::musts::Musts;
use super::packing::Packing;
use super::steps::burden_step;
use super::units::Units;
use crate::facts::{Facts, KitIx};
use crate::load::{ItemIx, Share, Way};
use crate::pins::Pins;
use crate::quantity::Mass;

/// What tables of sums may cost in all, in words of 64 bits.
const TABLE_WORK: u64 = 2_500_000;
/// Masses from which on units count as large: the widest gaps between masses.
const MOST_GAPS: usize = 10;
/// Kinds up to which every mass is tried so.
const FEW_KINDS: usize = 16;
/// Exact candidates tried past the grid.
const MOST_CANDIDATES: usize = 12;

type Test<'t> = Box<dyn Fn(&[u64]) -> bool + 't>;

/// No plan that keeps the pins has a smaller peak share. `least_mass` is what
/// leaves the store in every such plan, in mg, if more than nothing is known.
pub(super) fn even(facts: &Facts, pins: &Pins, least_mass: u64) -> Option<Share> {
    let musts = Musts::new(facts);
    let limits = facts.carriers.iter().filter(|c| c.even).map(|c| c.limit);
    let scale = limits.max().filter(|l| *l > 0)?;
    let caps = Caps::new(facts, pins, scale);
    let mut bound = largest(facts, &musts).max(fixed(facts));
    let least_mass = least_mass.max(musts.outside_mass(facts));
    let top = caps.packed(&musts, least_mass);
    // Grid of candidates: whole steps of load on the largest limit.
    let step = burden_step(facts);
    let at = |k: u64| {
        let load = Mass::from_mg(k.saturating_mul(step));
        Share { load, limit: Mass::from_mg(scale) }
    };
    let last = top.load.mg() / step;
    let mut low = 0;
    let mut tests = quick_tests(facts, &musts, least_mass);
    let too_small = |test: &Test, k: u64| at(k) < bound || test(&caps.of(at(k)));
    for test in &tests {
        low = raise(low, last, |k| too_small(test, k));
    }
    let reached = |low: u64| if low > 0 { caps.next(at(low - 1)) } else { Share::ZERO };
    if bound.max(reached(low)) < top {
        let quick = tests.len();
        tests.extend(table_tests(facts, &musts, least_mass, &caps.of(top)));
        // What one test raises, another may raise on: until all stood at `low`.
        let mut stood = quick;
        let mut next = (quick..tests.len()).chain(0..tests.len()).chain(0..quick);
        while let (Some(k), true) = (next.next(), stood < tests.len()) {
            let raised = raise(low, last, |at| too_small(&tests[k], at));
            stood = if raised > low { 1 } else { stood + 1 };
            low = raised;
        }
    }
    bound = bound.max(reached(low));
    // Past the grid, and where shares fall between its lines.
    for _ in 0..MOST_CANDIDATES {
        let stands = |test: &Test| !test(&caps.of(bound));
        if bound > top || bound == at(low) || tests.iter().all(stands) {
            break;
        }
        bound = caps.next(bound);
    }
    Some(bound)
}

/// The least number from `low` on that is not shown too small, as far as
/// doubling steps and halving find it; at most one past `last`.
fn raise(low: u64, last: u64, too_small: impl Fn(u64) -> bool) -> u64 {
    if low > last || !too_small(low) {
        return low;
    }
    let (mut good, mut step) = (low, 1);
    let mut bad = loop {
        let k = good.saturating_add(step).min(last + 1);
        if k > last || !too_small(k) {
            break k;
        }
        good = k;
        step *= 2;
    };
    while bad - good > 1 {
        let k = good + (bad - good) / 2;
        if too_small(k) {
            good = k;
        } else {
            bad = k;
        }
    }
    bad
}

/// The least share with which somebody could take each kind that must go.
fn largest(facts: &Facts, musts: &Musts) -> Share {
    let share = |c: KitIx, mass: u64| {
        let f = &facts.carriers[c];
        let load = if f.even { f.burden.saturating_add(mass) } else { 0 };
        Share { load: Mass::from_mg(load), limit: Mass::from_mg(f.limit) }
    };
    let mut bound = Share::ZERO;
    for (party, least) in musts.by_party.iter().enumerate() {
        let here = &facts.by_party[party];
        for (i, f) in facts.items.iter().enumerate().filter(|(i, _)| least[*i] > 0) {
            let alone = here.iter().filter(|&&c| can_alone(facts, i, c));
            let alone = alone.map(|&c| share(c, f.mass)).min();
            let end = |end: usize| {
                let can = here.iter().filter(|&&c| may_end(facts, i, c));
                can.map(|&c| share(c, f.pair[end])).min()
            };
            let pair = end(0).zip(end(1)).map(|(a, b)| a.max(b));
            let least = [alone, pair].into_iter().flatten().min();
            bound = bound.max(least.unwrap_or(Share::ZERO));
        }
    }
    bound
}

/// What rules fix to a carrier is on it; what a pair may bear is left out.
fn fixed(facts: &Facts) -> Share {
    let mut loads: Vec<u64> = facts.carriers.iter().map(|c| c.burden).collect();
    for &(i, count, c) in &facts.rules.fixed {
        if !facts.order.item(ItemIx(i)).ways.has(Way::Pair) {
            let mass = facts.items[i].mass.saturating_mul(count.into());
            loads[c.0] = loads[c.0].saturating_add(mass);
        }
    }
    let even = facts.carriers.iter().zip(loads).filter(|(c, _)| c.even);
    let share = |(c, load): (&crate::facts::CarrierFact, u64)| Share {
        load: Mass::from_mg(load),
        limit: Mass::from_mg(c.limit),
    };
    even.map(share).max().unwrap_or(Share::ZERO)
}

fn outside(facts: &Facts) -> impl Iterator<Item = usize> {
    (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store())
}

/// Tests that need no tables: sums, and packing each party's units.
fn quick_tests<'t>(facts: &'t Facts, musts: &Musts, least_mass: u64) -> Vec<Test<'t>> {
    let mut tests: Vec<Test> = Vec::new();
    for party in outside(facts) {
        let here = &facts.by_party[party];
        let units = Units::new(facts, &musts.by_party[party], here);
        let (mass, packing) = (units.mass(), Packing::new(units.alone()));
        if mass > 0 {
            tests.push(Box::new(move |caps| sum(caps, here) < mass));
            tests.push(Box::new(move |caps| packing.misfit(&own(caps, here)).is_some()));
        }
    }
    let all: Vec<KitIx> = outside(facts).flat_map(|p| facts.by_party[p].clone()).collect();
    tests.push(Box::new(move |caps| sum(caps, &all) < least_mass));
    tests
}

/// Tests on the loads that whole things can make.
fn table_tests<'t>(
    facts: &'t Facts,
    musts: &Musts,
    least_mass: u64,
    most: &[u64],
) -> Vec<Test<'t>> {
    let mut work = TABLE_WORK;
    let mut tests: Vec<Test> = Vec::new();
    let top = |here: &[KitIx]| here.iter().map(|&c| most[c.0]).max().unwrap_or(0);
    for party in outside(facts) {
        let here = &facts.by_party[party];
        let units = Units::new(facts, &musts.by_party[party], here);
        let mass = units.mass();
        for kinds in splits(&units).into_iter().filter(|_| mass > 0) {
            if let Some(large) = Large::new(&units, kinds, mass, top(here), &mut work) {
                tests.push(Box::new(move |caps| large.too_small(&own(caps, here))));
            }
        }
    }
    if least_mass > 0 {
        // Whatever it is that goes: of all that is held.
        let all: Vec<KitIx> = outside(facts).flat_map(|p| facts.by_party[p].clone()).collect();
        let held: Vec<u64> = facts.items.iter().map(|f| f.held.into()).collect();
        let units = Units::new(facts, &held, &all);
        if let Some(large) = Large::new(&units, 0, least_mass, top(&all), &mut work) {
            tests.push(Box::new(move |caps| large.too_small(&own(caps, &all))));
        }
    }
    tests
}

fn own(caps: &[u64], here: &[KitIx]) -> Vec<u64> {
    here.iter().map(|&c| caps[c.0]).collect()
}

fn sum(caps: &[u64], here: &[KitIx]) -> u64 {
    here.iter().map(|&c| caps[c.0]).fold(0, u64::saturating_add)
}

/// How many of the heaviest kinds to treat as large, in turn: none, and
/// all down to each of the widest gaps between masses.
pub(super) fn splits(units: &Units) -> Vec<usize> {
    let whole = &units.whole;
    let mut at: Vec<usize> = (1..whole.len()).collect();
    // By the ratio of neighbours, the widest first.
    at.sort_by(|&a, &b| {
        let (x, y) = (u128::from(whole[a - 1].0), u128::from(whole[a].0));
        let (z, w) = (u128::from(whole[b - 1].0), u128::from(whole[b].0));
        (z * y).cmp(&(x * w)).then(a.cmp(&b))
    });
    if whole.len() > FEW_KINDS {
        at.truncate(MOST_GAPS);
    }
    let mut all = vec![0];
    all.extend(at);
    if !whole.is_empty() {
        all.push(whole.len());
    }
    all
}
