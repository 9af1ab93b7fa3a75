//! The continuous ranked probability score of ensembles and normal laws.

use std::f64::consts::PI;

use super::normal::share_within;
use super::{all_finite, mean, skill};
use crate::units::count;

/// The continuous ranked probability score of an ensemble taken as it is: each member one step of the distribution.
///
/// - Shape: the members in any order, and what was observed.
/// - Unit: that of the members and the observation.
/// - Domain: at least one member, all numbers finite; otherwise no number.
/// - Accuracy: exact up to rounding: a sum of parts none of which is negative. A small ensemble is charged for its size
///   (the form called biased or ecdf, not the fair one).
/// - Source: Hersbach, Decomposition of the continuous ranked probability score for ensemble prediction systems, Weather
///   Forecast. 15, 2000, 559-570; Gneiting & Raftery, Strictly proper scoring rules, prediction, and estimation, J. Am.
///   Stat. Assoc. 102, 2007, 359-378.
pub fn crps_ensemble(members: &[f64], observed: f64) -> Option<f64> {
    if !all_finite(members, observed) {
        return None;
    }
    let mut sorted = members.to_vec();
    sorted.sort_by(f64::total_cmp);
    let below_all = sorted.first()? - observed;
    let above_all = observed - sorted.last()?;
    let between = (1..).zip(sorted.windows(2)).map(|(rank, pair)| {
        let &[from, to] = pair else { return 0.0 };
        // Between two members the distribution stands at the share of members that are passed.
        let passed = count(rank) / count(sorted.len());
        let split = observed.clamp(from, to);
        (split - from) * passed * passed + (to - split) * (1.0 - passed) * (1.0 - passed)
    });
    Some(between.sum::<f64>() + below_all.max(0.0) + above_all.max(0.0))
}

/// The continuous ranked probability score of a normal law.
///
/// - Shape: mean and standard deviation of the law, and what was observed.
/// - Unit: that of the three.
/// - Domain: finite numbers, standard deviation not negative; otherwise no number. Without spread the score is the
///   distance.
/// - Accuracy: exact by formula up to rounding.
/// - Source: Gneiting, Raftery, Westveld & Goldman, Calibrated probabilistic forecasting using ensemble model output
///   statistics and minimum CRPS estimation, Mon. Weather Rev. 133, 2005, 1098-1118, equation 5.
///
/// With z = (observed - mean)/sd: `sd [z (2Φ(z) - 1) + 2φ(z) - 1/√π]`.
pub fn crps_normal(mean: f64, sd: f64, observed: f64) -> Option<f64> {
    let error = observed - mean;
    if !error.is_finite() || !sd.is_finite() || sd < 0.0 {
        return None;
    }
    if sd < f64::MIN_POSITIVE {
        return Some(error.abs());
    }
    let z = error / sd;
    let twice_density = (-z * z / 2.0).exp() * (2.0 / PI).sqrt();
    Some(error * share_within(z) + sd * (twice_density - 1.0 / PI.sqrt()))
}

/// The part of a reference's mean continuous ranked probability score that the forecasts save.
///
/// - Shape: one score a case for the forecasts and for the reference, in the same order.
/// - Unit: that of the scores in, 1 out.
/// - Domain: as many reference scores as scores, their mean above 0; otherwise no number.
/// - Accuracy: exact by definition up to rounding.
/// - Source: Hersbach 2000 as for [`crps_ensemble`].
pub fn crps_skill(scores: &[f64], reference: &[f64]) -> Option<f64> {
    if scores.len() != reference.len() {
        return None;
    }
    let mean_of = |scores: &[f64]| mean(scores.iter().copied());
    skill(mean_of(scores)?, mean_of(reference)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_number_has_no_score() {
        assert_eq!(crps_ensemble(&[], 1.0), None);
        assert_eq!(crps_ensemble(&[1.0, f64::NAN], 1.0), None);
        assert_eq!(crps_ensemble(&[1.0], f64::INFINITY), None);
        assert_eq!(crps_normal(0.0, -1.0, 0.0), None);
        assert_eq!(crps_normal(0.0, f64::NAN, 0.0), None);
        assert_eq!(crps_normal(f64::NAN, 1.0, 0.0), None);
        assert_eq!(crps_skill(&[1.0], &[]), None);
        assert_eq!(crps_skill(&[], &[]), None);
    }

    #[test]
    fn a_law_without_spread_is_charged_its_distance() {
        assert_eq!(crps_normal(2.0, 0.0, -1.0), Some(3.0));
        assert_eq!(crps_ensemble(&[2.0], -1.0), Some(3.0));
    }

    #[test]
    fn skill_compares_the_means() {
        assert_eq!(crps_skill(&[1.0, 2.0], &[3.0, 3.0]), Some(0.5));
    }

    #[test]
    fn the_score_does_not_depend_on_where_zero_lies() {
        // Far from zero, sums over pairs of members would lose digits.
        let members = [0.25, -1.5, 3.0, 0.25, 0.75];
        let near_zero = crps_ensemble(&members, 1.0).unwrap();
        let shift = 1_048_576.0;
        let far = crps_ensemble(&members.map(|member| member + shift), 1.0 + shift).unwrap();
        assert!((near_zero - far).abs() < 1e-15);
    }

    #[test]
    fn a_large_ensemble_of_quantiles_comes_near_its_law() {
        // Of the law that is even between 0 and 1 the score at its middle is 1/12, by integrating x² twice up to 1/2.
        let members: Vec<f64> = (0..20_000_u32)
            .map(|k| (f64::from(k) + 0.5) / 20_000.0)
            .collect();
        let score = crps_ensemble(&members, 0.5).unwrap();
        assert!((score - 1.0 / 12.0).abs() < 1e-8, "{score}");
    }
}
