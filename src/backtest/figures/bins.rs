//! The reliability table: what was told against what came, with the limits of both sides.
//!
//! In: chances that have come due, by year. Out: one line a range of chances. Does not draw.

use serde::Serialize;

use super::mean;
use crate::science::dice::Dice;
use crate::science::scores::{CHANCE_EDGES, Scored, bootstrap, reliability_table, wilson};
use crate::units::count;

/// With 999 draws the 2.5 % and 97.5 % limits are the 25th values from either end.
const DRAWS: usize = 999;

/// Any seed would do; this one never changes.
const SEED: u64 = 2007;

/// Faces of the dice: a chance is drawn to a millionth.
const FACES: usize = 1_000_000;

/// One line of the reliability table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bin {
    /// Lower edge.
    pub from: f64,
    /// Upper edge.
    pub to: f64,
    /// Decision days.
    pub days: usize,
    /// Years over which they are spread.
    pub years: usize,
    /// Mean chance.
    pub chance: f64,
    /// Share of the days on which it came.
    pub observed: f64,
    /// 95 % limits of that share, whole years the sample; Wilson's over the years where resampling gives none.
    pub limits: (f64, f64),
    /// Between what the share would lie in 95 of 100 such tests if every chance were right.
    pub consistent: (f64, f64),
}

/// The reliability table of rows by year.
pub(super) fn reliability(years: &[Vec<Scored>]) -> Vec<Bin> {
    let rows = years.concat();
    let bin = |bin: crate::science::scores::ReliabilityBin| {
        let of_bin: Vec<Vec<Scored>> = years
            .iter()
            .map(|rows| {
                rows.iter()
                    .filter(|row| in_bin(row, bin.from, bin.to))
                    .copied()
                    .collect()
            })
            .collect();
        let observed =
            |rows: &[Scored]| mean(rows.iter().map(|row| f64::from(u8::from(row.happened))));
        let by_years = bootstrap(&of_bin, observed)
            .map(|estimate| (estimate.lower, estimate.upper))
            // A share of 0 or 1 in every year leaves resampling nothing to vary.
            .filter(|(lower, upper)| lower < upper)
            .or_else(|| over_years(bin.observed, bin.years));
        Bin {
            from: bin.from,
            to: bin.to,
            days: bin.n,
            years: bin.years,
            chance: bin.forecast,
            observed: bin.observed,
            limits: by_years.unwrap_or((0.0, 1.0)),
            consistent: consistent(&of_bin),
        }
    };
    reliability_table(&rows).into_iter().map(bin).collect()
}

fn in_bin(row: &Scored, from: f64, to: f64) -> bool {
    let share = row.chance.share();
    let is_last = CHANCE_EDGES.last().is_some_and(|last| *last <= to);
    share >= from && (share < to || is_last)
}

/// Wilson's limits with the years as the sample.
fn over_years(share: f64, years: usize) -> Option<(f64, f64)> {
    let hits = (0..=years).min_by(|a, b| {
        let off = |hits: usize| (count(hits) - share * count(years)).abs();
        off(*a).total_cmp(&off(*b))
    })?;
    wilson(hits, years).map(|limits| (limits.lower, limits.upper))
}

/// Between what the observed share of a bin would lie, in 95 of 100 cases, if every chance were right.
///
/// What comes is drawn anew from the chances (Bröcker & Smith, Increasing the reliability of reliability diagrams,
/// Weather Forecast. 22, 2007, 651-661), but once for all days of a year in the bin, which hang together: as if they all
/// came out alike, so that the limits are rather too wide than too narrow.
fn consistent(of_bin: &[Vec<Scored>]) -> (f64, f64) {
    let chance = |rows: &Vec<Scored>| mean(rows.iter().map(|row| row.chance.share()));
    let years: Vec<(f64, f64)> = of_bin
        .iter()
        .filter_map(|rows| Some((count(rows.len()), chance(rows)?)))
        .collect();
    let days: f64 = years.iter().map(|(days, _)| days).sum();
    let mut dice = Dice::new(SEED);
    let mut draw = || {
        let came = years.iter().filter(|(_, chance)| {
            let drawn = count(dice.below(FACES)) + 0.5;
            drawn < chance * count(FACES)
        });
        // Not `sum`, which makes -0 of nothing.
        came.fold(0.0, |sum, (days, _)| sum + days) / days
    };
    let mut shares: Vec<f64> = (0..DRAWS).map(|_| draw()).collect();
    shares.sort_by(f64::total_cmp);
    let cut = (DRAWS + 1) / 40 - 1;
    let at = |shares: &mut dyn Iterator<Item = &f64>| shares.nth(cut).copied();
    let lower = at(&mut shares.iter()).unwrap_or(0.0);
    (lower, at(&mut shares.iter().rev()).unwrap_or(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Chance;

    /// So many years with so many days each, all at one chance.
    fn years(years: i32, days: usize, percent: i32) -> Vec<Vec<Scored>> {
        let row = |year| Scored {
            chance: Chance::of(f64::from(percent) / 100.0),
            happened: false,
            year,
        };
        (0..years).map(|year| vec![row(year); days]).collect()
    }

    #[test]
    fn the_consistent_range_is_the_binomial_one_over_years() {
        // 40 draws at 0.3: 2.5 % and 97.5 % quantiles 7 and 18 (exact sums of the binomial law in Python), whatever the days of a year.
        for days in [1, 5] {
            let (lower, upper) = consistent(&years(40, days, 30));
            assert!((lower - 7.0 / 40.0).abs() < 0.026, "{lower}");
            assert!((upper - 18.0 / 40.0).abs() < 0.026, "{upper}");
        }
    }

    #[test]
    fn what_is_certain_leaves_no_range() {
        assert_eq!(consistent(&years(9, 3, 0)), (0.0, 0.0));
        assert_eq!(consistent(&years(9, 3, 100)), (1.0, 1.0));
    }
}
