//! The best load of one carrier by branch and bound, and every load that is
//! nearly as good: the bounded knapsack, the best price for its mass first,
//! against the bound that lets the last thing be cut (Dantzig 1957; the search
//! is that of Horowitz and Sahni 1974, with counts).

use super::knapsack_table::{Load, Thing};

/// What else than mass is short: how much of it one of each thing takes, in
/// the order of the things, and how much there is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Side {
    pub each: Vec<u64>,
    pub limit: u64,
}

/// What the search came to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Found {
    pub load: Load,
    /// The price of that load.
    pub value: u64,
    /// No load has a higher price.
    pub bound: u64,
    pub nodes: u64,
}

pub(super) struct Knapsack<'t> {
    things: &'t [Thing],
    sides: &'t [Side],
    /// Positions in `things`, the best price for its mass first.
    order: Vec<usize>,
    /// Per place in `order`: how many are taken.
    counts: Vec<u32>,
    left: u64,
    side_left: Vec<u64>,
    value: u64,
}

impl<'t> Knapsack<'t> {
    pub fn new(things: &'t [Thing], sides: &'t [Side], limit: u64) -> Self {
        let mut order: Vec<usize> = (0..things.len()).collect();
        let for_mass = |a: &Thing, b: &Thing| {
            (u128::from(a.price) * u128::from(b.mass))
                .cmp(&(u128::from(b.price) * u128::from(a.mass)))
        };
        // What weighs nothing comes first, whatever it is worth.
        order.sort_by(|&a, &b| {
            let (a, b) = (&things[a], &things[b]);
            (b.mass == 0).cmp(&(a.mass == 0)).then_with(|| for_mass(b, a))
        });
        Knapsack {
            things,
            sides,
            counts: vec![0; order.len()],
            order,
            left: limit,
            side_left: sides.iter().map(|s| s.limit).collect(),
            value: 0,
        }
    }

    /// The most that the place may take of what is left.
    fn most(&self, at: usize) -> u32 {
        let k = self.order[at];
        let thing = &self.things[k];
        let mut most = u64::from(thing.most - self.counts[at]);
        most = most.min(self.left.checked_div(thing.mass).unwrap_or(u64::MAX));
        for (side, left) in self.sides.iter().zip(&self.side_left) {
            most = most.min(left.checked_div(side.each[k]).unwrap_or(u64::MAX));
        }
        most as u32
    }

    fn take(&mut self, at: usize, count: u32) {
        let k = self.order[at];
        let n = u64::from(count);
        self.counts[at] += count;
        self.left -= self.things[k].mass * n;
        self.value += self.things[k].price * n;
        for (side, left) in self.sides.iter().zip(&mut self.side_left) {
            *left -= side.each[k] * n;
        }
    }

    fn drop_one(&mut self, at: usize) {
        let k = self.order[at];
        self.counts[at] -= 1;
        self.left += self.things[k].mass;
        self.value -= self.things[k].price;
        for (side, left) in self.sides.iter().zip(&mut self.side_left) {
            *left += side.each[k];
        }
    }

    /// No load that agrees up to this place is worth more.
    fn bound_from(&self, from: usize) -> u64 {
        let (mut value, mut left) = (self.value, self.left);
        for &k in &self.order[from..] {
            let thing = &self.things[k];
            let mass = thing.mass * u64::from(thing.most);
            if mass <= left {
                left -= mass;
                value += thing.price * u64::from(thing.most);
                continue;
            }
            // Rounded down: prices are whole. Less than all of a thing is
            // worth less than 64 bits hold.
            let part = u128::from(left) * u128::from(thing.price) / u128::from(thing.mass);
            return value + part as u64;
        }
        value
    }

    fn fill_from(&mut self, from: usize) {
        for at in from..self.order.len() {
            let most = self.most(at);
            if most > 0 {
                self.take(at, most);
            }
        }
    }

