//! Offers: up to three wanted things that are given or taken together in an
//! exchange.

use super::bundles::Unit;
use crate::facts::Facts;
use std::cmp::Reverse;

/// With so many things at most, three go together.
const FEW: usize = 14;
const NONE: u16 = u16::MAX;

#[derive(Debug, Clone, Copy)]
struct Offer {
    mass: u64,
    value: u64,
    units: [u16; 3],
}

/// What a carrier could give, or could take: by mass, the first is nothing.
pub(super) struct Offers {
    units: Vec<Unit>,
    offers: Vec<Offer>,
}

impl Offers {
    /// Of units with what each is worth.
    pub fn new(facts: &Facts, units: Vec<(Unit, u64)>) -> Self {
        let n = units.len();
        let mass = |k: usize| facts.items[units[k].0.item].mass;
        let mut offers = vec![Offer { mass: 0, value: 0, units: [NONE; 3] }];
        for a in 0..n {
            let one = Offer { mass: mass(a), value: units[a].1, units: [a as u16, NONE, NONE] };
            offers.push(one);
            for b in a + 1..n {
                let two = Offer {
                    mass: one.mass + mass(b),
                    value: one.value + units[b].1,
                    units: [a as u16, b as u16, NONE],
                };
                offers.push(two);
                if n <= FEW {
                    offers.extend((b + 1..n).map(|c| Offer {
                        mass: two.mass + mass(c),
                        value: two.value + units[c].1,
                        units: [a as u16, b as u16, c as u16],
                    }));
                }
            }
        }
        offers.sort_by_key(|o| (o.mass, Reverse(o.value), o.units));
        Offers { units: units.into_iter().map(|u| u.0).collect(), offers }
    }

    pub fn len(&self) -> usize {
        self.offers.len()
    }

    pub fn units(&self, k: usize) -> impl Iterator<Item = &Unit> + '_ {
        let some = self.offers[k].units.into_iter().filter(|u| *u != NONE);
        some.map(|u| &self.units[usize::from(u)])
    }
}

/// What gains most, (gives, takes), where `spare` mg are free before: the best
/// `most` of them, at most one for each that is given.
pub(super) fn best(given: &Offers, taken: &Offers, spare: u64, most: usize) -> Vec<(usize, usize)> {
    // The best that can be taken under each mass.
    let mut best_under: Vec<usize> = Vec::with_capacity(taken.len());
    for (k, o) in taken.offers.iter().enumerate() {
        let last = best_under.last().copied();
        best_under.push(last.filter(|l| taken.offers[*l].value >= o.value).unwrap_or(k));
    }
    let mut found: Vec<(u64, usize, usize)> = Vec::new();
    for (g, given) in given.offers.iter().enumerate() {
        let room = spare.saturating_add(given.mass);
        let n = taken.offers.partition_point(|o| o.mass <= room);
        let Some(&t) = n.checked_sub(1).map(|n| &best_under[n]) else { continue };
        let gain = taken.offers[t].value.saturating_sub(given.value);
        let at = found.partition_point(|f| f.0 >= gain);
        if gain > 0 && at < most {
            found.insert(at, (gain, g, t));
            found.truncate(most);
        }
    }
    found.into_iter().map(|(_, g, t)| (g, t)).collect()
}
