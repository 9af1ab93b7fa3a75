//! The limits between which a share lies.

use crate::units::count;

/// The standard normal deviate that 2.5 of 100 exceed.
const Z_95: f64 = 1.959_963_984_540_054;

/// Limits that hold a figure with 95 % confidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
}

/// The 95 % limits of a share of which `hits` in `n` were seen.
///
/// - Shape: two counts.
/// - Unit: 1.
/// - Domain: at least one case, no more hits than cases; otherwise no number.
/// - Accuracy: exact by formula; holds the share in about 95 of 100 series of independent cases.
/// - Source: Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22, 1927,
///   209-212.
pub fn wilson(hits: usize, n: usize) -> Option<Limits> {
    if n == 0 || hits > n {
        return None;
    }
    let share = count(hits) / count(n);
    let z2_per_n = Z_95 * Z_95 / count(n);
    let centre = share + z2_per_n / 2.0;
    let half = (z2_per_n * (share * (1.0 - share) + z2_per_n / 4.0)).sqrt();
    // Rounding must not push the share out of its own limits at 0 and 1.
    Some(Limits {
        lower: ((centre - half) / (1.0 + z2_per_n)).clamp(0.0, share),
        upper: ((centre + half) / (1.0 + z2_per_n)).clamp(share, 1.0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_that_cannot_be_have_no_limits() {
        assert_eq!(wilson(0, 0), None);
        assert_eq!(wilson(3, 2), None);
    }

    #[test]
    fn the_limits_hold_the_share() {
        for n in 1..200 {
            for hits in 0..=n {
                let limits = wilson(hits, n).unwrap();
                let share = count(hits) / count(n);
                assert!(0.0 <= limits.lower && limits.lower <= share);
                assert!(share <= limits.upper && limits.upper <= 1.0);
            }
        }
    }
}
