//! Units that go together, and the limits that they go under: what packing
//! arguments look at. Leaving some out relaxes every limit, so whatever shows
//! that these alone do not go shows it for every plan that has them.

use super::fits::may_end;
use super::steps::gcd;
use crate::facts::{Facts, KitIx};

/// Units that two people may bear between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Paired {
    pub mass: u64,
    /// mg on either end.
    pub ends: [u64; 2],
    pub count: u64,
}

/// Units by mass; those of no mass are left out.
#[derive(Debug, Clone, Default)]
pub(super) struct Units {
    /// (mg, how many) of what one carrier bears whole; heaviest first.
    pub whole: Vec<(u64, u64)>,
    /// What a pair may bear, or one alone; heaviest first.
    pub paired: Vec<Paired>,
    /// Pairs that the people can make at once.
    pub pairs: u64,
}

impl Units {
    /// So many units of each item, with these carriers.
    pub fn new(facts: &Facts, counts: &[u64], carriers: &[KitIx]) -> Self {
        let mut units = Units { pairs: pairs(facts, carriers), ..Units::default() };
        for (i, f) in facts.items.iter().enumerate() {
            if counts[i] == 0 || f.mass == 0 {
                continue;
            }
            let ends = carriers.iter().filter(|&&c| may_end(facts, i, c)).take(2).count();
            if ends == 2 && units.pairs > 0 {
                units.paired.push(Paired { mass: f.mass, ends: f.pair, count: counts[i] });
            } else {
                units.whole.push((f.mass, counts[i]));
            }
        }
        units.whole = merged(units.whole);
        units.paired.sort_by_key(|p| std::cmp::Reverse((p.mass, p.ends)));
        units
    }

    /// mg of all of them.
    pub fn mass(&self) -> u64 {
        let whole = self.whole.iter().map(|(m, n)| m.saturating_mul(*n));
        let paired = self.paired.iter().map(|p| p.mass.saturating_mul(p.count));
        whole.chain(paired).fold(0, u64::saturating_add)
    }

    /// What is borne of them, alone or by pairs, is a whole multiple of this.
    pub fn step(&self) -> u64 {
        let whole = self.whole.iter().map(|(m, _)| *m);
        let paired = self.paired.iter().flat_map(|p| [p.mass, p.ends[0], p.ends[1]]);
        whole.chain(paired).fold(0, gcd).max(1)
    }

    /// Units of which each is on one carrier, (mg, how many), heaviest first:
    /// whatever goes by pairs, no fewer and no lighter ones than these are left.
    pub fn alone(&self) -> Vec<(u64, u64)> {
        let mut left = self.pairs;
        let mut all = self.whole.clone();
        for p in &self.paired {
            let gone = left.min(p.count);
            left -= gone;
            all.push((p.mass, p.count - gone));
        }
        merged(all)
    }
}

fn pairs(facts: &Facts, carriers: &[KitIx]) -> u64 {
    let hands = |c: &&KitIx| facts.carriers[**c].person && facts.carriers[**c].hands > 0;
    let mut by_party = vec![0u64; facts.by_party.len()];
    carriers.iter().filter(hands).for_each(|&c| by_party[facts.carriers[c].party] += 1);
    by_party.iter().map(|n| n / 2).sum()
}

/// One entry a mass, heaviest first, none empty.
pub(super) fn merged(mut units: Vec<(u64, u64)>) -> Vec<(u64, u64)> {
    units.retain(|u| u.0 > 0 && u.1 > 0);
    units.sort_unstable_by(|a, b| b.cmp(a));
    let mut out: Vec<(u64, u64)> = Vec::with_capacity(units.len());
    for (mass, n) in units {
        match out.last_mut() {
            Some(last) if last.0 == mass => last.1 += n,
            _ => out.push((mass, n)),
        }
    }
    out
}
