//! How much of a fitted trend is believed.

use crate::units::count;

/// Years below which no trend is believed at all (estimate).
const YEARS_MIN: usize = 20;

/// The share of a linear trend over the years that is kept: `t² / (1 + t²)`, with t the slope over its standard error
/// and the yearly means as the sample.
///
/// It is the shrinkage that is best on average when the true slopes of places scatter about none as far as this one
/// lies (empirical Bayes: Efron & Morris, J. Am. Stat. Assoc. 70, 1975). A trend that stands out of the years is kept
/// nearly whole, one within their noise hardly. Over eight open series it verified better in spring than none, a half
/// and the whole of every trend (own back-test).
pub(super) fn believed_share(yearly: &[(f64, f64)]) -> f64 {
    let n = count(yearly.len());
    if yearly.len() < YEARS_MIN {
        return 0.0;
    }
    let mean_time = yearly.iter().map(|(time, _)| time).sum::<f64>() / n;
    let mean_value = yearly.iter().map(|(_, value)| value).sum::<f64>() / n;
    let centred = || {
        yearly
            .iter()
            .map(|(time, value)| (time - mean_time, value - mean_value))
    };
    let spread = centred().map(|(time, _)| time * time).sum::<f64>();
    let slope = centred().map(|(time, value)| time * value).sum::<f64>() / spread;
    let left = centred()
        .map(|(time, value)| (value - slope * time).powi(2))
        .sum::<f64>()
        / (n - 2.0);
    let t_squared = slope * slope * spread / left;
    // Without any scatter the slope is certain.
    if t_squared.is_finite() {
        t_squared / (1.0 + t_squared)
    } else {
        1.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn years(slope: f64, wobble: f64, n: u32) -> Vec<(f64, f64)> {
        (0..n)
            .map(|year| {
                (
                    f64::from(year),
                    slope * f64::from(year) + if year % 2 == 0 { wobble } else { -wobble },
                )
            })
            .collect()
    }

    #[test]
    fn a_clear_trend_is_kept_and_one_in_the_noise_is_not() {
        assert!(believed_share(&years(0.05, 0.1, 30)) > 0.95);
        assert!(believed_share(&years(0.002, 0.5, 30)) < 0.1);
        assert!((believed_share(&years(0.05, 0.0, 30)) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_share_is_that_of_the_t_value() {
        // By hand: times 0 to 19, Σ(t - 9.5)² = 665; values 0.1 t ± 0.5 alternating: slope 0.1 - 5/665 = 0.092 481;
        // residual sum 20 x 0.25 - 5²/665 = 4.962 406; variance 0.275 689; t² = 0.092 481² x 665 / 0.275 689 = 20.63.
        let share = believed_share(&years(0.1, 0.5, 20));
        assert!((share - 20.63 / 21.63).abs() < 1e-3, "{share}");
    }

    #[test]
    fn few_years_show_no_trend() {
        assert!(believed_share(&years(0.5, 0.0, 19)).abs() < 1e-9);
    }
}
