//! Scores of quantiles and of the intervals between them.

use std::ops::RangeInclusive;

use super::mean;

/// The score of a forecast quantile, the pinball loss: 0 best.
///
/// - Shape: the level of the quantile, its forecast, and what was observed.
/// - Unit: that of the forecast and the observation.
/// - Domain: level within 0..=1, finite numbers; otherwise no number.
/// - Accuracy: exact by definition.
/// - Source: Koenker & Bassett, Regression quantiles, Econometrica 46, 1978, 33-50; Gneiting & Raftery, Strictly proper
///   scoring rules, prediction, and estimation, J. Am. Stat. Assoc. 102, 2007, 359-378.
pub fn pinball(level: f64, forecast: f64, observed: f64) -> Option<f64> {
    let error = observed - forecast;
    ((0.0..=1.0).contains(&level) && error.is_finite())
        .then(|| (level * error).max((level - 1.0) * error))
}

/// The share of intervals that hold what was observed; for good 80 % intervals it is about 0.8.
///
/// - Shape: intervals, each with what was observed, in any order.
/// - Unit: 1.
/// - Domain: at least one interval; otherwise no number. An observation on a limit is held.
/// - Accuracy: exact; as an estimate see [`wilson`](super::wilson).
/// - Source: Gneiting, Balabdaoui & Raftery, Probabilistic forecasts, calibration and sharpness, J. R. Stat. Soc. B 69,
///   2007, 243-268.
pub fn coverage(intervals: &[(RangeInclusive<f64>, f64)]) -> Option<f64> {
    let held = |(interval, observed): &(RangeInclusive<f64>, f64)| {
        f64::from(u8::from(interval.contains(observed)))
    };
    mean(intervals.iter().map(held))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_level_outside_0_to_1_has_no_score() {
        assert_eq!(pinball(1.1, 0.0, 0.0), None);
        assert_eq!(pinball(f64::NAN, 0.0, 0.0), None);
        assert_eq!(pinball(0.5, f64::NAN, 0.0), None);
        assert_eq!(pinball(0.0, 1.0, 1.0), Some(0.0));
    }

    #[test]
    fn the_limits_belong_to_an_interval() {
        let observed = [0.0, 1.0, 1.5, f64::NAN];
        assert_eq!(coverage(&observed.map(|at| (0.0..=1.0, at))), Some(0.5));
        assert_eq!(coverage(&[]), None);
    }
}
