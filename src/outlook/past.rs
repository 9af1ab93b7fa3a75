//! The days that have passed at a place, as its record or the model's own analysis has them.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::Kept;
use super::build::lift;
use crate::forecast::{Extremes, Forecast, past_days};
use crate::garden::Place;

/// What the newest run that was made after each day says of it, brought to the height of the place.
pub(super) fn analysed(runs: &[&Forecast], place: &Place) -> BTreeMap<NaiveDate, Extremes> {
    let mut runs = runs.to_vec();
    runs.sort_by_key(|run| run.data_at);
    let of_run = |run: &Forecast| -> Vec<(NaiveDate, Extremes)> {
        let lift = lift(run, place);
        past_days(run, &place.zone)
            .into_iter()
            .map(|(date, (min, max))| (date, (min + lift, max + lift)))
            .collect()
    };
    runs.into_iter().flat_map(of_run).collect()
}

/// The lowest and highest temperature of each day from `since` on that has passed and is known: of the record where it
/// has both, else of the analysis of the runs that were kept.
pub fn measured_days(kept: &Kept<'_>, since: NaiveDate) -> BTreeMap<NaiveDate, Extremes> {
    let runs: Vec<&Forecast> = kept.runs.iter().chain(kept.newest).collect();
    let mut days = analysed(&runs, kept.place);
    days.retain(|date, _| *date >= since);
    let recorded = kept.record.into_iter().flat_map(|record| {
        let skipped = usize::try_from((since - record.first()).num_days()).unwrap_or(0);
        record.days().skip(skipped)
    });
    days.extend(recorded.filter_map(|(date, day)| Some((date, (day.min?, day.max?)))));
    days
}
