//! Random choices that are the same on every machine and in every version:
//! splitmix64 (Steele, Lea and Flood 2014), seeded by the caller.

#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Random(seed)
    }
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
    /// Below `n`, which is over zero. The bias is below 2^-32 for any kit.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.next()) * n as u128) >> 64) as usize
    }
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for k in (1..items.len()).rev() {
            items.swap(k, self.below(k + 1));
        }
    }
}
