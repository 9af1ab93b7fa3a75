//! Where observations fall in their forecast distributions: evenly, if the distributions are right.

use super::all_finite;
use super::normal::share_within;
use crate::units::count;

/// The part of the unit interval that an observation takes in its forecast distribution: a point for a law without
/// steps, one rank for an ensemble.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pit {
    from: f64,
    to: f64,
}

/// The probability integral transform of an observation under a normal law.
///
/// - Shape: mean and standard deviation of the law, and what was observed.
/// - Unit: that of the three in, 1 out.
/// - Domain: finite numbers, standard deviation above 0; otherwise no number.
/// - Accuracy: within 1e-15; of far tails only that they are tails.
/// - Source: Dawid, Statistical theory: the prequential approach, J. R. Stat. Soc. A 147, 1984, 278-292.
pub fn pit_normal(mean: f64, sd: f64, observed: f64) -> Option<Pit> {
    let z = (observed - mean) / sd;
    let at = f64::midpoint(1.0, share_within(z));
    (z.is_finite() && sd.is_finite() && sd > 0.0).then_some(Pit { from: at, to: at })
}

/// The rank of an observation among the members of an ensemble, as a part of the unit interval; where members equal it,
/// its rank is open and the part covers all that it could be.
///
/// - Shape: the members in any order, and what was observed.
/// - Unit: that of the members in, 1 out.
/// - Domain: at least one member, all numbers finite; otherwise no number.
/// - Accuracy: exact; nothing is drawn by lot, neither for ties nor within a rank.
/// - Source: Hamill, Interpretation of rank histograms for verifying ensemble forecasts, Mon. Weather Rev. 129, 2001,
///   550-560; Czado, Gneiting & Held, Predictive model assessment for count data, Biometrics 65, 2009, 1254-1261.
pub fn pit_ensemble(members: &[f64], observed: f64) -> Option<Pit> {
    if !all_finite(members, observed) {
        return None;
    }
    let below = members.iter().filter(|member| **member < observed).count();
    let not_above = members.iter().filter(|member| **member <= observed).count();
    let ranks = count(members.len() + 1);
    Some(Pit {
        from: count(below) / ranks,
        to: count(not_above + 1) / ranks,
    })
}

/// The shares of observations in the five fifths of their distributions, from low to high; 0.2 each if the distributions
/// are right, high at both ends if they are too narrow, high at one end if they are shifted.
///
/// - Shape: one part of the unit interval a case, in any order.
/// - Unit: 1; the shares add up to 1.
/// - Domain: at least one case; otherwise no number.
/// - Accuracy: exact; a part that reaches over an edge counts on both sides by its length.
/// - Source: Czado, Gneiting & Held 2009 as for [`pit_ensemble`].
pub fn pit_fifths(cases: &[Pit]) -> Option<[f64; 5]> {
    if cases.is_empty() {
        return None;
    }
    let below = |edge: f64| cases.iter().map(|case| case.share_below(edge)).sum::<f64>();
    let fifth = |k: f64| (below((k + 1.0) / 5.0) - below(k / 5.0)) / count(cases.len());
    Some([0.0, 1.0, 2.0, 3.0, 4.0].map(fifth))
}

impl Pit {
    /// How much of the part lies below an edge; a point on the edge lies above it, except for the edge that ends all.
    fn share_below(self, edge: f64) -> f64 {
        let length = self.to - self.from;
        if length > 0.0 {
            ((edge - self.from) / length).clamp(0.0, 1.0)
        } else {
            f64::from(u8::from(self.from < edge || edge >= 1.0))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<[f64; 5]>, expected: [f64; 5]) {
        let found = found.unwrap();
        let off = found.iter().zip(expected).map(|(a, b)| (a - b).abs());
        assert!(off.fold(0.0, f64::max) < 1e-12, "{found:?}");
    }

    #[test]
    fn the_median_of_a_law_falls_in_the_middle_and_its_tails_at_the_ends() {
        let fifths = |z: &[f64]| {
            let cases: Vec<Pit> = z
                .iter()
                .map(|z| pit_normal(3.0, 2.0, 3.0 + 2.0 * z).unwrap())
                .collect();
            pit_fifths(&cases)
        };
        near(fifths(&[0.0]), [0.0, 0.0, 1.0, 0.0, 0.0]);
        near(fifths(&[-9.0, 9.0]), [0.5, 0.0, 0.0, 0.0, 0.5]);
        near(fifths(&[-99.0, 99.0]), [0.5, 0.0, 0.0, 0.0, 0.5]);
        // The normal quantile of 0.2 is -0.841 621 (Abramowitz & Stegun 1964, table 26.5).
        near(fifths(&[-0.8417, -0.8416]), [0.5, 0.5, 0.0, 0.0, 0.0]);
    }

    #[test]
    fn a_rank_reaches_over_the_edges_of_fifths() {
        // Four members make five ranks, one a fifth; three make four, and the second reaches from 0.25 to 0.5.
        let among = |members: &[f64]| pit_fifths(&[pit_ensemble(members, 1.5).unwrap()]);
        near(among(&[4.0, 1.0, 2.0, 3.0]), [0.0, 1.0, 0.0, 0.0, 0.0]);
        near(among(&[1.0, 2.0, 3.0]), [0.0, 0.6, 0.4, 0.0, 0.0]);
    }

    #[test]
    fn equal_members_share_their_ranks() {
        let tied = pit_ensemble(&[1.0; 4], 1.0).unwrap();
        near(pit_fifths(&[tied]), [0.2; 5]);
    }

    #[test]
    fn each_rank_of_an_ensemble_once_is_even() {
        let members: Vec<f64> = (0..31).map(f64::from).collect();
        let cases: Vec<Pit> = (0..32)
            .map(|rank| pit_ensemble(&members, f64::from(rank) - 0.5).unwrap())
            .collect();
        near(pit_fifths(&cases), [0.2; 5]);
    }

    #[test]
    fn what_is_no_number_has_no_place() {
        assert_eq!(pit_normal(0.0, 0.0, 1.0), None);
        assert_eq!(pit_normal(0.0, f64::INFINITY, 1.0), None);
        assert_eq!(pit_normal(0.0, 1.0, f64::NAN), None);
        assert_eq!(pit_ensemble(&[], 1.0), None);
        assert_eq!(pit_ensemble(&[f64::NAN], 1.0), None);
        assert_eq!(pit_fifths(&[]), None);
    }
}
