//! Small made-up knapsacks, and their answers by trying everything.

use super::ix::LinkIx;
use super::knapsack::Side;
use super::knapsack_table::{Load, Thing};
use crate::local_search::Random;

pub(super) fn things(seed: u64) -> Vec<Thing> {
    let mut random = Random::new(seed);
    let kinds = 1 + random.below(5);
    let thing = |link| Thing {
        link: LinkIx(link),
        mass: [0, 1, 3, 6, 7, 9, 12, 13][random.below(8)],
        most: 1 + random.below(4) as u32,
        price: random.below(20) as u64,
    };
    (0..kinds).map(thing).collect()
}

pub(super) fn sides(seed: u64, kinds: usize) -> Vec<Side> {
    let mut random = Random::new(seed ^ 0x51de);
    let side = |_| Side {
        each: (0..kinds).map(|_| random.below(4) as u64).collect(),
        limit: 3 + random.below(9) as u64,
    };
    (0..seed % 3).map(side).collect()
}

/// Every load that keeps the limits.
pub(super) fn every_load(things: &[Thing], sides: &[Side], limit: u64) -> Vec<Load> {
    let mut loads: Vec<Vec<u32>> = vec![Vec::new()];
    for thing in things {
        let longer = |l: &Vec<u32>| {
            let l = l.clone();
            (0..=thing.most).map(move |n| [l.clone(), vec![n]].concat())
        };
        loads = loads.iter().flat_map(longer).collect();
    }
    let sum = |l: &[u32], each: &dyn Fn(usize) -> u64| -> u64 {
        l.iter().enumerate().map(|(k, n)| each(k) * u64::from(*n)).sum()
    };
    loads.retain(|l| {
        sum(l, &|k| things[k].mass) <= limit
            && sides.iter().all(|s| sum(l, &|k| s.each[k]) <= s.limit)
    });
    let plain = |l: Vec<u32>| {
        l.into_iter().enumerate().filter(|(_, n)| *n > 0).map(|(k, n)| (LinkIx(k), n)).collect()
    };
    loads.into_iter().map(plain).collect()
}

/// The highest price of them.
pub(super) fn brute_force(things: &[Thing], sides: &[Side], limit: u64) -> u64 {
    let price = |l: &Load| l.iter().map(|(k, n)| things[k.0].price * u64::from(*n)).sum();
    every_load(things, sides, limit).iter().map(price).max().unwrap_or(0)
}
