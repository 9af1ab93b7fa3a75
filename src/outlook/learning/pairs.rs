//! From forecasts that were kept to verified nights: what each foresaw, beside what came.

use std::collections::BTreeMap;

use chrono::{DateTime, Days, NaiveDate, Utc};

use super::{Truth, Verified};
use crate::climate::DailyRecord;
use crate::forecast::{Extremes, Forecast, ForecastDay, local_days};
use crate::garden::Place;
use crate::outlook::build::lift;
use crate::outlook::recent::analysed;
use crate::units::{Celsius, count};

/// Every night that the runs of one source foresaw and that has come.
///
/// What came is taken from the record of the place where it has the date, else from the model's own analysis: the
/// hours of a later run that were past when it was made. Of each local day the last run is looked at, one with an
/// ensemble before one without. The days are the record's, from midnight to midnight.
pub fn verified_pairs<'a>(
    runs: impl IntoIterator<Item = &'a Forecast>,
    record: Option<&DailyRecord>,
    place: &Place,
) -> Vec<Verified> {
    let runs: Vec<&Forecast> = runs.into_iter().collect();
    let analysis = analysed(&runs, place);
    let last = analysis.keys().next_back().copied();
    let Some(last) = last.max(record.map(DailyRecord::last)) else {
        return Vec::new();
    };
    let came = |date: NaiveDate| {
        let recorded = record.and_then(|record| record.day(date).min);
        recorded.map(|min| (min, Truth::Record)).or_else(|| {
            let (min, _) = analysis.get(&date)?;
            Some((*min, Truth::Analysis))
        })
    };
    let end = place.zone.start_of(last + Days::new(1));
    let of_run = |(made, run): (NaiveDate, &Forecast)| {
        let lift = lift(run, place);
        foreseen(run, made, end, place)
            .into_iter()
            .filter_map(|(date, day)| Some((date, day, came(date)?)))
            .flat_map(|(date, day, (observed, truth))| {
                let lead = usize::try_from((date - made).num_days()).unwrap_or(0);
                nights(&day).map(move |(members, min)| Verified {
                    date,
                    lead,
                    members,
                    forecast: min + lift,
                    observed,
                    truth,
                })
            })
            .collect::<Vec<_>>()
    };
    last_of_each_day(&runs, place)
        .into_iter()
        .flat_map(of_run)
        .collect()
}

/// The last run of each local day, by the day on which it was made.
fn last_of_each_day<'a>(runs: &[&'a Forecast], place: &Place) -> BTreeMap<NaiveDate, &'a Forecast> {
    let rank = |run: &Forecast| (run.members.len() > 1, run.data_at);
    let mut last: BTreeMap<NaiveDate, &Forecast> = BTreeMap::new();
    for run in runs {
        let of_day = last.entry(place.zone.date(run.data_at)).or_insert(run);
        if rank(run) > rank(of_day) {
            *of_day = run;
        }
    }
    last
}

/// The days after the one on which a run was made, as far as `end`.
fn foreseen(
    run: &Forecast,
    made: NaiveDate,
    end: DateTime<Utc>,
    place: &Place,
) -> BTreeMap<NaiveDate, ForecastDay> {
    let start = place.zone.start_of(made + Days::new(1));
    local_days(&run.between(start, end), &place.zone)
}

/// The night minimum of the mean of the members, and of the main run, each with how many members it is of.
fn nights(day: &ForecastDay) -> impl Iterator<Item = (usize, Celsius)> + use<> {
    let members: Vec<f64> = day
        .members
        .iter()
        .flatten()
        .map(|(min, _): &Extremes| min.degrees())
        .collect();
    let mean = (members.len() > 1).then(|| {
        let sum: f64 = members.iter().sum();
        (members.len(), Celsius::new(sum / count(members.len())))
    });
    let run = day.run.map(|(min, _)| (1, min));
    mean.into_iter().chain(run)
}
