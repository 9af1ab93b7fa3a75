//! Values of single days as a file gives them, in any order, until they make a record.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use chrono::NaiveDate;

use super::record::{DailyRecord, DayExtremes, RecordError};
use crate::units::Celsius;

/// The years that a record can have; the oldest station of GHCN-Daily starts in 1763.
pub(super) const YEARS: RangeInclusive<i32> = 1700..=2200;

/// What a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Element {
    Min,
    Max,
}

impl Element {
    /// By the code of GHCN-Daily; none for an element that a record does not hold.
    pub(super) fn named(code: &str) -> Option<Self> {
        match code {
            "TMIN" => Some(Self::Min),
            "TMAX" => Some(Self::Max),
            _ => None,
        }
    }

    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Min => "lowest temperature",
            Self::Max => "highest temperature",
        }
    }
}

/// A value and the line that it was on.
#[derive(Clone, Copy)]
struct Reading {
    value: Celsius,
    line: usize,
}

#[derive(Default)]
struct Day {
    min: Option<Reading>,
    max: Option<Reading>,
}

/// What has been read so far.
#[derive(Default)]
pub(super) struct Readings(BTreeMap<NaiveDate, Day>);

impl Readings {
    /// Adds a value from a line; the same value may come again, another one for the same day is an error.
    pub(super) fn add(
        &mut self,
        date: NaiveDate,
        element: Element,
        value: Celsius,
        line: usize,
    ) -> Result<(), RecordError> {
        let day = self.0.entry(date).or_default();
        let known = match element {
            Element::Min => &mut day.min,
            Element::Max => &mut day.max,
        };
        match known {
            Some(first) if first.value != value => Err(RecordError::Line {
                line,
                what: format!(
                    "a second {} of {date}, other than on line {}",
                    element.words(),
                    first.line
                ),
            }),
            Some(_) => Ok(()),
            None => {
                *known = Some(Reading { value, line });
                Ok(())
            }
        }
    }

    /// The record; a day whose lowest temperature is above its highest keeps neither.
    pub(super) fn into_record(self, origin: String) -> Result<DailyRecord, RecordError> {
        let value = |reading: Option<Reading>| reading.map(|reading| reading.value);
        let days = self
            .0
            .into_iter()
            .map(|(date, day)| (date, DayExtremes::of(value(day.min), value(day.max))));
        DailyRecord::from_days(origin, days)
    }
}
