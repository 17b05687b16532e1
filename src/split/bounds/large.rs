//! How many of the large units each carrier has, and what it can bear then.
//!
//! Whole things leave gaps: a carrier with four large ones has room for half
//! of another. With so many large ones on each carrier as there are in all, and
//! each filled as far as sums of whole masses allow, all that goes must be borne;
//! where even the best choice of those numbers does not come to that, there is
//! no packing. With no large ones it is the subset-sum bound on every carrier.

use super::subset_sums::SubsetSums;
use super::units::Units;

/// The longest dynamic program, in steps.
const MOST_STEPS: u64 = 200_000;

/// Units, those of some mass or more apart from the rest.
pub(super) struct Large {
    /// Large units in all.
    count: usize,
    /// mg of the lightest and the heaviest so many of them.
    lightest: Vec<u64>,
    heaviest: Vec<u64>,
    /// mg of all the rest, both ends of pairs counted.
    rest: u64,
    /// mg that have to be borne.
    mass: u64,
    /// The largest limit that tables answer for.
    top: u64,
    sums: Option<SubsetSums>,
}

impl Large {
    /// The `kinds` heaviest whole kinds are large. `mass` is to be borne, of
    /// these units or, at most, of all of them. `most` is the largest limit that
    /// will be asked about; `work` what tables may still cost.
    pub fn new(units: &Units, kinds: usize, mass: u64, most: u64, work: &mut u64) -> Option<Self> {
        let (big, small) = units.whole.split_at(kinds);
        let count = big.iter().map(|(_, n)| *n).fold(0, u64::saturating_add);
        let count = usize::try_from(count).ok().filter(|n| *n <= 50_000)?;
        let sums = |of: &mut dyn Iterator<Item = &(u64, u64)>| {
            let mut sums = vec![0u64];
            for &(m, n) in of {
                (0..n).for_each(|_| sums.push(sums[sums.len() - 1].saturating_add(m)));
            }
            sums
        };
        let heaviest = sums(&mut big.iter());
        let lightest = sums(&mut big.iter().rev());
        let small = small.iter().map(|(m, n)| m.saturating_mul(*n));
        let paired = units.paired.iter().map(|p| {
            let ends = p.ends[0].saturating_add(p.ends[1]);
            ends.max(p.mass).saturating_mul(p.count)
        });
        let rest = small.chain(paired).fold(0, u64::saturating_add);
        // Nobody bears more than all there is.
        let all = heaviest[count].saturating_add(rest);
        let top = if most >= all { u64::MAX } else { most };
        let rows = lightest.partition_point(|s| *s <= most.min(all)) - 1;
        let sums = SubsetSums::new(units, kinds, rows, most.min(all), work);
        Some(Large { count, lightest, heaviest, rest, mass, top, sums })
    }

    /// Large units that a carrier can have at most.
    fn most(&self, cap: u64) -> usize {
        self.lightest.partition_point(|s| *s <= cap) - 1
    }

    /// mg that a carrier bears at most with so many large ones.
    fn load(&self, large: usize, cap: u64) -> Option<u64> {
        if self.lightest[large] > cap {
            return None;
        }
        let cap = cap.min(self.heaviest[large].saturating_add(self.rest));
        self.sums.as_ref().map_or(Some(cap), |sums| sums.largest(large, cap))
    }

    /// The most that a carrier can have of mass and `extra` for each large unit.
    pub fn filled(&self, cap: u64, extra: u64) -> u64 {
        if cap > self.top {
            return u64::MAX;
        }
        let each = (0..=self.most(cap)).filter_map(|j| Some((j as u64, self.load(j, cap)?)));
        let each = each.map(|(j, load)| load.saturating_add(extra.saturating_mul(j)));
        each.max().unwrap_or(0)
    }

    /// mg that carriers with these limits bear at most.
    fn borne(&self, caps: &[u64]) -> Borne {
        let m = caps.len();
        if caps.iter().any(|c| *c > self.top) {
            return Borne::Unknown;
        }
        let most: Vec<usize> = caps.iter().map(|c| self.most(*c)).collect();
        // Large ones that the carriers from here on can have.
        let mut after = vec![0usize; m + 1];
        (0..m).rev().for_each(|b| after[b] = after[b + 1] + most[b]);
        if after[0] < self.count {
            return Borne::LargeLeft;
        }
        let mut before = vec![0usize; m + 1];
        (0..m).for_each(|b| before[b + 1] = before[b] + most[b]);
        // Of the large ones, those that the carriers before have.
        let window = |b: usize| (self.count.saturating_sub(after[b]), self.count.min(before[b]));
        let steps = |pool: usize| {
            let each = (0..m).map(|b| {
                let (low, high) = window(b);
                (high.saturating_sub(low) + 1) as u64 * (most[b] as u64 + 1) * pool as u64
            });
            each.fold(0, u64::saturating_add)
        };
        // Carriers that could bear all small ones beside their large ones are
        // pooled: they have the heaviest large ones and the rest but once.
        let pooled = self.count > 0 && steps(self.count + 2) <= MOST_STEPS;
        if !pooled && steps(1) > MOST_STEPS {
            return Borne::Unknown;
        }
        let width = if pooled { self.count + 2 } else { 1 };
        let none = -1i64;
        let mut best = vec![none; (self.count + 1) * width];
        best[0] = 0;
        for b in 0..m {
            let loads: Vec<(Option<i64>, bool)> = (0..=most[b])
                .map(|j| {
                    let load = self.load(j, caps[b]).map(|l| l.min(1 << 62) as i64);
                    let free = self.heaviest[j].saturating_add(self.rest) <= caps[b];
                    (load, pooled && free)
                })
                .collect();
            let (from, to) = window(b);
            let (low, high) = window(b + 1);
            let mut next = vec![none; best.len()];
            for x in from..=to {
                for q in 0..width {
                    let so_far = best[x * width + q];
                    if so_far < 0 {
                        continue;
                    }
                    for (j, &(load, free)) in loads.iter().enumerate() {
                        let to = x + j;
                        if to < low || to > high {
                            continue;
                        }
                        let (pool, load) = match (free, load) {
                            (true, _) => (q.max(1) + j, 0),
                            (false, Some(load)) => (q, load),
                            (false, None) => continue,
                        };
                        let slot = &mut next[to * width + pool];
                        *slot = (*slot).max(so_far.saturating_add(load));
                    }
                }
            }
            best = next;
        }
        let pool =
            |q: usize| if q == 0 { 0 } else { self.heaviest[q - 1].saturating_add(self.rest) };
        let last = &best[self.count * width..];
        let all = last.iter().enumerate().filter(|(_, v)| **v >= 0);
        let all = all.map(|(q, v)| (*v as u64).saturating_add(pool(q)));
        all.max().map_or(Borne::LargeLeft, Borne::AtMost)
    }

    /// Whether carriers with these limits for kit cannot bear it all.
    pub fn too_small(&self, caps: &[u64]) -> bool {
        match self.borne(caps) {
            Borne::Unknown => false,
            Borne::LargeLeft => true,
            Borne::AtMost(mass) => mass < self.mass,
        }
    }
}

/// What carriers can bear.
enum Borne {
    Unknown,
    /// Not even all the large ones.
    LargeLeft,
    AtMost(u64),
}
