//! How sure a figure is when whole years are the sample: the forecasts of one year hang together, years hardly do.

use std::collections::BTreeMap;

use super::{Scored, mean};
use crate::science::dice::Dice;
use crate::units::count;

/// With 999 resamples the 2.5 % and 97.5 % limits are the 25th values from either end.
const RESAMPLES: usize = 999;

/// Any seed would do; this one never changes, so that the same rows always have the same limits.
const SEED: u64 = 1950;

/// The limits need this share of resamples in which the figure exists; rows of one kind can be all that was drawn.
const SHARE_MIN: f64 = 0.9;

/// A figure and its 95 % limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Lower limit.
    pub lower: f64,
    /// The figure from all rows.
    pub value: f64,
    /// Upper limit.
    pub upper: f64,
}

/// Forecasts by the year they belong to, one group a year, in order.
///
/// - Shape: forecasts that have come due, in any order.
/// - Unit: none.
/// - Domain: any.
/// - Accuracy: exact; nothing is left out.
/// - Source: own arrangement for [`bootstrap`] and [`jackknife_error`].
pub fn by_year(rows: &[Scored]) -> Vec<Vec<Scored>> {
    let mut years: BTreeMap<i32, Vec<Scored>> = BTreeMap::new();
    for row in rows {
        years.entry(row.year).or_default().push(*row);
    }
    years.into_values().collect()
}

/// A figure with the 95 % percentile limits of resampling whole years.
///
/// - Shape: one group of rows a year, and the figure as a function of rows. As many years as there are get drawn with
///   replacement, their rows strung together, 999 times.
/// - Unit: that of the figure.
/// - Domain: at least two years, and a finite figure of all rows and of nine tenths of the resamples; otherwise no number.
/// - Accuracy: the same on every machine, since the seed is fixed; against endless resampling about 3 % of the width.
///   From fewer than about 20 years percentile limits are too narrow.
/// - Source: Efron & Tibshirani, An Introduction to the Bootstrap, Chapman & Hall 1993, chapter 13; blocks of whole years
///   after Wilks, Resampling hypothesis tests for autocorrelated fields, J. Clim. 10, 1997, 65-82.
pub fn bootstrap<T: Clone>(
    years: &[Vec<T>],
    figure: impl Fn(&[T]) -> Option<f64>,
) -> Option<Estimate> {
    let value = figure(&years.concat()).filter(|value| value.is_finite())?;
    if years.len() < 2 {
        return None;
    }
    let mut dice = Dice::new(SEED);
    let mut figures: Vec<f64> = (0..RESAMPLES)
        .filter_map(|_| figure(&resampled(years, &mut dice)))
        .filter(|figure| figure.is_finite())
        .collect();
    if count(figures.len()) < SHARE_MIN * count(RESAMPLES) {
        return None;
    }
    figures.sort_by(f64::total_cmp);
    let cut = (figures.len() + 1) / 40 - 1;
    Some(Estimate {
        lower: *figures.get(cut)?,
        value,
        upper: *figures.iter().rev().nth(cut)?,
    })
}

fn resampled<T: Clone>(years: &[Vec<T>], dice: &mut Dice) -> Vec<T> {
    let drawn = (0..years.len()).filter_map(|_| years.get(dice.below(years.len())));
    drawn.flatten().cloned().collect()
}

