//! How steady the chance is: from day to day, from night to night, over cutting days.

use super::sums::contested;
use super::{Figure, grouped, mean_of};
use crate::backtest::baseline::Teller;
use crate::backtest::calendar::Season;
use crate::backtest::plan::Plan;
use crate::backtest::row::{CurveCheck, Row};
use crate::backtest::series::Series;
use crate::science::scores::bootstrap;

/// The leads whose 80 % intervals are checked.
const INTERVAL_LEADS: std::ops::RangeInclusive<usize> = 1..=12;

/// The figures.
pub(super) fn smoothness(series: &[&Series], plan: &Plan) -> Vec<Figure> {
    let mut figures = steps(series);
    figures.extend(nights(series));
    figures.extend(curves(series, plan.season));
    if plan.shift_step.is_some() {
        figures.push(thinning(series));
    }
    figures
}

/// How much the chance moves from one decision day to the next.
fn steps(series: &[&Series]) -> Vec<Figure> {
    let pairs = || {
        series
            .iter()
            .flat_map(|series| series.rows.iter().zip(series.rows.iter().skip(1)))
            .filter(|(one, next)| one.year == next.year)
    };
    let share = |row: &Row| row.chance(Teller::Budward).share();
    let change = |(one, next): (&Row, &Row)| (one.year, (share(next) - share(one)).abs());
    let of_contested = pairs().filter(|(one, _)| contested(one));
    vec![
        Figure::mean_by_year("day-to-day change", pairs().map(change)),
        Figure::mean_by_year(
            "day-to-day change, contested days",
            of_contested.map(change),
        ),
    ]
}

/// The single nights: the seam at the forecast's end, and whether intervals hold.
fn nights(series: &[&Series]) -> Vec<Figure> {
    let rows = || series.iter().flat_map(|series| &series.rows);
    let seams = || rows().filter_map(|row| Some((row.year, row.nights.seam()?)));
    let checks = rows().flat_map(|row| row.nights.checks.iter().map(|check| (row.year, check)));
    let inside = checks
        .filter(|(_, check)| INTERVAL_LEADS.contains(&check.lead))
        .filter_map(|(year, check)| Some((year, f64::from(u8::from(check.inside?)))));
    vec![
        Figure::mean_by_year(
            "night to night at forecast's end",
            seams().map(|(year, seam)| (year, seam.0)),
        ),
        Figure::mean_by_year(
            "night to night at the other leads",
            seams().map(|(year, seam)| (year, seam.1)),
        ),
        Figure::mean_by_year("80 % intervals of nights hold", inside),
    ]
}

/// Steps of the climate's curve that go against the season; a whole year has them both ways.
fn curves(series: &[&Series], season: Season) -> Vec<Figure> {
    let curves = || series.iter().flat_map(|series| &series.curves);
    let against: fn(&CurveCheck) -> f64 = match season {
        Season::Spring => |curve| curve.up,
        Season::Autumn => |curve| curve.down,
        Season::All { .. } => return Vec::new(),
    };
    let worst = |of: fn(&CurveCheck) -> f64| curves().map(of).reduce(f64::max);
    vec![
        Figure::mean_by_year(
            "climate curve: wrong way, mean",
            curves().map(|curve| (curve.year, against(curve))),
        ),
        Figure::plain("climate curve: wrong way, worst", worst(against)),
        Figure::plain("climate curve: largest step", worst(|curve| curve.largest)),
    ]
}

/// How far the chance lies from that over fewer futures: the root of the mean square.
fn thinning(series: &[&Series]) -> Figure {
    let square = |row: &Row| {
        let fewer = row.chances.get(&Teller::Fewer)?.share();
        Some((
            row.year,
            (fewer - row.chance(Teller::Budward).share()).powi(2),
        ))
    };
    let rows = series.iter().flat_map(|series| &series.rows);
    let years = grouped(rows.filter_map(square));
    let root = |squares: &[f64]| mean_of(squares).map(f64::sqrt);
    let value = root(&years.concat());
    Figure::of(
        "fewer futures: RMS difference",
        bootstrap(&years, root),
        value,
    )
}
