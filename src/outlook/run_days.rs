//! What a kept run says day by day at its place: all that is ever learned from it, in a hundredth of its size.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::forecast::{Extremes, Forecast, ForecastDay, local_days, past_days};
use crate::garden::Zone;
use crate::units::{Celsius, Metres, count};

/// A run by its local days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunDays {
    /// Which service or file it came from.
    pub source: String,
    /// When its data were made.
    pub data_at: DateTime<Utc>,
    /// Height to which the service has fitted its temperatures; those here are as the service gave them.
    pub elevation: Option<Metres>,
    /// How many members it has.
    pub members: usize,
    /// The local date on which it was made.
    pub made: NaiveDate,
    /// The days that were past when it was made: an analysis.
    pub past: Vec<(NaiveDate, Extremes)>,
    /// The nights after that date by the date of their morning, each with how many members its minimum is the mean of.
    pub nights: Vec<(NaiveDate, usize, Celsius)>,
}

impl RunDays {
    /// The days of a run in a zone.
    pub fn of(run: &Forecast, zone: &Zone) -> Self {
        let made = zone.date(run.data_at);
        let coming = local_days(run, zone).into_iter();
        let coming = coming.filter(|(date, _)| *date > made);
        Self {
            source: run.source.clone(),
            data_at: run.data_at,
            elevation: run.elevation,
            members: run.members.len(),
            made,
            past: past_days(run, zone).into_iter().collect(),
            nights: coming
                .flat_map(|(date, day)| minima(&day).map(move |(of, min)| (date, of, min)))
                .collect(),
        }
    }
}

/// The night minimum of the mean of the members, and of the main run, each with how many members it is of.
fn minima(day: &ForecastDay) -> impl Iterator<Item = (usize, Celsius)> + use<> {
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