/// The standard error of a figure from leaving out one year at a time.
///
/// - Shape: one group of rows a year, and the figure as a function of rows.
/// - Unit: that of the figure.
/// - Domain: at least two years, and a finite figure without each of them; otherwise no number.
/// - Accuracy: exact by formula; fails for figures that jump with single rows, such as quantiles.
/// - Source: Efron & Tibshirani, An Introduction to the Bootstrap, Chapman & Hall 1993, chapter 11, equation 11.5.
pub fn jackknife_error<T: Clone>(
    years: &[Vec<T>],
    figure: impl Fn(&[T]) -> Option<f64>,
) -> Option<f64> {
    if years.len() < 2 {
        return None;
    }
    let without = |left_out: usize| {
        let others = years.iter().enumerate().filter(|(at, _)| *at != left_out);
        let rows: Vec<T> = others.flat_map(|(_, rows)| rows).cloned().collect();
        figure(&rows).filter(|value| value.is_finite())
    };
    let figures: Vec<f64> = (0..years.len()).map(without).collect::<Option<_>>()?;
    let centre = mean(figures.iter().copied())?;
    let spread = mean(figures.iter().map(|value| (value - centre).powi(2)))?;
    Some((count(years.len() - 1) * spread).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Chance;

    /// Two columns of measurements by their correlation.
    fn correlation(rows: &[(f64, f64)]) -> Option<f64> {
        let x = mean(rows.iter().map(|row| row.0))?;
        let y = mean(rows.iter().map(|row| row.1))?;
        let about = |f: fn(f64, f64) -> f64| mean(rows.iter().map(|row| f(row.0 - x, row.1 - y)));
        Some(about(|x, y| x * y)? / (about(|x, _| x * x)? * about(|_, y| y * y)?).sqrt())
    }

    /// The law school data of Efron & Tibshirani 1993, table 3.1, each school a group of its own.
    fn schools() -> Vec<Vec<(f64, f64)>> {
        let rows = [
            (576.0, 3.39),
            (635.0, 3.30),
            (558.0, 2.81),
            (578.0, 3.03),
            (666.0, 3.44),
            (580.0, 3.07),
            (555.0, 3.00),
            (661.0, 3.43),
            (651.0, 3.36),
            (605.0, 3.13),
            (653.0, 3.12),
            (575.0, 2.74),
            (545.0, 2.76),
            (572.0, 2.88),
            (594.0, 2.96),
        ];
        rows.iter().map(|row| vec![*row]).collect()
    }

    fn mean_of(rows: &[f64]) -> Option<f64> {
        mean(rows.iter().copied())
    }

    #[test]
    fn the_generator_gives_its_published_numbers() {
        // First numbers from the seed 1234567: Rosetta Code, Pseudo-random numbers/Splitmix64.
        let mut dice = Dice::new(1_234_567);
        assert_eq!(dice.bits(), 6_457_827_717_110_365_317);
        assert_eq!(dice.bits(), 3_203_168_211_198_807_973);
        assert_eq!(dice.bits(), 9_817_491_932_198_370_423);
    }

    #[test]
    fn the_dice_are_even() {
        let mut dice = Dice::new(SEED);
        let mut seen = [0_u32; 7];
        for _ in 0..70_000 {
            seen[dice.below(7)] += 1;
        }
        // Four standard deviations of a count about 10000 are 370.
        assert!(seen.iter().all(|n| n.abs_diff(10_000) < 370), "{seen:?}");
    }

    #[test]
    fn the_jackknife_gives_the_error_of_the_law_schools() {
        // 0.1425 (Efron & Tibshirani 1993, chapter 11; numpy 2.4.6 gives 0.142518618602).
        let error = jackknife_error(&schools(), correlation).unwrap();
        assert!((error - 0.142_518_618_602).abs() < 1e-9, "{error}");
    }

    #[test]
    fn the_bootstrap_gives_about_the_limits_of_the_law_schools() {
        // 0.460 to 0.963 from 40000 resamples (scipy 1.17.1 bootstrap, percentile); 999 leave about 0.015 of doubt.
        let estimate = bootstrap(&schools(), correlation).unwrap();
        assert!((estimate.value - 0.776_374_491_289).abs() < 1e-9);
        assert!((estimate.lower - 0.460).abs() < 0.03, "{estimate:?}");
        assert!((estimate.upper - 0.963).abs() < 0.015, "{estimate:?}");
    }

    #[test]
    fn the_error_of_a_mean_is_the_textbook_one() {
        // s/√n with s² = 5/3 and n = 4, if each year has one row; a year with its row twice is still one sample.
        let years = [vec![1.0], vec![2.0], vec![3.0], vec![4.0]];
        let error = jackknife_error(&years, mean_of).unwrap();
        assert!((error - (5.0_f64 / 12.0).sqrt()).abs() < 1e-12);
        let twice = years.map(|year| year.repeat(2));
        assert!((jackknife_error(&twice, mean_of).unwrap() - error).abs() < 1e-12);
        assert_eq!(
            bootstrap(&twice, mean_of),
            bootstrap(&[vec![1.0], vec![2.0], vec![3.0], vec![4.0]], mean_of)
        );
    }

    #[test]
    fn years_that_are_alike_leave_no_doubt() {
        let estimate = bootstrap(&vec![vec![0.25, 0.75]; 9], mean_of).unwrap();
        let all = [estimate.lower, estimate.value, estimate.upper];
        assert!(all.iter().all(|x| (x - 0.5).abs() < 1e-12), "{all:?}");
    }

    #[test]
    fn too_little_to_go_by_has_no_limits() {
        assert_eq!(bootstrap(&[vec![1.0, 2.0]], mean_of), None);
        assert_eq!(jackknife_error(&[vec![1.0, 2.0]], mean_of), None);
        assert_eq!(bootstrap::<f64>(&[], mean_of), None);
        // A figure that exists only where a rare year was drawn.
        let figure = |rows: &[f64]| rows.contains(&7.0).then_some(1.0);
        assert_eq!(bootstrap(&[vec![7.0], vec![1.0], vec![1.0]], figure), None);
        assert_eq!(jackknife_error(&[vec![7.0], vec![1.0]], figure), None);
        assert_eq!(bootstrap(&[vec![1.0], vec![2.0]], |_| Some(f64::NAN)), None);
    }

    #[test]
    fn rows_are_grouped_by_their_year() {
        let row = |year| Scored {
            chance: Chance::NEVER,
            happened: false,
            year,
        };
        let years = by_year(&[row(2003), row(2001), row(2003)]);
        assert_eq!(years, [vec![row(2001)], vec![row(2003), row(2003)]]);
    }
}
