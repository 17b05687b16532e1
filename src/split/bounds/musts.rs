//! Forced counts: what every plan takes: units of each item that go with a
//! party loose (or as the case that they are), and the leaves of needs from
//! which that follows.

use super::fits::somebody_may;
use crate::facts::Facts;
use crate::load::{Demand, NeedNode, Way};

/// Rounds of going from what is asked for to what that asks for in turn: each
/// only adds, so stopping early is safe.
const ROUNDS: usize = 8;

/// Leaves that must hold whatever branch is taken.
pub(crate) fn leaves<'a>(node: &'a NeedNode, found: &mut Vec<&'a NeedNode>) {
    match node {
        NeedNode::Item { .. } | NeedNode::Supply(_) => found.push(node),
        NeedNode::All(of) => of.iter().for_each(|n| leaves(n, found)),
        NeedNode::Any(of) if of.len() == 1 => leaves(&of[0], found),
        NeedNode::AtLeast { count, of } if *count as usize == of.len() => {
            of.iter().for_each(|n| leaves(n, found));
        }
        NeedNode::Any(_) | NeedNode::AtLeast { .. } => {}
    }
}

/// Units of each item that every plan takes out of the store.
#[derive(Debug, Clone)]
pub(crate) struct Musts {
    /// By party, then item; nothing for the store.
    pub by_party: Vec<Vec<u64>>,
    /// By item: over all parties outside the store.
    pub outside: Vec<u64>,
}

impl Musts {
    pub fn new(facts: &Facts) -> Self {
        let n = facts.items.len();
        let store = facts.store();
        let leaving: Vec<bool> = (0..n).map(|i| may_not_stay(facts, i)).collect();
        let by_party: Vec<Vec<u64>> = (0..facts.by_party.len())
            .map(|p| if Some(p) == store { vec![0; n] } else { of_party(facts, p, &leaving) })
            .collect();
        let held = |i: usize| u64::from(facts.items[i].held);
        let outside = (0..n)
            .map(|i| {
                let sum: u64 = by_party.iter().map(|least| least[i]).sum();
                if leaving[i] { sum.max(held(i)) } else { sum }
            })
            .collect();
        Musts { by_party, outside }
    }

    /// mg of all that goes with the party at least.
    pub fn mass(&self, facts: &Facts, party: usize) -> u64 {
        mass(facts, &self.by_party[party])
    }

    /// mg that leave the store at least: what must go, and what the store has
    /// no limit left for.
    pub fn outside_mass(&self, facts: &Facts) -> u64 {
        let must = mass(facts, &self.outside);
        let Some(store) = facts.store() else { return must };
        let here = facts.by_party[store].iter().map(|&c| &facts.carriers[c]);
        let spare: u64 = here.map(|f| f.usable.saturating_sub(f.burden)).sum();
        must.max(facts.held_mass.saturating_sub(spare))
    }
}

fn mass(facts: &Facts, units: &[u64]) -> u64 {
    let each = units.iter().zip(&facts.items).map(|(n, f)| n.saturating_mul(f.mass));
    each.fold(0, u64::saturating_add)
}

/// Whether every vehicle of the store is barred from it.
fn may_not_stay(facts: &Facts, item: usize) -> bool {
    let Some(store) = facts.store() else { return false };
    facts.items[item].held > 0
        && facts.by_party[store].iter().all(|&c| !facts.may(item, c, Way::Bed))
}

