//! How steady the chance is: from day to day, from night to night, over cutting days.

use super::sums::contested;
use super::{Figure, mean};
use crate::backtest::baseline::Teller;
use crate::backtest::series::{CurveCheck, Row, Series};

/// The leads whose 80 % intervals are checked.
const INTERVAL_LEADS: std::ops::RangeInclusive<usize> = 1..=12;

/// The figures.
pub(super) fn smoothness(series: &[&Series]) -> Vec<Figure> {
    let rows = || series.iter().flat_map(|series| &series.rows);
    let pairs = || {
        series
            .iter()
            .flat_map(|series| series.rows.iter().zip(series.rows.iter().skip(1)))
            .filter(|(one, next)| one.year == next.year)
    };
    let change = |(one, next): (&Row, &Row)| {
        (next.chance(Teller::Budward).share() - one.chance(Teller::Budward).share()).abs()
    };
    let curves = || series.iter().flat_map(|series| &series.curves);
    let checks = || rows().flat_map(|row| &row.nights.checks);
    let inside = checks()
        .filter(|check| INTERVAL_LEADS.contains(&check.lead))
        .filter_map(|check| check.inside);
    let worst = |of: fn(&CurveCheck) -> f64| curves().map(of).reduce(f64::max);
    vec![
        Figure::plain("day-to-day change", mean(pairs().map(change))),
        Figure::plain(
            "same, contested days",
            mean(pairs().filter(|(one, _)| contested(one)).map(change)),
        ),
        Figure::plain(
            "night to night at forecast's end",
            mean(
                rows()
                    .filter_map(|row| row.nights.seam())
                    .map(|seam| seam.0),
            ),
        ),
        Figure::plain(
            "same at the other leads",
            mean(
                rows()
                    .filter_map(|row| row.nights.seam())
                    .map(|seam| seam.1),
            ),
        ),
        Figure::plain(
            "80 % intervals of nights hold",
            mean(inside.map(|inside| f64::from(u8::from(inside)))),
        ),
        Figure::plain(
            "climate curve: steps up, mean",
            mean(curves().map(|curve| curve.up)),
        ),
        Figure::plain("climate curve: steps up, worst", worst(|curve| curve.up)),
        Figure::plain("climate curve: largest step", worst(|curve| curve.largest)),
    ]
}
