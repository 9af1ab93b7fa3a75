//! The normal law's distribution function.

use statrs::function::gamma::checked_gamma_lr;

/// 2Φ(z) - 1, which is the share within z standard deviations, below 0 for a negative z.
///
/// By P(1/2, z²/2) of the incomplete gamma function (Abramowitz & Stegun, Handbook of Mathematical Functions, 1964,
/// equation 6.5.16), which the library has to within 1e-15; its own error function is off by up to 5e-11.
pub(super) fn share_within(z: f64) -> f64 {
    // Beyond 40 standard deviations it is 1 to every digit, and a square cannot overflow.
    let z = z.clamp(-40.0, 40.0);
    checked_gamma_lr(0.5, z * z / 2.0)
        .unwrap_or(0.0)
        .copysign(z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_share_within_is_the_tabulated_one() {
        // erf(z/√2) by Python 3.11 math.erf.
        for (z, expected) in [
            (0.0, 0.0),
            (1e-9, 7.978_845_608_028_654e-10),
            (0.5, 0.382_924_922_548_026),
            (1.0, 0.682_689_492_137_085_9),
            (-1.959_963_984_540_054, -0.95),
            (3.0, 0.997_300_203_936_739_8),
            (9.0, 1.0),
            (1e300, 1.0),
        ] {
            assert!((share_within(z) - expected).abs() < 1e-14, "{z}");
        }
    }
}