fn of_party(facts: &Facts, party: usize, leaving: &[bool]) -> Vec<u64> {
    let n = facts.items.len();
    let mut there = vec![0u64; n];
    let mut loose = fixed(facts, party);
    for (i, _) in leaving.iter().enumerate().filter(|(_, leaves)| **leaves) {
        let mut may = outside(facts).filter(|&p| somebody_may(facts, i, p));
        if (may.next(), may.next()) == (Some(party), None) {
            loose[i] = u64::from(facts.items[i].held);
        }
    }
    let mut demands = Vec::new();
    for need in facts.order.needs().iter().filter(|need| need.party.0 == party) {
        let mut found = Vec::new();
        leaves(&need.node, &mut found);
        for node in found {
            match node {
                NeedNode::Item { item, count } => {
                    there[item.0] = there[item.0].max(u64::from(*count));
                }
                NeedNode::Supply(demand) => demands.push(demand),
                _ => {}
            }
        }
    }
    supplies(facts, party, &demands, &mut loose);
    for _ in 0..ROUNDS {
        let before = (there.clone(), loose.clone());
        requirements(facts, &mut there);
        from_there(facts, &there, &mut loose);
        for (i, there) in there.iter_mut().enumerate() {
            let inside = facts.found_in[i].iter().map(|&(case, n)| loose[case] * u64::from(n));
            *there = (*there).max(inside.fold(0, u64::saturating_add));
        }
        if before == (there.clone(), loose.clone()) {
            break;
        }
    }
    loose
}

fn outside(facts: &Facts) -> impl Iterator<Item = usize> {
    (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store())
}

/// What rules fix to somebody here.
fn fixed(facts: &Facts, party: usize) -> Vec<u64> {
    let mut loose: Vec<u64> = (0..facts.items.len()).map(|i| facts.fixed_in(i, party)).collect();
    capped(facts, &mut loose);
    loose
}

/// What more is asked for beside what is there.
fn requirements(facts: &Facts, there: &mut [u64]) {
    for r in &facts.requires {
        let each = r.each.iter().map(|&(i, n)| there[i].saturating_mul(n.into()));
        let sum = each.fold(0, u64::saturating_add);
        let shared = u64::from(r.shared.iter().any(|&i| there[i] > 0));
        there[r.required] = there[r.required].max(sum).max(shared);
    }
}

/// What cannot all come by the other cases that it is in, comes by this one.
fn from_there(facts: &Facts, there: &[u64], loose: &mut [u64]) {
    for (i, &count) in there.iter().enumerate().filter(|(_, n)| **n > 0) {
        let most = |&(case, n): &(usize, u32)| u64::from(facts.items[case].held) * u64::from(n);
        let all = facts.found_in[i].iter().map(most).fold(0, u64::saturating_add);
        for by in facts.found_in[i].iter().filter(|by| most(by) > 0) {
            let rest = count.saturating_sub(all.saturating_sub(most(by)));
            loose[by.0] = loose[by.0].max(rest.div_ceil(by.1.into()));
        }
    }
    capped(facts, loose);
}

/// More than is held no plan takes: that there is none, other checks find.
fn capped(facts: &Facts, loose: &mut [u64]) {
    loose.iter_mut().zip(&facts.items).for_each(|(n, f)| *n = (*n).min(f.held.into()));
}

/// What everything held makes of a supply.
pub(crate) fn most_supply(facts: &Facts, supply: usize) -> u64 {
    let of = facts.items.iter().flat_map(|f| f.supplies.iter().map(move |s| (s, f.held)));
    of.filter(|((s, _), _)| *s == supply)
        .map(|((_, a), held)| a.saturating_mul(held.into()))
        .fold(0, u64::saturating_add)
}

/// What all else held cannot make up for.
fn supplies(facts: &Facts, party: usize, demands: &[&Demand], loose: &mut [u64]) {
    let mut done: Vec<usize> = Vec::new();
    for supply in demands.iter().map(|d| d.supply.0) {
        if done.contains(&supply) {
            continue;
        }
        done.push(supply);
        let all: Vec<&Demand> = demands.iter().copied().filter(|d| d.supply.0 == supply).collect();
        let asked = facts.least_demand(party, &all);
        let have = most_supply(facts, supply);
        if have == u64::MAX {
            continue;
        }
        for (i, f) in facts.items.iter().enumerate().filter(|(_, f)| f.held > 0) {
            for &(_, a) in f.supplies.iter().filter(|(s, a)| *s == supply && *a > 0) {
                let rest = asked.saturating_sub(have - a * u64::from(f.held));
                loose[i] = loose[i].max(rest.div_ceil(a));
            }
        }
    }
    capped(facts, loose);
}
