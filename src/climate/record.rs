//! A daily record of lowest and highest temperatures; a gap stays a gap.

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::site::Site;
use crate::units::Celsius;

/// No thermometer record is longer: 500 years.
const SPAN_DAYS_MAX: i64 = 500 * 366;

/// The extremes of one calendar day, each present or a gap.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct DayExtremes {
    /// Lowest temperature of the day.
    pub min: Option<Celsius>,
    /// Highest temperature of the day.
    pub max: Option<Celsius>,
}

/// Daily extremes on consecutive calendar days from the first one on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DailyRecord {
    /// Where it comes from, in words for the keeper: station and service.
    pub origin: String,
    /// Where it was measured, where that is known.
    #[serde(default)]
    pub site: Option<Site>,
    first: NaiveDate,
    days: Vec<DayExtremes>,
}

/// A record that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RecordError {
    /// A line does not follow the format.
    #[error("line {line}: {what}")]
    Line {
        /// Counted from 1.
        line: usize,
        /// What was found and what is expected.
        what: String,
    },
    /// The text as a whole is not of the format.
    #[error("{0}")]
    Format(String),
    /// It holds no daily extremes at all.
    #[error("no daily lowest or highest temperature in it")]
    Empty,
}

impl DayExtremes {
    /// A day as it was read; one whose lowest temperature is above its highest keeps neither, since nobody knows which
    /// of them is wrong.
    pub(super) fn of(min: Option<Celsius>, max: Option<Celsius>) -> Self {
        if min.zip(max).is_some_and(|(min, max)| min > max) {
            Self::default()
        } else {
            Self { min, max }
        }
    }
}

impl DailyRecord {
    /// A record from single days in any order; of a value that is given twice the last one stays.
    ///
    /// # Errors
    /// [`RecordError::Empty`] when there is no value at all, [`RecordError::Format`] when the first and the last day
    /// lie further apart than any record reaches.
    pub fn from_days(
        origin: impl Into<String>,
        given: impl IntoIterator<Item = (NaiveDate, DayExtremes)>,
    ) -> Result<Self, RecordError> {
        let given: Vec<(NaiveDate, DayExtremes)> = given
            .into_iter()
            .filter(|(_, day)| *day != DayExtremes::default())
            .collect();
        let dates = || given.iter().map(|(date, _)| *date);
        let Some((first, last)) = dates().min().zip(dates().max()) else {
            return Err(RecordError::Empty);
        };
        let span = (last - first).num_days();
        if span > SPAN_DAYS_MAX {
            return Err(RecordError::Format(format!(
                "it would run from {first} to {last}: one of the dates is wrong"
            )));
        }
        let mut days = vec![DayExtremes::default(); usize::try_from(span).unwrap_or(0) + 1];
        for (date, day) in given {
            let known = usize::try_from((date - first).num_days()).ok();
            if let Some(known) = known.and_then(|index| days.get_mut(index)) {
                known.min = day.min.or(known.min);
                known.max = day.max.or(known.max);
            }
        }
        Ok(Self {
            origin: origin.into(),
            site: None,
            first,
            days,
        })
    }

    /// A record from consecutive days; gaps at its ends are left out.
    ///
    /// # Errors
    /// As [`Self::from_days`].
    pub fn from_run(
        origin: impl Into<String>,
        first: NaiveDate,
        mut days: Vec<DayExtremes>,
    ) -> Result<Self, RecordError> {
        let is_known = |day: &DayExtremes| *day != DayExtremes::default();
        let known = days
            .iter()
            .position(is_known)
            .zip(days.iter().rposition(is_known));
        let (from, last) = known.ok_or(RecordError::Empty)?;
        days.truncate(last + 1);
        days.drain(..from);
        let first = u64::try_from(from)
            .ok()
            .and_then(|from| first.checked_add_days(Days::new(from)));
        let first =
            first.filter(|_| i64::try_from(days.len()).is_ok_and(|days| days <= SPAN_DAYS_MAX + 1));
        let first = first.ok_or_else(|| {
            RecordError::Format(format!("it would have {} days: too many", days.len()))
        })?;
        Ok(Self {
            origin: origin.into(),
            site: None,
            first,
            days,
        })
    }

    /// The first day.
    pub fn first(&self) -> NaiveDate {
        self.first
    }

    /// The last day.
    pub fn last(&self) -> NaiveDate {
        let further = u64::try_from(self.days.len().saturating_sub(1)).unwrap_or(0);
        self.first
            .checked_add_days(Days::new(further))
            .unwrap_or(self.first)
    }

    /// Every day with its date, gaps included.
    pub fn days(&self) -> impl Iterator<Item = (NaiveDate, DayExtremes)> + '_ {
        self.first.iter_days().zip(self.days.iter().copied())
    }

    /// One day; a day outside the record is a gap.
    pub fn day(&self, date: NaiveDate) -> DayExtremes {
        usize::try_from((date - self.first).num_days())
            .ok()
            .and_then(|index| self.days.get(index))
            .copied()
            .unwrap_or_default()
    }

    /// The days from `first` to before `end` that the record has, gaps included.
    pub(super) fn run(&self, first: NaiveDate, end: NaiveDate) -> &[DayExtremes] {
        let index = |date: NaiveDate| {
            let days = (date - self.first).num_days().max(0);
            usize::try_from(days).unwrap_or(0).min(self.days.len())
        };
        self.days.get(index(first)..index(end)).unwrap_or_default()
    }

    /// The part from `first` to `last`, both included; none when nothing lies in it.
    pub fn between(&self, first: NaiveDate, last: NaiveDate) -> Option<Self> {
        let days = self.run(first, last.succ_opt().unwrap_or(last)).to_vec();
        let part = Self::from_run(self.origin.clone(), first.max(self.first), days).ok()?;
        Some(part.at(self.site))
    }

    /// The same record of a site.
    #[must_use]
    pub fn at(self, site: Option<Site>) -> Self {
        Self { site, ..self }
    }

    /// The record with the days of another one of the same place; where both have a value the other's stays.
    ///
    /// # Errors
    /// When the two lie further apart than any record reaches.
    pub fn with(&self, other: &Self) -> Result<Self, RecordError> {
        let joined = Self::from_days(other.origin.clone(), self.days().chain(other.days()))?;
        Ok(joined.at(other.site.or(self.site)))
    }
}
