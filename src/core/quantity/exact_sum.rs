//! Fractions added up exactly, and rounded up once.

/// A sum of fractions that are not negative. Nothing is lost on the way: three
/// thirds are one.
#[derive(Debug, Clone, Default)]
pub struct ExactSum {
    whole: u128,
    /// What is left of each denominator: (numerator, denominator), the
    /// numerator less than the denominator, no denominator twice.
    rests: Vec<(u64, u64)>,
}

impl ExactSum {
    /// Adds `numerator / denominator`; a denominator of zero is taken for one.
    pub fn add(&mut self, numerator: u128, denominator: u64) {
        let d = denominator.max(1);
        let (times, rest) = split(numerator, d);
        self.whole = self.whole.saturating_add(times);
        match self.rests.iter_mut().find(|r| r.1 == d) {
            Some(r) => {
                let (times, rest) = split(u128::from(r.0) + u128::from(rest), d);
                self.whole = self.whole.saturating_add(times);
                r.0 = rest;
            }
            None => self.rests.push((rest, d)),
        }
    }

    /// The least whole number that is not below the sum, at most `u64::MAX`.
    pub fn ceil(&self) -> u64 {
        let most = self.rests.len() as u64;
        let up = (0..most).find(|n| !self.rests_pass(*n)).unwrap_or(most);
        u64::try_from(self.whole.saturating_add(up.into())).unwrap_or(u64::MAX)
    }

    /// Whether the rests together are more than `n`, decided digit by digit of base
    /// 2^64, since a common denominator may have more digits than any number
    /// here. The sum is a multiple of one over that denominator, so digits as
    /// many as there are rests tell it from `n`, and one more from all else.
    fn rests_pass(&self, n: u64) -> bool {
        let mut rests = self.rests.clone();
        // What the digits that were not looked at yet have to be more than.
        let mut over = i128::from(n);
        for _ in 0..=rests.len() + 1 {
            if over < 0 || over == 0 && rests.iter().any(|r| r.0 > 0) {
                return true;
            }
            if over >= rests.len() as i128 {
                return false;
            }
            over <<= 64;
            for (rest, d) in &mut rests {
                let (digit, left) = split(u128::from(*rest) << 64, *d);
                over -= digit as i128;
                *rest = left;
            }
        }
        false
    }
}

/// How often `by` is in it, and what is left.
fn split(numerator: u128, by: u64) -> (u128, u64) {
    let by = u128::from(by);
    // Less than `by`, which has 64 bits.
    (numerator / by, (numerator % by) as u64)
}
