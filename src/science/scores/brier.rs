//! The Brier score of chances and the parts it falls into.

use std::collections::BTreeMap;

use super::reliability::bin_of;
use super::{Scored, mean, skill};
use crate::units::{Chance, count};

/// What a Brier score consists of; each part counts in the unit of the score.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BrierParts {
    /// How far chances and observed shares lie apart; small is good.
    pub reliability: f64,
    /// How far the observed shares of the groups lie from the base rate; large is good.
    pub resolution: f64,
    /// What the event itself imposes: base rate times its complement.
    pub uncertainty: f64,
    /// What grouping unequal chances leaves out: their variance within groups less twice their covariance with the
    /// event; 0 where a group holds one chance.
    pub within_groups: f64,
}

impl BrierParts {
    /// The score that the parts make up.
    pub fn score(&self) -> f64 {
        self.reliability - self.resolution + self.uncertainty + self.within_groups
    }
}

/// The mean squared distance between chance and event: 0 best, 1 worst.
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: 1.
/// - Domain: at least one forecast; otherwise no number.
/// - Accuracy: exact by definition up to rounding.
/// - Source: Brier, Verification of forecasts expressed in terms of probability, Mon. Weather Rev. 78, 1950, 1-3, in the
///   half form that counts the event alone.
pub fn brier(rows: &[Scored]) -> Option<f64> {
    mean(rows.iter().map(|row| squared(row.share() - row.outcome())))
}

/// The part of a reference's Brier score that the forecasts save.
///
/// - Shape: forecasts that have come due, and the chance that the reference gave for each of them.
/// - Unit: 1.
/// - Domain: as many reference chances as forecasts, and a reference that was not always right; otherwise no number.
/// - Accuracy: exact by definition up to rounding.
/// - Source: Murphy, Hedging and skill scores for probability forecasts, J. Appl. Meteorol. 12, 1973, 215-223.
pub fn brier_skill(rows: &[Scored], reference: &[Chance]) -> Option<f64> {
    if rows.len() != reference.len() {
        return None;
    }
    let of_reference: Vec<Scored> = rows
        .iter()
        .zip(reference)
        .map(|(row, chance)| Scored {
            chance: *chance,
            ..*row
        })
        .collect();
    skill(brier(rows)?, brier(&of_reference)?)
}

/// The parts of the Brier score, with a group for each chance that was ever forecast.
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: 1.
/// - Domain: at least one forecast; otherwise no number.
/// - Accuracy: the parts make up the score up to rounding. As estimates for a longer series they are biased where groups
///   are small: reliability and resolution come out too large (Ferro & Fricker, Q. J. R. Meteorol. Soc. 138, 2012).
/// - Source: Murphy, A new vector partition of the probability score, J. Appl. Meteorol. 12, 1973, 595-600.
pub fn brier_parts(rows: &[Scored]) -> Option<BrierParts> {
    // The bits of numbers that are not negative have the order of the numbers; adding 0 takes the sign off a zero.
    parts(rows, |row| (row.share() + 0.0).to_bits())
}

/// The parts of the Brier score, with a group for each bin of [`CHANCE_EDGES`](super::CHANCE_EDGES).
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: 1.
/// - Domain: at least one forecast; otherwise no number.
/// - Accuracy: with the part within groups they make up the score up to rounding.
/// - Source: Murphy 1973 as for [`brier_parts`]; Stephenson, Coelho & Jolliffe, Two extra components in the Brier score
///   decomposition, Weather Forecast. 23, 2008, 752-757.
pub fn brier_parts_by_bin(rows: &[Scored]) -> Option<BrierParts> {
    parts(rows, |row| bin_of(row.chance))
}

fn parts<K: Ord>(rows: &[Scored], group: impl Fn(&Scored) -> K) -> Option<BrierParts> {
    let base_rate = mean(rows.iter().map(Scored::outcome))?;
    let mut groups: BTreeMap<K, Vec<&Scored>> = BTreeMap::new();
    for row in rows {
        groups.entry(group(row)).or_default().push(row);
    }
    let mut sum = BrierParts {
        reliability: 0.0,
        resolution: 0.0,
        uncertainty: base_rate * (1.0 - base_rate),
        within_groups: 0.0,
    };
    let n = count(rows.len());
    for group in groups.values() {
        let chance = mean(group.iter().map(|row| row.share()))?;
        let observed = mean(group.iter().map(|row| row.outcome()))?;
        let weight = count(group.len()) / n;
        sum.reliability += weight * squared(chance - observed);
        sum.resolution += weight * squared(observed - base_rate);
        let within = group.iter().map(|row| {
            let off = row.share() - chance;
            squared(off) - 2.0 * off * (row.outcome() - observed)
        });
        sum.within_groups += within.sum::<f64>() / n;
    }
    Some(sum)
}

fn squared(x: f64) -> f64 {
    x * x
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(of: &[(f64, bool)]) -> Vec<Scored> {
        let row = |(share, happened): &(f64, bool)| Scored {
            chance: Chance::of(*share),
            happened: *happened,
            year: 2001,
        };
        of.iter().map(row).collect()
    }

    fn near(found: f64, expected: f64) {
        assert!((found - expected).abs() < 1e-12, "{found}, not {expected}");
    }

    #[test]
    fn the_best_and_the_worst_score_are_zero_and_one() {
        near(brier(&rows(&[(1.0, true), (0.0, false)])).unwrap(), 0.0);
        near(brier(&rows(&[(0.0, true), (1.0, false)])).unwrap(), 1.0);
        assert_eq!(brier(&[]), None);
        assert_eq!(brier_parts(&[]), None);
        assert_eq!(brier_parts_by_bin(&[]), None);
    }

    #[test]
    fn a_zero_with_and_without_sign_is_one_chance() {
        let rows = rows(&[(-0.0, true), (0.0, false)]);
        near(brier_parts(&rows).unwrap().reliability, 0.25);
    }

    #[test]
    fn bins_leave_a_part_within_them() {
        // By hand: both chances lie in 20-35 %, mean 0.25, observed 0.5, so reliability 0.0625, resolution 0, uncertainty
        // 0.25; within, the variance is 0.0025 and the covariance 0.025.
        let rows = rows(&[(0.2, false), (0.3, true)]);
        let parts = brier_parts_by_bin(&rows).unwrap();
        near(parts.reliability, 0.0625);
        near(parts.resolution, 0.0);
        near(parts.uncertainty, 0.25);
        near(parts.within_groups, 0.0025 - 2.0 * 0.025);
        near(parts.score(), brier(&rows).unwrap());
    }

    #[test]
    fn a_reference_has_to_belong_to_the_forecasts() {
        let rows = rows(&[(0.2, false), (0.8, true)]);
        near(brier_skill(&rows, &[Chance::of(0.5); 2]).unwrap(), 0.84);
        assert_eq!(brier_skill(&rows, &[Chance::of(0.5)]), None);
        // Of a perfect reference nothing can be saved.
        assert_eq!(brier_skill(&rows, &[Chance::NEVER, Chance::of(1.0)]), None);
    }
}
