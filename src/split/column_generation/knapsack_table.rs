//! The optimal loads of every limit at once: the bounded knapsack by dynamic
//! programming over the mass (Bellman 1957), in whole numbers.

use super::ix::LinkIx;
/// A kind of thing that may go into a load.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Thing {
    /// What it is to whoever asks.
    pub link: LinkIx,
    pub mass: u64,
    pub most: u32,
    pub price: u64,
}

/// So many of each: (link, count).
pub(super) type Load = Vec<(LinkIx, u32)>;

/// The filled table.
pub(super) struct KnapsackTable {
    /// Several of a thing, taken or not: its place, and how many.
    bundles: Vec<(usize, u32, usize)>,
    /// Per bundle and mass: whether the best load up to it takes the bundle.
    taken: Vec<u64>,
    words: usize,
    /// Per mass: the price of the best load that weighs no more.
    best: Vec<u64>,
}

/// Bundles of 1, 2, 4 … and a rest, which make up every count to `most`.
fn bundles(most: u32) -> impl Iterator<Item = u32> {
    let mut left = most;
    let mut next = 1u32;
    std::iter::from_fn(move || {
        let take = next.min(left);
        left -= take;
        next = next.saturating_mul(2);
        (take > 0).then_some(take)
    })
}

/// About how many steps a table of this width takes; its memory is a part of
/// that.
pub(super) fn steps(things: &[Thing], width: u64) -> u64 {
    let all: u64 = things.iter().map(|t| u64::from(33 - t.most.max(1).leading_zeros())).sum();
    all.saturating_add(8).saturating_mul(width.saturating_add(1))
}

impl KnapsackTable {
    /// For every whole limit up to `width`. Prices in all fit 63 bits.
    pub fn fill(things: &[Thing], width: usize) -> KnapsackTable {
        let words = width / 64 + 1;
        let mut table = KnapsackTable {
            bundles: Vec::new(),
            taken: Vec::new(),
            words,
            best: vec![0; width + 1],
        };
        for (k, thing) in things.iter().enumerate().filter(|(_, t)| t.price > 0) {
            for take in bundles(thing.most) {
                let mass = thing.mass.saturating_mul(take.into());
                if mass > width as u64 {
                    break;
                }
                table.add(k, take, mass as usize, thing.price * u64::from(take));
            }
        }
        table
    }

    fn add(&mut self, thing: usize, take: u32, mass: usize, price: u64) {
        let at = self.taken.len();
        self.taken.resize(at + self.words, 0);
        self.bundles.push((thing, take, mass));
        let bits = &mut self.taken[at..];
        for w in (mass..self.best.len()).rev() {
            let with = self.best[w - mass] + price;
            if with > self.best[w] {
                self.best[w] = with;
                bits[w / 64] |= 1 << (w % 64);
            }
        }
    }

    /// The price of the best load that weighs no more than `limit`.
    pub fn value(&self, limit: usize) -> u64 {
        self.best[limit]
    }

    /// That load.
    pub fn load(&self, things: &[Thing], limit: usize) -> Load {
        let mut left = limit;
        let mut counts = vec![0u32; things.len()];
        for (b, &(k, take, mass)) in self.bundles.iter().enumerate().rev() {
            if self.taken[b * self.words + left / 64] & (1 << (left % 64)) != 0 {
                counts[k] += take;
                left -= mass;
            }
        }
        let taken = counts.into_iter().enumerate().filter(|(_, n)| *n > 0);
        taken.map(|(k, n)| (things[k].link, n)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::{brute_force, things};
    use super::*;

    #[test]
    fn every_limit_is_as_good_as_brute_force() {
        for seed in 0..200 {
            let things = things(seed);
            let table = KnapsackTable::fill(&things, 60);
            for limit in [0, 1, 7, 23, 41, 60] {
                let best = brute_force(&things, &[], limit);
                assert_eq!(table.value(limit as usize), best, "seed {seed}, limit {limit}");
                let load = table.load(&things, limit as usize);
                let of = |f: fn(&Thing) -> u64| -> u64 {
                    load.iter().map(|(l, n)| f(&things[l.0]) * u64::from(*n)).sum()
                };
                assert_eq!(of(|t| t.price), best);
                assert!(of(|t| t.mass) <= limit);
                assert!(load.iter().all(|(l, n)| *n <= things[l.0].most));
            }
        }
    }
}
