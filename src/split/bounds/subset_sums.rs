//! Subset sums: which loads whole things can make at all (Martello and Toth
//! 1990, chapter 4), separately for each number of large ones among them.

use super::units::Units;

/// The longest table, in steps of mass.
const MOST_STEPS: u64 = 1 << 21;

/// Sums of mass that units can make, as sets of bits.
pub(super) struct SubsetSums {
    /// mg of one bit.
    step: u64,
    /// By number of large units: the sums that can be had.
    rows: Vec<Vec<u64>>,
}

impl SubsetSums {
    /// All sums up to `most` mg. `large` of the heaviest whole kinds count as
    /// large; up to `rows` of them are distinguished. A carrier may have one end of
    /// one pair beside whole things. Takes its work off `work`; `None` if that
    /// is not enough.
    pub fn new(
        units: &Units,
        large: usize,
        rows: usize,
        most: u64,
        work: &mut u64,
    ) -> Option<Self> {
        let step = units.step();
        let top = most / step;
        let (big, small) = units.whole.split_at(large);
        let small = || {
            let paired = units.paired.iter().map(|p| (p.mass, p.count));
            small.iter().copied().chain(paired)
        };
        let words = top / 64 + 1;
        // A single unit more than fits is never there.
        let fitting = |(m, n): (u64, u64)| n.min(most / m);
        let lots: u64 = small().map(|u| u64::from(64 - fitting(u).leading_zeros())).sum();
        let singles: u64 = big.iter().map(|u| fitting(*u)).sum();
        let ends: u64 = 2 * units.paired.len() as u64;
        let asked = (lots + ends + singles.saturating_mul(rows as u64)).saturating_mul(words);
        if top > MOST_STEPS || asked > *work {
            return None;
        }
        *work -= asked;
        let words = words as usize;
        let mut none = vec![0u64; words];
        none[0] = 1;
        for (mass, n) in small() {
            // So many alike as lots of 1, 2, 4 … and the rest.
            let (mut left, mut lot) = (fitting((mass, n)), 1);
            while left > 0 {
                let take = lot.min(left);
                let before = none.clone();
                or_shifted(&mut none, &before, mass / step * take);
                left -= take;
                lot *= 2;
            }
        }
        let alone = none.clone();
        for p in &units.paired {
            p.ends.iter().for_each(|end| or_shifted(&mut none, &alone, end / step));
        }
        let mut all = vec![vec![0u64; words]; rows + 1];
        all[0] = none;
        for &(mass, n) in big {
            for _ in 0..fitting((mass, n)) {
                for j in (1..=rows).rev() {
                    let (fewer, more) = all.split_at_mut(j);
                    or_shifted(&mut more[0], &fewer[j - 1], mass / step);
                }
            }
        }
        // Bits past the end are no sums.
        let last = top % 64;
        let mask = if last == 63 { u64::MAX } else { (1 << (last + 1)) - 1 };
        all.iter_mut().for_each(|row| row[words - 1] &= mask);
        Some(SubsetSums { step, rows: all })
    }

    /// The least sum of at least `kit` mg without large units, if the table goes
    /// so far.
    pub fn least(&self, kit: u64) -> Option<u64> {
        let row = self.rows.first()?;
        let bit = kit.div_ceil(self.step);
        let from = usize::try_from(bit / 64).ok()?;
        let first = row.get(from)? & (u64::MAX << (bit % 64));
        let rest = row.iter().enumerate().skip(from + 1).map(|(w, bits)| (w, *bits));
        let (word, bits) = std::iter::once((from, first)).chain(rest).find(|(_, b)| *b > 0)?;
        Some((word as u64 * 64 + u64::from(bits.trailing_zeros())) * self.step)
    }

    /// The largest sum of at most `cap` mg with exactly so many large units.
    pub fn largest(&self, large: usize, cap: u64) -> Option<u64> {
        let row = self.rows.get(large)?;
        let bit = cap / self.step;
        let last = row.len() - 1;
        let (mut word, mut bits) = match usize::try_from(bit / 64) {
            Ok(word) if word <= last => {
                let up_to = bit % 64;
                let mask = if up_to == 63 { u64::MAX } else { (1 << (up_to + 1)) - 1 };
                (word, row[word] & mask)
            }
            _ => (last, row[last]),
        };
        while bits == 0 {
            word = word.checked_sub(1)?;
            bits = row[word];
        }
        let top = word as u64 * 64 + u64::from(63 - bits.leading_zeros());
        Some(top * self.step)
    }
}

/// `to |= from << by`.
fn or_shifted(to: &mut [u64], from: &[u64], by: u64) {
    let Ok(words) = usize::try_from(by / 64) else { return };
    let bits = by % 64;
    if words >= to.len() {
        return;
    }
    if bits == 0 {
        to[words..].iter_mut().zip(from).for_each(|(t, f)| *t |= f);
        return;
    }
    let mut carry = 0;
    for (t, f) in to[words..].iter_mut().zip(from) {
        *t |= f << bits | carry;
        carry = f >> (64 - bits);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bounds::units::Paired;

    fn whole(units: &[(u64, u64)]) -> Units {
        Units { whole: units.to_vec(), ..Units::default() }
    }

    /// Every subset, tried one by one, of 14 things of 12 masses.
    #[test]
    fn sums_are_those_of_all_subsets() {
        let units = whole(&[(970, 2), (640, 1), (410, 2), (390, 1), (130, 3), (70, 2)]);
        let singles: Vec<(u64, bool)> = units
            .whole
            .iter()
            .flat_map(|&(m, n)| std::iter::repeat_n((m, m >= 640), n as usize))
            .collect();
        let sums = SubsetSums::new(&units, 2, 3, 4_000, &mut 1_000_000).expect("small");
        for cap in (0..=4_000).step_by(7) {
            for large in 0..=3 {
                let mut best = None;
                for set in 0u32..1 << singles.len() {
                    let taken = || singles.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1);
                    let sum: u64 = taken().map(|(_, s)| s.0).sum();
                    let count = taken().filter(|(_, s)| s.1).count();
                    if sum <= cap && count == large {
                        best = best.max(Some(sum));
                    }
                }
                assert_eq!(sums.largest(large, cap), best, "cap {cap}, {large} large");
            }
            // The first sum from here on that is its own largest.
            let next = (cap..=4_000).find(|kit| sums.largest(0, *kit) == Some(*kit));
            assert_eq!(sums.least(cap), next, "from {cap}");
        }
    }

    #[test]
    fn one_end_of_one_pair_may_be_there() {
        let units = Units {
            whole: vec![(50, 1)],
            paired: vec![Paired { mass: 90, ends: [60, 30], count: 2 }],
            pairs: 1,
        };
        let sums = SubsetSums::new(&units, 0, 0, 300, &mut 100_000).expect("small");
        assert_eq!(sums.largest(0, 49), Some(30));
        assert_eq!(sums.largest(0, 89), Some(80));
        assert_eq!(sums.largest(0, 119), Some(110));
        // Never two ends.
        assert_eq!(sums.largest(0, 60), Some(60));
        assert_eq!(sums.largest(0, 300), Some(290));
    }

    #[test]
    fn what_costs_too_much_is_not_tried() {
        assert!(
            SubsetSums::new(&whole(&[(1_000_003, 1), (7, 1)]), 0, 0, u64::MAX / 2, &mut 1_000)
                .is_none()
        );
    }
}
