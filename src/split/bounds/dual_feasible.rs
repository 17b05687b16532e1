//! Dual-feasible functions: sizes are mapped so that what fits still fits, and
//! waste shows as too much in all.
//!
//! Each function here is superadditive and non-decreasing: what fits under a
//! limit has a sum of images of at most the image of the limit. So it holds for
//! limits that differ, with the largest as the scale (Fekete and Schepers 2001;
//! Carlier, Clautiaux and Moukrim 2007; survey: Clautiaux, Alves and Valério de
//! Carvalho 2010; all recalled, the property is tested below).

/// A function of sizes up to `scale`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DualFeasible {
    /// Below `least` nothing, above the scale less `least` the whole scale.
    Cut { least: u64 },
    /// Whole parts of one `parts + 1`-th of the scale, as `parts`-ths.
    Parts { parts: u64 },
    /// How often `size` goes in, twice; from above for what is over half.
    Multiples { size: u64 },
}

/// Scales are less than this, and parts at most [`MOST_PARTS`].
pub(super) const MOST_SCALE: u64 = 1 << 56;
const MOST_PARTS: usize = 30;

impl DualFeasible {
    /// `size ≤ scale`; the unit of the result is the function's own.
    pub fn of(self, size: u64, scale: u64) -> u64 {
        debug_assert!(size <= scale && scale < MOST_SCALE, "a size or scale too large");
        let (x, c) = (size, scale);
        match self {
            DualFeasible::Cut { least } if size < least => 0,
            DualFeasible::Cut { least } if size > scale - least => c,
            DualFeasible::Cut { .. } => x,
            DualFeasible::Parts { parts } => {
                let whole = (parts + 1) * x / c;
                if whole * c == (parts + 1) * x { parts * x } else { whole * c }
            }
            DualFeasible::Multiples { size } => {
                let d = size;
                match (2 * x).cmp(&c) {
                    std::cmp::Ordering::Less => 2 * (x / d),
                    std::cmp::Ordering::Equal => c / d,
                    std::cmp::Ordering::Greater => 2 * (c / d - (c - x) / d),
                }
            }
        }
    }
}

/// Functions worth trying for these sizes: about 3 · `each` of them.
pub(super) fn family(sizes: &[(u64, u64)], scale: u64, each: usize) -> Vec<DualFeasible> {
    let half: Vec<u64> = sizes.iter().map(|s| s.0).filter(|s| *s <= scale / 2).collect();
    // Evenly from all of them where there are many.
    let stride = half.len().div_ceil(each.max(1)).max(1);
    let picked = || half.iter().copied().step_by(stride);
    let cuts = picked().map(|least| DualFeasible::Cut { least });
    let parts = (1..=each.min(MOST_PARTS) as u64).map(|parts| DualFeasible::Parts { parts });
    let over = sizes.iter().map(|s| s.0).filter(|s| *s < scale && *s > scale / 2);
    let over: Vec<u64> = over.map(|s| scale - s).filter(|s| *s <= scale / 2).collect();
    let over_stride = over.len().div_ceil(each.max(1)).max(1);
    let multiples = picked().chain(over.into_iter().step_by(over_stride));
    cuts.chain(parts).chain(multiples.map(|size| DualFeasible::Multiples { size })).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Superadditive, never falling and nothing for nothing, for every scale up
    /// to 60 and every parameter: this is what makes the bounds true.
    #[test]
    fn they_are_superadditive_and_never_fall() {
        for scale in 1..=60u64 {
            let cuts = (1..=scale / 2).map(|least| DualFeasible::Cut { least });
            let parts = (1..=8).map(|parts| DualFeasible::Parts { parts });
            let multiples = (1..=scale / 2).map(|size| DualFeasible::Multiples { size });
            for f in cuts.chain(parts).chain(multiples) {
                assert_eq!(f.of(0, scale), 0, "{f:?} at 0");
                for a in 0..=scale {
                    assert!(a == 0 || f.of(a, scale) >= f.of(a - 1, scale), "{f:?} falls at {a}");
                    for b in 0..=scale - a {
                        let (x, y) = (f.of(a, scale), f.of(b, scale));
                        assert!(x + y <= f.of(a + b, scale), "{f:?}: {a} + {b} of {scale}");
                    }
                }
            }
        }
    }
}
