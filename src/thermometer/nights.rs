//! The lowest temperature of each local day that the thermometer has seen whole.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};

use super::Reading;
use crate::garden::Zone;
use crate::units::Celsius;

/// A day counts from so many of its hours on (80 %; common practice, no source).
const HOURS_MIN: f64 = 0.8;

/// Of the hours from midnight to 08:59 all but one have to be there, since dawn brings the minimum.
const DAWN_HOURS: u32 = 9;

/// Hours between readings no further apart than this count as seen: the air between lies between.
const GAP_MAX: TimeDelta = TimeDelta::hours(2);

/// One local day as its readings come in.
#[derive(Default)]
struct Day {
    min: Option<Celsius>,
    /// Full UTC hours that were seen.
    hours: std::collections::BTreeSet<i64>,
}

/// The minima of the local days, from midnight to midnight as in every daily record here, of readings in order of time.
pub fn night_minima(readings: &[Reading], zone: &Zone) -> BTreeMap<NaiveDate, Celsius> {
    let mut days: BTreeMap<NaiveDate, Day> = BTreeMap::new();
    let mut before: Option<DateTime<Utc>> = None;
    for reading in readings {
        let day = days.entry(zone.date(reading.at)).or_default();
        let lowest = day
            .min
            .map_or(reading.temperature, |min| min.min(reading.temperature));
        day.min = Some(lowest);
        let since = before
            .filter(|before| reading.at - *before <= GAP_MAX)
            .map_or(hour_of(reading.at), |before| hour_of(before) + 1);
        for hour in since.min(hour_of(reading.at))..=hour_of(reading.at) {
            if let Some(start) = DateTime::from_timestamp(hour * 3600, 0) {
                days.entry(zone.date(start)).or_default().hours.insert(hour);
            }
        }
        before = Some(reading.at);
    }
    days.into_iter()
        .filter_map(|(date, day)| Some((date, day.whole(date, zone)?)))
        .collect()
}

fn hour_of(at: DateTime<Utc>) -> i64 {
    at.timestamp().div_euclid(3600)
}

impl Day {
    fn whole(self, date: NaiveDate, zone: &Zone) -> Option<Celsius> {
        let (start, end) = (zone.start_of(date), zone.start_of(date.succ_opt()?));
        let needed = HOURS_MIN * f64::from(u32::try_from((end - start).num_hours()).ok()?);
        let seen = f64::from(u32::try_from(self.hours.len()).ok()?);
        let dawn = self.hours.iter().filter(|hour| {
            DateTime::from_timestamp(**hour * 3600, 0)
                .is_some_and(|at| zone.local(at).hour() < DAWN_HOURS)
        });
        let saw_dawn = dawn.count() + 1 >= usize::try_from(DAWN_HOURS).ok()?;
        self.min.filter(|_| seen >= needed && saw_dawn)
    }
}
