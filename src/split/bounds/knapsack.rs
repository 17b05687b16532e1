//! One knapsack: what the best choice of units is worth at most.

use super::steps::gcd;

/// Steps that the dynamic program may take.
const MOST_STEPS: u64 = 4_000_000;
/// Rounded masses are at least so many steps of the coarser scale, or it is too
/// coarse to say anything.
const LEAST_DIGITS: u64 = 8;

/// So many units of one size, each worth the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lot {
    pub size: u64,
    pub value: u64,
    pub count: u64,
}

/// The fractional bound: no choice of units within the capacity is worth more
/// (Dantzig 1957).
pub(super) fn cut(lots: &[Lot], capacity: u64) -> u64 {
    let mut lots: Vec<&Lot> = lots.iter().collect();
    // The most value for the size first.
    lots.sort_by(|a, b| {
        let side = |x: &Lot, y: &Lot| u128::from(x.value) * u128::from(y.size);
        side(b, a).cmp(&side(a, b)).then(a.size.cmp(&b.size))
    });
    let (mut left, mut worth) = (capacity, 0u64);
    for lot in lots {
        let whole = left.checked_div(lot.size).map_or(lot.count, |n| n.min(lot.count));
        worth = worth.saturating_add(lot.value.saturating_mul(whole));
        left -= whole * lot.size;
        if whole < lot.count {
            let part = u128::from(lot.value) * u128::from(left) / u128::from(lot.size);
            return worth.saturating_add(u64::try_from(part).unwrap_or(u64::MAX));
        }
    }
    worth
}

/// The same with whole units, by dynamic programming on sizes; on a coarser
/// scale, sizes rounded down, where they are too fine for that.
pub(super) fn whole(lots: &[Lot], capacity: u64) -> u64 {
    let relaxed = cut(lots, capacity);
    let fits = |l: &&Lot| l.count > 0 && l.size <= capacity;
    let lots: Vec<&Lot> = lots.iter().filter(fits).collect();
    let all: u64 = lots.iter().map(|l| l.size.saturating_mul(l.count)).fold(0, u64::saturating_add);
    if all <= capacity {
        let worth = lots.iter().map(|l| l.value.saturating_mul(l.count));
        return worth.fold(0, u64::saturating_add).min(relaxed);
    }
    let step = lots.iter().map(|l| l.size).fold(0, gcd).max(1);
    let parts: u64 = lots.iter().map(|l| u64::from(64 - l.count.leading_zeros())).sum();
    let exact = (capacity / step).saturating_add(1).saturating_mul(parts);
    let coarser = exact.div_ceil(MOST_STEPS).max(1);
    let step = step.saturating_mul(coarser);
    let smallest = lots.iter().map(|l| l.size).filter(|s| *s > 0).min().unwrap_or(0);
    if coarser > 1 && smallest / step < LEAST_DIGITS {
        return relaxed;
    }
    let top = (capacity / step) as usize;
    let mut best = vec![0u64; top + 1];
    for lot in lots {
        let size = (lot.size / step) as usize;
        // So many alike as parts of 1, 2, 4 … and the rest.
        let (mut left, mut part) = (lot.count, 1);
        while left > 0 {
            let take = left.min(part);
            let value = lot.value.saturating_mul(take);
            if let Some(size) = size.checked_mul(take as usize).filter(|s| *s <= top) {
                for at in (size..=top).rev() {
                    best[at] = best[at].max(best[at - size].saturating_add(value));
                }
            }
            left -= take;
            part *= 2;
        }
    }
    best[top].min(relaxed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lots(of: &[(u64, u64, u64)]) -> Vec<Lot> {
        of.iter().map(|&(size, value, count)| Lot { size, value, count }).collect()
    }

    /// Martello and Toth 1990, chapter 2, from memory: the optimum is 107, and
    /// here the bound of cut units is that too.
    #[test]
    fn a_published_knapsack() {
        let values = [70, 20, 39, 37, 7, 5, 10];
        let sizes = [31, 10, 20, 19, 4, 3, 6];
        let lots: Vec<Lot> =
            sizes.iter().zip(values).map(|(&size, value)| Lot { size, value, count: 1 }).collect();
        assert_eq!((cut(&lots, 50), whole(&lots, 50)), (107, 107));
    }

    /// Every choice tried, sizes with and without a common step.
    #[test]
    fn whole_units_are_those_of_enumeration() {
        let of = lots(&[(30, 7, 2), (50, 13, 1), (20, 4, 3), (70, 20, 1), (0, 3, 2)]);
        for capacity in 0..=320 {
            let mut best = 0;
            for a in 0..=2u64 {
                for b in 0..=1u64 {
                    for c in 0..=3u64 {
                        for d in 0..=1u64 {
                            if 30 * a + 50 * b + 20 * c + 70 * d <= capacity {
                                best = best.max(7 * a + 13 * b + 4 * c + 20 * d + 6);
                            }
                        }
                    }
                }
            }
            assert_eq!(whole(&of, capacity), best, "capacity {capacity}");
            assert!(cut(&of, capacity) >= best);
        }
    }

    /// On a coarser scale it is a bound still.
    #[test]
    fn a_coarser_scale_never_says_too_little() {
        let fine = lots(&[(900_000_007, 7, 2), (500_000_003, 4, 2), (700_000_001, 6, 1)]);
        // 500 000 003 + 700 000 001 + 900 000 007 fit exactly: 4 + 6 + 7.
        assert!(whole(&fine, 2_100_000_011) >= 17);
        assert!(whole(&fine, 2_100_000_010) <= 17);
    }
}
