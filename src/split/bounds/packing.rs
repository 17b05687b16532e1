//! Whether units fit under limits at all: classical bin-packing tests, each of
//! which can only show that they do not. They know mass or bulk alone, and
//! whole units.

use super::dual_feasible::{DualFeasible, MOST_SCALE, family};

/// Kinds that one test looks at, where there are more.
const MOST_KINDS: usize = 64;
/// Sizes mapped in one test, about, and functions of each kind at least.
const MOST_WORK: usize = 20_000;
const LEAST_FUNCTIONS: usize = 6;

/// Why units do not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Misfit {
    /// All of them together are more than all limits together.
    Sum { size: u64, limits: u64 },
    /// `units` are of `size` or more, and only `fit` such fit.
    Many { units: u64, size: u64, fit: u64 },
    /// Whole units leave gaps: those of `size` or more show it.
    Gaps { size: u64 },
}

/// Sizes and limits, made ready for the tests.
pub(super) struct Packing {
    /// (size, how many), largest first.
    units: Vec<(u64, u64)>,
    /// By kind: units of it and of larger ones.
    counts: Vec<u64>,
    /// Size of all kinds before each, and of all.
    before: Vec<u64>,
}

impl Packing {
    /// Units as (size, how many), largest first, one entry a size.
    pub fn new(units: Vec<(u64, u64)>) -> Self {
        let mut sum = 0u64;
        let count = |u: &(u64, u64)| {
            sum = sum.saturating_add(u.1);
            sum
        };
        let counts = units.iter().map(count).collect();
        let mut before = vec![0u64];
        for (size, n) in &units {
            before.push(before[before.len() - 1].saturating_add(size.saturating_mul(*n)));
        }
        Packing { units, counts, before }
    }

    /// Why they do not fit under these limits; `None` if no test shows it.
    pub fn misfit(&self, limits: &[u64]) -> Option<Misfit> {
        let mut caps: Vec<(u64, u64)> = limits.iter().map(|c| (*c, 1)).collect();
        caps.sort_unstable_by(|a, b| b.cmp(a));
        caps.dedup_by(|b, a| {
            let same = a.0 == b.0;
            a.1 += u64::from(same);
            same
        });
        self.sum(&caps).or_else(|| self.many(&caps)).or_else(|| self.gaps(&caps))
    }

    fn sum(&self, caps: &[(u64, u64)]) -> Option<Misfit> {
        let total = |of: &[(u64, u64)]| {
            of.iter().map(|(s, n)| s.saturating_mul(*n)).fold(0, u64::saturating_add)
        };
        let (size, limits) = (total(&self.units), total(caps));
        (size > limits).then_some(Misfit::Sum { size, limits })
    }

    /// Of the units of some size and more, the smallest fill each carrier first:
    /// on limits all alike this is the bound of k + 1 units on one of them.
    fn many(&self, caps: &[(u64, u64)]) -> Option<Misfit> {
        let stride = self.units.len().div_ceil(MOST_KINDS).max(1);
        for k in (0..self.units.len()).step_by(stride) {
            let all = self.counts[k];
            let mut fit = 0u64;
            for &(cap, n) in caps {
                fit = fit.saturating_add(self.most(k, cap).saturating_mul(n));
                if fit >= all {
                    break;
                }
            }
            if fit < all {
                return Some(Misfit::Many { units: all, size: self.units[k].0, fit });
            }
        }
        None
    }

    /// The most units of kind `k` or larger that fit under one limit.
    fn most(&self, k: usize, cap: u64) -> u64 {
        // The kinds from `from` to `k` all fit, and of the one before some.
        let end = self.before[k + 1];
        let from = self.before[..=k + 1].partition_point(|b| end - b > cap);
        let whole = self.counts[k] - if from == 0 { 0 } else { self.counts[from - 1] };
        match from.checked_sub(1).map(|i| self.units[i].0) {
            Some(size) => whole + (cap - (end - self.before[from])) / size,
            None => whole,
        }
    }

