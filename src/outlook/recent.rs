//! The days that have come of late: of the record where it has them, else of the model's own analysis.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::RunDays;
use super::build::lift;
use crate::climate::DailyRecord;
use crate::forecast::Extremes;
use crate::garden::Place;

/// Lowest and highest temperature of days that have come, by local date.
pub type MeasuredDays = BTreeMap<NaiveDate, Extremes>;

/// How far back they are kept: the season at hand and the one before it.
const KEPT_FOR: Days = Days::new(735);

/// The days of the last two years before today that are known.
///
/// A record of past years ends some days or years before today; from there on the hours of kept forecasts that were past
/// when each was made stand in for it. A day that neither has is not in the answer.
pub fn measured_days<'a>(
    record: Option<&DailyRecord>,
    runs: impl IntoIterator<Item = &'a RunDays>,
    place: &Place,
    today: NaiveDate,
) -> MeasuredDays {
    let since = today - KEPT_FOR;
    let runs: Vec<&RunDays> = runs.into_iter().collect();
    let mut days = analysed(&runs, place);
    let recorded = record.into_iter().flat_map(|record| {
        let from_last = record.last().min(today);
        since
            .iter_days()
            .take_while(move |date| *date <= from_last)
            .filter_map(|date| {
                let day = record.day(date);
                Some((date, day.min.zip(day.max)?))
            })
    });
    days.extend(recorded);
    days.retain(|date, _| (since..today).contains(date));
    days
}

/// What the newest run that was made after each day says of it, brought to the height of the place.
pub(super) fn analysed(runs: &[&RunDays], place: &Place) -> MeasuredDays {
    let mut runs = runs.to_vec();
    runs.sort_by_key(|run| run.data_at);
    let of_run = |run: &RunDays| -> Vec<(NaiveDate, Extremes)> {
        let lift = lift(run.elevation, place);
        let past = run.past.iter();
        past.map(|(date, (min, max))| (*date, (*min + lift, *max + lift)))
            .collect()
    };
    runs.into_iter().flat_map(of_run).collect()
}
