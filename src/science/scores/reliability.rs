//! How often the event came where a chance was forecast.

use std::collections::{BTreeMap, BTreeSet};

use super::limits::{Limits, wilson};
use super::{Scored, mean};
use crate::units::{Chance, count};

/// The edges of the bins of a chance: narrow at both ends, where decisions are taken.
///
/// A chance on an edge belongs to the bin above it; the last bin holds certainty as well.
pub const CHANCE_EDGES: [f64; 13] = [
    0.0, 0.02, 0.05, 0.10, 0.20, 0.35, 0.50, 0.65, 0.80, 0.90, 0.95, 0.98, 1.0,
];

/// The forecasts whose chance lies in one bin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliabilityBin {
    /// Lower edge, which belongs to the bin.
    pub from: f64,
    /// Upper edge, which does not, except for the last one.
    pub to: f64,
    /// How many forecasts.
    pub n: usize,
    /// Over how many years they are spread.
    pub years: usize,
    /// Mean chance that was forecast.
    pub forecast: f64,
    /// Share of them for which the event came.
    pub observed: f64,
    /// 95 % limits of the observed share, were each forecast a sample of its own.
    pub limits: Limits,
}

/// The bin of a chance, counted from 0.
pub(super) fn bin_of(chance: Chance) -> usize {
    let inner_edges = CHANCE_EDGES.iter().skip(1).rev().skip(1);
    inner_edges.filter(|edge| **edge <= chance.share()).count()
}

/// Mean chance and observed share by bins of [`CHANCE_EDGES`], from low to high; a bin without forecasts has no row.
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: 1.
/// - Domain: any; nothing gives an empty table.
/// - Accuracy: exact up to rounding. The limits are those of Wilson and too narrow where the forecasts of one year hang
///   together; with [`bootstrap`](super::bootstrap) whole years are the sample.
/// - Source: Murphy & Winkler, Reliability of subjective probability forecasts of precipitation and temperature, J. R.
///   Stat. Soc. C 26, 1977, 41-47.
pub fn reliability_table(rows: &[Scored]) -> Vec<ReliabilityBin> {
    let mut bins: BTreeMap<usize, Vec<&Scored>> = BTreeMap::new();
    for row in rows {
        bins.entry(bin_of(row.chance)).or_default().push(row);
    }
    bins.iter()
        .filter_map(|(bin, rows)| row_of(*bin, rows))
        .collect()
}

fn row_of(bin: usize, rows: &[&Scored]) -> Option<ReliabilityBin> {
    let hits = rows.iter().filter(|row| row.happened).count();
    let years: BTreeSet<i32> = rows.iter().map(|row| row.year).collect();
    let (from, to) = (*CHANCE_EDGES.get(bin)?, *CHANCE_EDGES.get(bin + 1)?);
    Some(ReliabilityBin {
        from,
        to,
        n: rows.len(),
        years: years.len(),
        // The mean of equal chances at an edge may leave the bin by rounding.
        forecast: mean(rows.iter().map(|row| row.share()))?.clamp(from, to),
        observed: mean(rows.iter().map(|row| row.outcome()))?,
        limits: wilson(hits, rows.len())?,
    })
}

/// The mean distance of forecast chance and observed share over the bins of [`CHANCE_EDGES`], each bin weighted by its
/// forecasts: the expected calibration error.
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: 1.
/// - Domain: at least one forecast; otherwise no number.
/// - Accuracy: exact by definition; depends on the bins, and is seldom 0 in a finite series even for perfect chances.
/// - Source: Naeini, Cooper & Hauskrecht, Obtaining well calibrated probabilities using Bayesian binning, Proc. 29th AAAI
///   Conf., 2015, 2901-2907.
pub fn calibration_error(rows: &[Scored]) -> Option<f64> {
    if rows.is_empty() {
        return None;
    }
    let table = reliability_table(rows);
    let off = |bin: &ReliabilityBin| count(bin.n) * (bin.forecast - bin.observed).abs();
    Some(table.iter().map(off).sum::<f64>() / count(rows.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_on_an_edge_belongs_to_the_bin_above() {
        for (bin, edge) in CHANCE_EDGES.iter().enumerate() {
            assert_eq!(bin_of(Chance::of(*edge)), bin.min(11), "{edge}");
            assert_eq!(bin_of(Chance::of(edge - 1e-9)), bin.saturating_sub(1));
        }
    }

    #[test]
    fn a_table_has_a_row_for_each_bin_with_forecasts() {
        let row = |share: f64, happened: bool, year: i32| Scored {
            chance: Chance::of(share),
            happened,
            year,
        };
        let rows = [
            row(1.0, true, 2002),
            row(0.10, false, 2001),
            row(0.14, true, 2001),
            row(0.18, false, 2003),
            row(0.19, false, 2003),
        ];
        let table = reliability_table(&rows);
        let [low, high] = table.as_slice() else {
            panic!("{table:?}");
        };
        assert_eq!((low.n, low.years, high.n, high.years), (4, 2, 1, 1));
        let found = [
            low.from,
            low.to,
            low.forecast,
            low.observed,
            high.from,
            high.to,
        ];
        let expected = [0.10, 0.20, 0.1525, 0.25, 0.98, 1.0];
        let off = found.iter().zip(expected).map(|(a, b)| (a - b).abs());
        assert!(off.fold(0.0, f64::max) < 1e-12, "{found:?}");
        assert_eq!(Some(low.limits), wilson(1, 4));
        // 4 forecasts are off by 0.0975, one by nothing.
        assert!((calibration_error(&rows).unwrap() - 0.078).abs() < 1e-12);
    }

    #[test]
    fn nothing_has_no_rows_and_no_error() {
        assert_eq!(reliability_table(&[]), []);
        assert_eq!(calibration_error(&[]), None);
    }
}