    fn gaps(&self, caps: &[(u64, u64)]) -> Option<Misfit> {
        let scale = caps.first()?.0;
        let largest = self.units.first()?.0;
        if largest > scale || scale == 0 {
            return Some(Misfit::Many { units: self.counts[0], size: largest, fit: 0 });
        }
        if scale >= MOST_SCALE {
            return None;
        }
        // As many functions as the sizes leave work for.
        let each = MOST_WORK / (self.units.len() + caps.len()) / 3;
        let each = each.clamp(LEAST_FUNCTIONS, MOST_KINDS);
        let least = |f| {
            let of = |sizes: &[(u64, u64)]| {
                let each = sizes
                    .iter()
                    .map(|(s, n)| u128::from(DualFeasible::of(f, *s, scale)) * u128::from(*n));
                each.fold(0u128, u128::saturating_add)
            };
            // The smallest unit that counts for anything.
            let counts = |s: &&(u64, u64)| DualFeasible::of(f, s.0, scale) > 0;
            let smallest = self.units.iter().rev().find(counts).map_or(0, |s| s.0);
            (of(&self.units) > of(caps)).then_some(smallest)
        };
        family(&self.units, scale, each)
            .into_iter()
            .find_map(least)
            .map(|size| Misfit::Gaps { size })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bounds::units::merged;

    fn packing(sizes: &[u64]) -> Packing {
        Packing::new(merged(sizes.iter().map(|s| (*s, 1)).collect()))
    }

    /// The fewest bins of a size for which no test shows a misfit.
    fn least_bins(sizes: &[u64], size: u64) -> usize {
        let packing = packing(sizes);
        (0..).find(|&m| packing.misfit(&vec![size; m]).is_none()).expect("one each will do")
    }

    /// The first is the example of Martello and Toth 1990, chapter 8, from
    /// memory: L1 = 3 by sums, L2 = 4, the optimum 4. The others are computed
    /// here.
    #[test]
    fn bins_are_more_than_sums_say() {
        assert_eq!(least_bins(&[70, 60, 50, 33, 33, 33, 11, 7, 3], 100), 4);
        // Items of over half a bin take one each, whatever their sum.
        assert_eq!(least_bins(&[51, 51, 51, 51, 51], 100), 5);
        // Three of 34 do not go together: the third part of 100 is 33.
        assert_eq!(least_bins(&[34; 9], 100), 5);
        // Nothing goes beside 61, and of 40 two go together.
        assert_eq!(least_bins(&[61, 61, 40, 40, 40, 40, 40], 100), 5);
    }

    /// Every assignment tried: a misfit is found only where nothing fits, and
    /// in most of such cases.
    #[test]
    fn misfits_are_true() {
        let mut seed = 5u64;
        let mut below = |n: u64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % n
        };
        let (mut found, mut none) = (0, 0);
        for _ in 0..4_000 {
            let sizes: Vec<u64> = (0..5 + below(3)).map(|_| 5 + below(40)).collect();
            let caps: Vec<u64> = (0..2 + below(2)).map(|_| 30 + below(70)).collect();
            let fits = (0..caps.len().pow(sizes.len() as u32)).any(|mut code| {
                let mut left = caps.clone();
                sizes.iter().all(|s| {
                    let bin = code % caps.len();
                    code /= caps.len();
                    let ok = left[bin] >= *s;
                    left[bin] = left[bin].saturating_sub(*s);
                    ok
                })
            });
            let misfit = packing(&sizes).misfit(&caps);
            assert!(!(fits && misfit.is_some()), "{sizes:?} fit in {caps:?}: {misfit:?}");
            none += u32::from(!fits);
            found += u32::from(misfit.is_some());
        }
        assert!(found * 10 > none * 8, "{found} of {none} found");
    }
}
