//! Bundles: a few units that one carrier bears alone, taken together, by mass.
//!
//! Two carriers swap a bundle each, one of which may be empty. With the bundles
//! of both in order of mass, the swap that moves a wanted mass from one to the
//! other as nearly as can be is found in one walk (the two-list method of
//! Horowitz and Sahni 1974 for subset sums).

use super::random::Random;
use super::state::{Spot, State, Step};
use crate::facts::{Facts, KitIx};
use crate::load::Way;

/// The most units of one entry that are distinguished.
const ALIKE: u32 = 3;
/// With so many units at most, bundles of three are looked at too.
const FEW: usize = 14;
/// The most units looked at; of more, some are picked at random.
const MANY: usize = 48;

/// A unit that can be moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Unit {
    pub item: usize,
    pub way: Way,
    mass: u64,
}

impl Unit {
    pub fn new(facts: &Facts, item: usize, way: Way) -> Self {
        Unit { item, way, mass: facts.items[item].mass }
    }

    /// Its step from one carrier to another, the way it goes if that can be.
    pub fn step(&self, state: &State, from: KitIx, to: KitIx) -> Option<Step> {
        let way = state.way_to(self.item, to, Some(self.way))?;
        let (from, to) = (Some(Spot::One(from, self.way)), Some(Spot::One(to, way)));
        Some(Step { item: self.item, from, to })
    }
}

#[derive(Debug, Clone, Copy)]
struct Bundle {
    mass: u64,
    /// Positions in the list of units; `u8::MAX` is none.
    units: [u8; 3],
}

/// What a carrier could give away.
#[derive(Debug, Clone)]
pub(super) struct Bundles {
    units: Vec<Unit>,
    /// By mass; the first is empty.
    bundles: Vec<Bundle>,
}

impl Bundles {
    pub fn of(state: &State, c: KitIx, random: &mut Random) -> Self {
        let facts = state.facts;
        let mut units = Vec::new();
        for e in &state.on[c].entries {
            let unit = Unit::new(facts, e.item, e.way);
            units.extend((0..e.count.min(ALIKE)).map(|_| unit));
        }
        if units.len() > MANY {
            random.shuffle(&mut units);
            units.truncate(MANY);
        }
        let n = units.len() as u8;
        const NONE: u8 = u8::MAX;
        let mut bundles = vec![Bundle { mass: 0, units: [NONE; 3] }];
        let mass = |k: u8| units[usize::from(k)].mass;
        for a in 0..n {
            bundles.push(Bundle { mass: mass(a), units: [a, NONE, NONE] });
            for b in a + 1..n {
                let two = mass(a) + mass(b);
                bundles.push(Bundle { mass: two, units: [a, b, NONE] });
                if units.len() <= FEW {
                    let three = |c| Bundle { mass: two + mass(c), units: [a, b, c] };
                    bundles.extend((b + 1..n).map(three));
                }
            }
        }
        bundles.sort_by_key(|b| (b.mass, b.units));
        Bundles { units, bundles }
    }

    pub fn len(&self) -> usize {
        self.bundles.len()
    }

    pub fn units(&self, k: usize) -> impl Iterator<Item = Unit> + '_ {
        let some = self.bundles[k].units.into_iter().filter(|u| *u != u8::MAX);
        some.map(|u| self.units[usize::from(u)])
    }
}

/// The swaps (a bundle of `from`, one of `to`) that move nearly `wanted` mg from
/// the first to the second, the nearest first; only such as move more than
/// nothing and less than twice what is wanted.
pub(super) fn nearest(
    from: &Bundles,
    to: &Bundles,
    wanted: i64,
    most: usize,
) -> Vec<(usize, usize)> {
    let mut found: Vec<(i64, usize, usize)> = Vec::with_capacity(most + 1);
    let mut j = 0;
    for (i, a) in from.bundles.iter().enumerate() {
        let aim = a.mass as i64 - wanted;
        while j + 1 < to.bundles.len() && (to.bundles[j + 1].mass as i64) <= aim {
            j += 1;
        }
        for (j, b) in to.bundles.iter().enumerate().skip(j).take(2) {
            let off = (aim - b.mass as i64).abs();
            if off >= wanted || (found.len() == most && found[most - 1].0 <= off) {
                continue;
            }
            let at = found.partition_point(|f| f.0 <= off);
            found.insert(at, (off, i, j));
            found.truncate(most);
        }
    }
    found.into_iter().map(|(_, i, j)| (i, j)).collect()
}

/// The swaps that move nearly `most` mg from the first to the second and never
/// more, the nearest first.
pub(super) fn under(from: &Bundles, to: &Bundles, most: i64, count: usize) -> Vec<(usize, usize)> {
    let mut found: Vec<(i64, usize, usize)> = Vec::with_capacity(count + 1);
    let mut j = 0;
    for (i, a) in from.bundles.iter().enumerate() {
        let least = a.mass as i64 - most;
        while j < to.bundles.len() && (to.bundles[j].mass as i64) < least {
            j += 1;
        }
        let Some(b) = to.bundles.get(j) else { break };
        let moved = a.mass as i64 - b.mass as i64;
        if moved <= 0 || (found.len() == count && found[count - 1].0 <= most - moved) {
            continue;
        }
        let at = found.partition_point(|f| f.0 <= most - moved);
        found.insert(at, (most - moved, i, j));
        found.truncate(count);
    }
    found.into_iter().map(|(_, i, j)| (i, j)).collect()
}
