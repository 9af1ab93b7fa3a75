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
use crate::science::infection::BlossomDay;

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
        let hours = hours::hours(conditions, &place.zone);
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

    /// Whether the conditions reach as far as the half-days.
    pub fn knows_the_week(&self) -> bool {
        let end = self.half_days.last().map_or(self.now, |half| half.to);
        let hour = TimeDelta::hours(1);
        self.hours.last().is_some_and(|last| last.at + hour >= end)
    }

    /// The days from one date to another as open flowers meet them; none where a day is not known.
    pub fn blossom_days(&self, from: NaiveDate, to: NaiveDate) -> Option<Vec<BlossomDay>> {
        let days = from.iter_days().take_while(|date| *date <= to);
        days.map(|date| self.blossom_day(date)).collect()
    }

    fn blossom_day(&self, date: NaiveDate) -> Option<BlossomDay> {
        let day = self.day(date)?;
        let hours = self.hours.iter().filter(|hour| hour.local.date() == date);
        day.mean?;
        Some(BlossomDay {
            temperatures: hours
                .filter_map(|hour| hour.condition.temperature)
                .collect(),
            rain: day.rain?,
            wet_hours: day.wet_hours?,
        })
    }

    fn between(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> &[WorkHour] {
        let first = self.hours.partition_point(|hour| hour.at < from);
        let after = self.hours.partition_point(|hour| hour.at < to);
        self.hours.get(first..after).unwrap_or_default()
    }
}

/// So many days after a date.
fn later(date: NaiveDate, days: u64) -> NaiveDate {
    date.checked_add_days(Days::new(days)).unwrap_or(date)
}
