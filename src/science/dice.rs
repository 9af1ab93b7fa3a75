//! Reproducible chance: the same seed gives the same numbers on every machine.

use std::f64::consts::TAU;

/// Degrees of freedom of [`Dice::heavy_tailed`].
const T_FREEDOM: i32 = 5;

/// The generator SplitMix64. Its constants and steps are those of Steele, Lea & Flood, Fast splittable pseudorandom number
/// generators, OOPSLA 2014, 453-472, with the mixing variant 13 of Stafford that Java's `SplittableRandom` has.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice that begin at a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Dice for one of many independent purposes: any change of the name or of a number gives another sequence.
    pub fn named(seed: u64, name: &str, numbers: &[i64]) -> Self {
        let bytes = name.bytes().map(u64::from);
        let numbers = numbers.iter().map(|number| number.cast_unsigned());
        let mut dice = Self(seed);
        for part in bytes.chain(numbers) {
            dice.0 = dice.bits() ^ part;
        }
        dice
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `n`, by the upper half of a product (Lemire, Fast random integer generation in an interval, ACM
    /// Trans. Model. Comput. Simul. 29, 2019); some numbers are likelier than others by one part in 2^64/n.
    pub fn below(&mut self, n: usize) -> usize {
        let wide = u64::try_from(n).map_or(0, |n| u128::from(self.bits()) * u128::from(n));
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// An even share strictly between 0 and 1, in steps of 2^-32.
    fn share(&mut self) -> f64 {
        let steps = u32::try_from(self.bits() >> 32).unwrap_or(0);
        (f64::from(steps) + 0.5) / 4_294_967_296.0
    }

    /// A standard normal deviate, from two even shares (Box & Muller, A note on the generation of random normal deviates,
    /// Ann. Math. Stat. 29, 1958, 610-611).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.share().ln()).sqrt();
        radius * (TAU * self.share()).cos()
    }

    /// A deviate of Student's t with five degrees of freedom, scaled to standard deviation 1: by its definition a normal
    /// deviate over the root of a mean of five squared ones, whose variance is 5/3.
    pub fn heavy_tailed(&mut self) -> f64 {
        let freedom = f64::from(T_FREEDOM);
        let normal = self.normal();
        let squares: f64 = (0..T_FREEDOM).map(|_| self.normal().powi(2)).sum();
        normal / (squares / freedom).sqrt() * ((freedom - 2.0) / freedom).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::count;

    fn moments(draw: impl FnMut() -> f64) -> (f64, f64, f64) {
        let n = 40_000;
        let drawn: Vec<f64> = std::iter::repeat_with(draw).take(n).collect();
        let power = |k: i32| drawn.iter().map(|x| x.powi(k)).sum::<f64>() / count(n);
        let far = drawn.iter().filter(|x| x.abs() > 3.0).count();
        (power(1), power(2), count(far) / count(n))
    }

    #[test]
    fn normal_deviates_have_the_moments_of_the_law() {
        let mut dice = Dice::new(1);
        let (mean, square, far) = moments(|| dice.normal());
        // Beyond 3 lie 0.0027 (Abramowitz & Stegun 1964, table 26.1). Four standard errors of 40,000 draws.
        assert!(
            mean.abs() < 0.02 && (square - 1.0).abs() < 0.03,
            "{mean} {square}"
        );
        assert!((far - 0.0027).abs() < 0.0011, "{far}");
    }

    #[test]
    fn heavy_tails_have_the_same_variance_and_more_far_out() {
        let mut dice = Dice::new(1);
        let (mean, square, far) = moments(|| dice.heavy_tailed());
        // P(|t5| > 3 sqrt(5/3) = 3.873) = 0.01173, by the closed form of the t law with five degrees of freedom.
        assert!(
            mean.abs() < 0.02 && (square - 1.0).abs() < 0.08,
            "{mean} {square}"
        );
        assert!((far - 0.01173).abs() < 0.0022, "{far}");
    }

    #[test]
    fn every_name_and_number_has_its_own_sequence() {
        let first = |seed, name, numbers: &[i64]| Dice::named(seed, name, numbers).bits();
        let all = [
            first(1, "a", &[1]),
            first(2, "a", &[1]),
            first(1, "b", &[1]),
            first(1, "a", &[2]),
            first(1, "a", &[1, 2]),
            first(1, "a", &[2, 1]),
        ];
        let different: std::collections::BTreeSet<_> = all.iter().collect();
        assert_eq!(different.len(), all.len());
        assert_eq!(first(1, "a", &[1]), first(1, "a", &[1]));
    }
}
