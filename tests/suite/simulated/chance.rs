//! Chance from one seed: SplitMix64 (Steele, Lea and Flood 2014, figure 17), which is enough for trials.

#[derive(Debug, Clone)]
pub(super) struct Chance(u64);

impl Chance {
    pub(super) const fn of(seed: u64) -> Self {
        Self(seed)
    }

    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// One of the numbers below `n`.
    pub(super) fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    /// True once in `n` times.
    pub(super) fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    pub(super) fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        let place = self.below(all.len().try_into().unwrap());
        all[usize::try_from(place).unwrap()]
    }

    /// About normal, with mean 0 and standard deviation 1: twelve even numbers from 0 to 1, less 6.
    pub(super) fn normal(&mut self) -> f64 {
        let even = |bits: u64| f64::from(u32::try_from(bits >> 32).unwrap()) / f64::from(u32::MAX);
        (0..12).map(|_| even(self.next())).sum::<f64>() - 6.0
    }
}