    /// Gives one of the last place up that is worth it; the place after it.
    fn step_back(&mut self, end: &mut usize, worth: impl Fn(u64) -> bool) -> Option<usize> {
        while *end > 0 {
            let at = *end - 1;
            if self.counts[at] == 0 {
                *end = at;
                continue;
            }
            self.drop_one(at);
            if worth(self.bound_from(at + 1)) {
                return Some(at + 1);
            }
            // Fewer still would be worth even less.
            while self.counts[at] > 0 {
                self.drop_one(at);
            }
            *end = at;
        }
        None
    }

    fn load(&self) -> Load {
        let taken = self.order.iter().zip(&self.counts).filter(|(_, n)| **n > 0);
        let mut load: Load = taken.map(|(k, n)| (self.things[*k].link, *n)).collect();
        load.sort_unstable();
        load
    }

    /// The best load, or after so many nodes the best so far.
    pub fn best(mut self, nodes: u64) -> Found {
        self.fill_from(0);
        let mut found = Found { load: self.load(), value: self.value, bound: 0, nodes: 1 };
        let mut end = self.order.len();
        while let Some(next) = self.step_back(&mut end, |bound| bound > found.value) {
            found.nodes += 1;
            if found.nodes > nodes {
                // What is still open: this one, and one fewer of each before.
                found.bound = found.value.max(self.bound_from(next));
                for at in (0..next).rev() {
                    if self.counts[at] > 0 {
                        self.drop_one(at);
                        found.bound = found.bound.max(self.bound_from(at + 1));
                    }
                    while self.counts[at] > 0 {
                        self.drop_one(at);
                    }
                }
                return found;
            }
            self.fill_from(next);
            end = self.order.len();
            if self.value > found.value {
                found.value = self.value;
                found.load = self.load();
            }
        }
        found.bound = found.value;
        found
    }

    /// Every load of at least this price to which nothing can be added;
    /// nothing if there are more than `most`, or more nodes.
    pub fn all(mut self, least: u64, most: usize, nodes: u64) -> Option<Vec<Load>> {
        let mut loads = Vec::new();
        if self.bound_from(0) < least {
            return Some(loads);
        }
        let mut count = 0;
        self.fill_from(0);
        let mut end = self.order.len();
        loop {
            if self.value >= least && (0..self.order.len()).all(|at| self.most(at) == 0) {
                if loads.len() == most {
                    return None;
                }
                loads.push(self.load());
            }
            let Some(next) = self.step_back(&mut end, |bound| bound >= least) else {
                return Some(loads);
            };
            count += 1;
            if count > nodes {
                return None;
            }
            self.fill_from(next);
            end = self.order.len();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::{brute_force, every_load, sides, things};
    use super::*;

    #[test]
    fn the_best_load_is_that_of_brute_force() {
        for seed in 0..300 {
            let things = things(seed);
            let sides = sides(seed, things.len());
            for limit in [0, 5, 17, 40] {
                let best = brute_force(&things, &sides, limit);
                let found = Knapsack::new(&things, &sides, limit).best(u64::MAX);
                assert_eq!((found.value, found.bound), (best, best), "seed {seed}, limit {limit}");
                // Cut short it still bounds.
                for nodes in [1, 2, 5] {
                    let found = Knapsack::new(&things, &sides, limit).best(nodes);
                    assert!(found.value <= best && found.bound >= best, "seed {seed}");
                }
            }
        }
    }

    #[test]
    fn all_good_loads_are_those_of_brute_force() {
        for seed in 0..200 {
            let things = things(seed);
            let sides = sides(seed, things.len());
            let best = brute_force(&things, &sides, 25);
            let least = best - best / 4;
            let mut found = Knapsack::new(&things, &sides, 25).all(least, 9_999, 999_999).unwrap();
            let every = every_load(&things, &sides, 25);
            let room = |load: &Load| {
                every.iter().any(|other| {
                    other != load
                        && load.iter().all(|(l, n)| other.iter().any(|(m, k)| m == l && k >= n))
                })
            };
            let price = |load: &Load| -> u64 {
                load.iter().map(|(l, n)| things[l.0].price * u64::from(*n)).sum()
            };
            let mut want: Vec<Load> =
                every.iter().filter(|load| price(load) >= least && !room(load)).cloned().collect();
            found.sort();
            want.sort();
            assert_eq!(found, want, "seed {seed}");
        }
    }
}
