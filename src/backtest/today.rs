//! What is known on a decision day, and the outlook that it gives.
//!
//! In: the day's forecast and measured extremes, the climate of the years before, the skill so far. Out: futures. Does
//! not know what comes, but for the week that a perfect forecast is lent.

use chrono::NaiveDate;

use super::baseline::WEEK;
use super::teacher::Prior;
use super::world::{Issue, Weather, perfect};
use crate::climate::DailyRecord;
use crate::forecast::Extremes;
use crate::outlook::{Daily, Futures, Horizon, Outlook, Skill};
use crate::units::CelsiusStep;

/// What is known on a decision day.
pub(super) struct Today<'a> {
    pub(super) date: NaiveDate,
    pub(super) issue: Issue,
    pub(super) measured: Option<Extremes>,
    pub(super) weather: &'a Weather<'a>,
    pub(super) skill: Skill,
}

impl Today<'_> {
    /// The futures of the day.
    pub(super) fn outlook(&self, horizon: Horizon) -> Outlook {
        let daily = Daily {
            today: self.date,
            measured: self.measured,
            days: self.issue.clone(),
            age_days: 0,
            lift: CelsiusStep::default(),
        };
        Outlook::of_days(&daily, Some(self.weather.climate), &self.skill, horizon)
    }

    /// The same day with nothing known of its weather.
    pub(super) fn without_weather(&self) -> Self {
        Self {
            issue: Issue::new(),
            measured: None,
            ..self.copy()
        }
    }

    /// The same day with the coming week known for sure.
    pub(super) fn with_sure_week(&self, record: &DailyRecord) -> Self {
        let day = record.day(self.date);
        Self {
            issue: perfect(record, self.date, WEEK),
            measured: day.min.zip(day.max),
            skill: Prior::Perfect(WEEK).skill(&self.weather.climate.min, self.date),
            ..self.copy()
        }
    }

    fn copy(&self) -> Self {
        Self {
            date: self.date,
            issue: Issue::new(),
            measured: self.measured,
            weather: self.weather,
            skill: self.skill.clone(),
        }
    }
}

/// The outlook with every so many-th start day of each past year alone, those in the middle of the range kept.
///
/// Futures stand year by year, and within a year by member and start day; of a single run a year has one a start day.
pub(super) fn thinned(outlook: &Outlook, step: usize) -> Outlook {
    let of_year = outlook.futures.len() / outlook.basis.years.max(1);
    let first = of_year.saturating_sub(1) % step.max(1) / 2;
    let is_kept = |index: &usize| index % of_year.max(1) % step.max(1) == first;
    let kept = outlook.futures.iter().enumerate();
    let room = outlook.futures.len().div_ceil(step.max(1));
    let mut futures = Futures::with_room(room, outlook.futures.days());
    for (_, future) in kept.filter(|(index, _)| is_kept(index)) {
        futures.push(future.min, future.max);
    }
    let mut basis = outlook.basis.clone();
    basis.futures = futures.len();
    Outlook {
        basis,
        bound: outlook.bound,
        horizon: outlook.horizon,
        midwinter: outlook.midwinter,
        coming_nights: outlook.coming_nights.clone(),
        leaf: outlook.leaf.clone(),
        futures,
    }
}
