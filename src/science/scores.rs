//! Proper scores and verification figures: how good were the chances, ensembles and laws that have come due.
//!
//! In: forecasts beside what happened. Out: scores, shares and their limits; no number where a figure has no meaning.
//! Does not make forecasts and does not judge them. In no figure is a day a sample of its own: where that matters, take
//! [`by_year`] and the limits of [`bootstrap`].

mod brier;
mod crps;
mod limits;
mod normal;
mod pit;
mod quantiles;
mod reliability;
mod value;
mod years;

pub use brier::{BrierParts, brier, brier_parts, brier_parts_by_bin, brier_skill};
pub use crps::{crps_ensemble, crps_normal, crps_skill};
pub use limits::{Limits, wilson};
pub use pit::{Pit, pit_ensemble, pit_fifths, pit_normal};
pub use quantiles::{coverage, pinball};
pub use reliability::{CHANCE_EDGES, ReliabilityBin, calibration_error, reliability_table};
pub use value::{WarningRates, economic_value, warning_rates};
pub use years::{Estimate, bootstrap, by_year, jackknife_error};

use crate::units::{Chance, count};

/// A forecast chance that has come due.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scored {
    /// What was forecast.
    pub chance: Chance,
    /// Whether the event came.
    pub happened: bool,
    /// The year, or cold season, that the forecast belongs to: one year is one sample.
    pub year: i32,
}

impl Scored {
    /// The event as the chance that would have been right.
    fn outcome(&self) -> f64 {
        f64::from(u8::from(self.happened))
    }

    fn share(&self) -> f64 {
        self.chance.share()
    }
}

/// The part of a reference's score that a forecast saves: 1 perfect, 0 no better than the reference, negative worse.
///
/// - Shape: two mean scores over the same cases, of a kind whose best value is 0.
/// - Unit: that of the scores in, 1 out.
/// - Domain: finite scores, the reference's above 0; otherwise no number.
/// - Accuracy: exact by definition. It is no proper score of its own, and over few cases its limits are wide.
/// - Source: Murphy, Hedging and skill scores for probability forecasts, J. Appl. Meteorol. 12, 1973, 215-223.
pub fn skill(score: f64, reference: f64) -> Option<f64> {
    (score.is_finite() && reference.is_finite() && reference > 0.0).then(|| 1.0 - score / reference)
}

/// Whether there are members, and they and the observation are numbers to calculate with.
fn all_finite(members: &[f64], observed: f64) -> bool {
    let finite = |number: &f64| number.is_finite();
    !members.is_empty() && members.iter().all(finite) && finite(&observed)
}

/// The mean; none of nothing.
fn mean(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    let (n, sum) = values
        .into_iter()
        .fold((0, 0.0), |(n, sum), value| (n + 1, sum + value));
    (n > 0).then(|| sum / count(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skill_is_the_saved_part_of_the_reference() {
        assert_eq!(skill(0.0, 0.2), Some(1.0));
        assert_eq!(skill(0.2, 0.2), Some(0.0));
        assert_eq!(skill(0.4, 0.2), Some(-1.0));
        for (score, reference) in [(0.1, 0.0), (0.1, -1.0), (f64::NAN, 0.2), (0.1, f64::NAN)] {
            assert_eq!(skill(score, reference), None);
        }
    }
}
