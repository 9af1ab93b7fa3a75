//! The first go day as it was told, against the one that came.
//!
//! In: the rows of springs. Out: how often the go had come by each of the three dates, and which margins would have made
//! them right. Does not know how the dates are made.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Figure, grouped};
use crate::backtest::baseline::Teller;
use crate::backtest::calendar::Season;
use crate::backtest::plan::Plan;
use crate::backtest::row::Row;
use crate::backtest::series::Series;
use crate::risk::Spread;
use crate::science::scores::bootstrap;
use crate::units::{Chance, count};

/// One of the three dates.
type Pick = fn(&Spread) -> NaiveDate;

/// The shares of the first go days that the three dates are meant to hold, and the names of the figures.
const MEANT: [(f64, &str, &str, Pick); 3] = [
    (
        0.1,
        "go by its early day told (0.1)",
        "margin for 0.1",
        |go| go.early,
    ),
    (
        0.5,
        "go by its middle day told (0.5)",
        "margin for 0.5",
        |go| go.middle,
    ),
    (
        0.9,
        "go by its late day told (0.9)",
        "margin for 0.9",
        |go| go.late,
    ),
];

/// The figures; none but of spring, where the first go is what is waited for.
///
/// Asked are the days on which the cut waits: the chance is above the tolerance, and the season had no release yet.
pub(super) fn coverage(series: &[&Series], plan: &Plan) -> Vec<Figure> {
    if plan.season != Season::Spring {
        return Vec::new();
    }
    let rows: Vec<(&Row, NaiveDate)> = series
        .iter()
        .flat_map(|series| waiting(series, plan.tolerance))
        .collect();
    let mut figures: Vec<Figure> = MEANT
        .iter()
        .map(|(_, name, _, pick)| {
            let held = rows.iter().filter_map(|(row, end)| {
                let date = pick(&row.first_go.told?);
                let is_held = is_held(date, row.first_go.came, *end)?;
                Some((row.year, f64::from(u8::from(is_held))))
            });
            Figure::mean_by_year(name, held)
        })
        .collect();
    let margins = rows.iter().map(|(row, _)| (row.year, row.first_go));
    let margins = grouped(margins.filter_map(|(year, go)| Some((year, go.margin?))));
    figures.extend(MEANT.map(|(share, _, name, _)| {
        let margin = |margins: &[f64]| quantile(margins, 1.0 - share);
        let value = margin(&margins.concat());
        Figure::of(name, bootstrap(&margins, margin), value)
    }));
    let share = |is: bool| f64::from(u8::from(is));
    let told = rows
        .iter()
        .map(|(row, _)| (row.year, share(row.first_go.told.is_some())));
    figures.push(Figure::mean_by_year(
        "waiting days with a first go told",
        told,
    ));
    let waits = series.iter().flat_map(|series| &series.rows);
    let waits = waits.map(|row| (row.year, share(is_waiting(row, plan.tolerance))));
    figures.push(Figure::mean_by_year("share of days that wait", waits));
    figures
}

/// The days on which the cut waits, each with the last decision day of its season.
fn waiting(series: &Series, tolerance: Chance) -> Vec<(&Row, NaiveDate)> {
    let mut ends: BTreeMap<i32, NaiveDate> = BTreeMap::new();
    for row in &series.rows {
        ends.insert(row.year, row.date);
    }
    let waits = |row: &&Row| is_waiting(row, tolerance);
    let rows = series.rows.iter().filter(waits);
    rows.filter_map(|row| Some((row, *ends.get(&row.year)?)))
        .collect()
}

fn is_waiting(row: &Row, tolerance: Chance) -> bool {
    let is_above = row.chance(Teller::Budward).share() > tolerance.share();
    is_above && row.first_go.came.is_none_or(|came| row.date < came)
}

/// Whether the go had come by a date; none where the season ended before either.
fn is_held(date: NaiveDate, came: Option<NaiveDate>, end: NaiveDate) -> Option<bool> {
    match came {
        Some(came) => Some(came <= date),
        None => (date <= end).then_some(false),
    }
}

/// The quantile of some values: the one that has so large a share of them at or below it.
fn quantile(values: &[f64], share: f64) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let is_reached = |index: &usize| count(*index + 1) >= share * count(sorted.len());
    let index = (0..sorted.len()).find(is_reached)?;
    sorted.get(index).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_go_that_never_came_is_not_held_by_a_day_of_the_season() {
        let day = |day| NaiveDate::from_ymd_opt(2001, 5, day).unwrap();
        assert_eq!(is_held(day(3), Some(day(3)), day(20)), Some(true));
        assert_eq!(is_held(day(2), Some(day(3)), day(20)), Some(false));
        assert_eq!(is_held(day(20), None, day(20)), Some(false));
        assert_eq!(is_held(day(21), None, day(20)), None);
    }

    #[test]
    fn a_quantile_has_its_share_at_or_below_it() {
        let values = [5.0, 1.0, 3.0, 2.0, 4.0];
        let found = [0.1, 0.5, 0.6, 0.9].map(|share| quantile(&values, share));
        assert_eq!(found, [Some(1.0), Some(3.0), Some(3.0), Some(5.0)]);
        assert_eq!(quantile(&[], 0.5), None);
    }
}
