//! A seasonal curve as a sum of yearly waves, fitted by least squares.

use std::f64::consts::TAU;

use super::years::DAYS;
use crate::units::count;

/// Days of the year by which curves run; 29 February counts as the day before it.
pub(super) const YEAR_DAYS: f64 = 365.0;

/// A curve over the year: a constant, waves of one to several periods a year, and a trend.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    /// Constant and waves on each day of the year: they are asked for by the thousand.
    of_day: Vec<f64>,
    /// What a year adds.
    slope: f64,
    mean_time: f64,
}

/// Whether a curve has a trend over the years.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Trend {
    /// The years are alike.
    None,
    /// Fitted with the waves.
    Fitted,
}

/// One value with its place in the year and in time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    /// Day of the year, 0 to 364.
    pub(super) day: usize,
    /// Years, from any zero.
    pub(super) time: f64,
    /// The value.
    pub(super) value: f64,
}

impl Curve {
    /// The curve of so many waves nearest to the points; none when the points do not determine it.
    pub(super) fn fit(points: &[Point], order: usize, trend: Trend) -> Option<Self> {
        let n = count(points.len());
        let mean_time = points.iter().map(|point| point.time).sum::<f64>() / n.max(1.0);
        let with_trend = trend == Trend::Fitted;
        let size = 1 + 2 * order + usize::from(with_trend);
        let mut normal = vec![vec![0.0; size + 1]; size];
        for point in points {
            let mut row = waves(point.day, order);
            if with_trend {
                row.push(point.time - mean_time);
            }
            for (line, a) in normal.iter_mut().zip(&row) {
                for (cell, b) in line.iter_mut().zip(row.iter().chain([&point.value])) {
                    *cell += a * b;
                }
            }
        }
        let coefficients = solve(normal)?;
        let slope = if with_trend {
            coefficients.last()
        } else {
            None
        };
        let of_day = |day: usize| {
            let waves = waves(day, order);
            coefficients.iter().zip(waves).map(|(a, b)| a * b).sum()
        };
        Some(Self {
            of_day: (0..DAYS).map(of_day).collect(),
            slope: slope.copied().unwrap_or(0.0),
            mean_time,
        })
    }

    /// What a year adds to the value; nothing without a trend.
    pub(super) const fn slope(&self) -> f64 {
        self.slope
    }

    /// The value on a day of the year at a time.
    pub(super) fn at(&self, day: usize, time: f64) -> f64 {
        let of_day = self.of_day.get(day).copied().unwrap_or_default();
        of_day + self.slope * (time - self.mean_time)
    }
}

/// 1, cos and sin of each wave.
fn waves(day: usize, order: usize) -> Vec<f64> {
    let mut row = vec![1.0];
    for k in 1..=order {
        let angle = TAU * count(k) * count(day) / YEAR_DAYS;
        row.extend([angle.cos(), angle.sin()]);
    }
    row
}

/// Solves a symmetric positive system given as rows with the right side last, by elimination with pivots.
///
/// None when a pivot is next to nothing beside the largest entry: the points then do not determine the curve.
fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    const SINGULAR: f64 = 1e-9;
    let largest = rows
        .iter()
        .flatten()
        .fold(0.0_f64, |largest, cell| largest.max(cell.abs()));
    let mut solved: Vec<Vec<f64>> = Vec::with_capacity(rows.len());
    while !rows.is_empty() {
        let lead = solved.len();
        let cell = |row: &Vec<f64>| row.get(lead).copied().unwrap_or(0.0);
        let pivot = (0..rows.len()).max_by(|a, b| {
            let size = |i: &usize| rows.get(*i).map_or(0.0, |row| cell(row).abs());
            size(a).total_cmp(&size(b))
        })?;
        let mut first = rows.swap_remove(pivot);
        let scale = cell(&first);
        if scale.abs() <= SINGULAR * largest || scale.is_nan() {
            return None;
        }
        for value in &mut first {
            *value /= scale;
        }
        for row in rows.iter_mut().chain(&mut solved) {
            let factor = cell(row);
            for (value, part) in row.iter_mut().zip(&first) {
                *value -= factor * part;
            }
        }
        solved.push(first);
    }
    solved.into_iter().map(|row| row.last().copied()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_curve_is_found_again() {
        let truth = |day: usize, time: f64| {
            let angle = TAU * count(day) / YEAR_DAYS;
            9.0 - 11.0 * angle.cos()
                + 2.0 * angle.sin()
                + 0.5 * (3.0 * angle).cos()
                + 0.03 * (time - 5.0)
        };
        let points: Vec<Point> = (0..10)
            .flat_map(|year| (0..365).map(move |day| (f64::from(year), day)))
            .map(|(year, day)| Point {
                day,
                time: year + 0.5,
                value: truth(day, year + 0.5),
            })
            .collect();
        let curve = Curve::fit(&points, 3, Trend::Fitted).unwrap();
        for (day, time) in [(0, 0.0), (100, 9.0), (364, 12.0)] {
            assert!((curve.at(day, time) - truth(day, time)).abs() < 1e-6);
        }
    }

    #[test]
    fn without_a_trend_the_years_are_alike() {
        let points: Vec<Point> = (0..3650)
            .map(|t| Point {
                day: t % 365,
                time: count(t) / 365.0,
                value: count(t) / 365.0,
            })
            .collect();
        let curve = Curve::fit(&points, 2, Trend::None).unwrap();
        let rise = curve.at(10, 9.0) - curve.at(10, 1.0);
        assert!(rise.abs() < 1e-9, "{rise}");
    }

    #[test]
    fn too_few_points_determine_nothing() {
        let point = Point {
            day: 1,
            time: 0.0,
            value: 3.0,
        };
        assert_eq!(Curve::fit(&[point; 50], 3, Trend::None), None);
    }
}
