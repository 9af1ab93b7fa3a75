//! Stage 3, beside the risk: the weather of the weeks about now as whoever works outdoors asks for it.
//!
//! In: hourly conditions, a place, a moment. Out: [`WorkWeather`]: local days with rain and evapotranspiration, wet and
//! cold spells, half-days to work in. Does not know plants or cuts; what a service did not give stays unknown.

mod days;
mod half_days;
mod hours;

use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use crate::forecast::Conditions;
use crate::garden::Place;

pub use days::{WaterBalance, WorkDay};
pub use half_days::{Half, HalfDay};
pub use hours::{Fall, WetSpell};

use hours::WorkHour;

/// The weather about now, past and coming.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkWeather {
    /// The moment.
    pub now: DateTime<Utc>,
    /// The local date.
    pub today: NaiveDate,
    /// Every local day that the conditions touch, past and coming, in their order without a gap.
    pub days: Vec<WorkDay>,
    /// The halves of today and of the six days that follow, as far as they lie ahead.
    pub half_days: Vec<HalfDay>,
    hours: Vec<WorkHour>,
}

impl WorkWeather {
    /// The weather at a place about a moment.
    pub fn of(conditions: &Conditions, place: &Place, now: DateTime<Utc>) -> Self {
        let hours: Vec<WorkHour> = conditions
            .iter()
            .map(|(at, condition)| WorkHour::of(at, place.zone.local(at), condition))
            .collect();
        Self {
            now,
            today: place.zone.date(now),
            days: days::days(&hours, place),
            half_days: half_days::half_days(&hours, place, now),
            hours,
        }
    }

    /// One day.
    pub fn day(&self, date: NaiveDate) -> Option<&WorkDay> {
        self.days.iter().find(|day| day.date == date)
    }

    /// The days from one on, so many of them; fewer where the conditions end.
    pub fn days_from(&self, date: NaiveDate, days: usize) -> impl Iterator<Item = &WorkDay> {
        self.days
            .iter()
            .skip_while(move |day| day.date < date)
            .take(days)
    }

    /// The whole days before today, so many of them; none where the conditions do not reach back so far.
    pub fn days_before(&self, days: usize) -> Option<&[WorkDay]> {
        let today = self.days.iter().position(|day| day.date == self.today)?;
        self.days.get(today.checked_sub(days)?..today)
    }

    /// Rain less reference evapotranspiration over so many days before today; none where a day lacks one of them.
    pub fn balance(&self, days: usize) -> Option<WaterBalance> {
        days::balance(self.days_before(days)?)
    }

    /// The first day from today on of which something holds.
    pub fn first_day(&self, holds: impl Fn(&WorkDay) -> bool) -> Option<NaiveDate> {
        let mut coming = self.days.iter().filter(|day| day.date >= self.today);
        coming.find(|day| holds(day)).map(|day| day.date)
    }

    fn between(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> &[WorkHour] {
        let first = self.hours.partition_point(|hour| hour.at < from);
        let after = self.hours.partition_point(|hour| hour.at < to);
        self.hours.get(first..after).unwrap_or_default()
    }
}

/// The day after another, or so many days after it.
fn later(date: NaiveDate, days: u64) -> NaiveDate {
    date.checked_add_days(Days::new(days)).unwrap_or(date)
}

/// Whole hours as a span.
fn hours_of(count: usize) -> TimeDelta {
    TimeDelta::hours(i64::try_from(count).unwrap_or(0))
}
