//! From forecasts that were kept to verified nights: what each foresaw, beside what came.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Truth, Verified};
use crate::climate::DailyRecord;
use crate::garden::Place;
use crate::outlook::RunDays;
use crate::outlook::build::lift;
use crate::outlook::recent::analysed;

/// Every night that the runs of one source foresaw and that has come.
///
/// What came is taken from the record of the place where it has the date, else from the model's own analysis: the
/// hours of a later run that were past when it was made. Of each local day the last run is looked at, one with an
/// ensemble before one without. The days are the record's, from midnight to midnight.
pub fn verified_pairs<'a>(
    runs: impl IntoIterator<Item = &'a RunDays>,
    record: Option<&DailyRecord>,
    place: &Place,
) -> Vec<Verified> {
    let runs: Vec<&RunDays> = runs.into_iter().collect();
    let analysis = analysed(&runs, place);
    let came = |date: NaiveDate| {
        let recorded = record.and_then(|record| record.day(date).min);
        recorded.map(|min| (min, Truth::Record)).or_else(|| {
            let (min, _) = analysis.get(&date)?;
            Some((*min, Truth::Analysis))
        })
    };
    let of_run = |run: &RunDays| {
        let lift = lift(run.elevation, place);
        let nights = run.nights.iter().filter_map(|(date, members, min)| {
            let (observed, truth) = came(*date)?;
            Some(Verified {
                date: *date,
                lead: usize::try_from((*date - run.made).num_days()).unwrap_or(0),
                members: *members,
                forecast: *min + lift,
                observed,
                truth,
            })
        });
        nights.collect::<Vec<_>>()
    };
    let last = last_of_each_day(&runs).into_values();
    last.flat_map(of_run).collect()
}

/// The last run of each local day.
fn last_of_each_day<'a>(runs: &[&'a RunDays]) -> BTreeMap<NaiveDate, &'a RunDays> {
    let rank = |run: &RunDays| (run.members > 1, run.data_at);
    let mut last: BTreeMap<NaiveDate, &RunDays> = BTreeMap::new();
    for run in runs {
        let of_day = last.entry(run.made).or_insert(run);
        if rank(run) > rank(of_day) {
            *of_day = run;
        }
    }
    last
}
