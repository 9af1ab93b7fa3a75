//! Stage 1: the weather to come as a service sent it, with origin, age and gaps.
//!
//! In: UTC hours read by [`crate::weather`]. Out: local days of this garden, each usable or a gap.
//! Does not correct, blend or judge; a missing hour stays missing.

mod conditions;
mod days;
mod several;
mod source_state;
mod span;
mod warnings;

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, Metres};

pub use conditions::{Condition, Conditions};
pub use days::{Extremes, ForecastDay, HOURS_MIN, NIGHT_HOURS_MIN, local_days, past_days};
pub use several::{ODD_BY, Odd, Several};
pub use source_state::{Heard, SourceState};
pub use span::Span;
pub use warnings::{FrostWarning, LocalWarning, local_warnings};

/// How old a forecast may be and still support a go.
///
/// Skill falls by half within a day and a half of age (back-test of delayed forecasts; estimate).
pub const FRESH_FOR: TimeDelta = TimeDelta::hours(36);

/// How old a forecast may be and still be used at all; older ones count as none.
pub const USABLE_FOR: TimeDelta = TimeDelta::hours(96);

/// One forecast run as received.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Forecast {
    /// Which service or file it came from.
    pub source: String,
    /// The credit that the service asks for, shown wherever its data are shown.
    pub attribution: String,
    /// When the data were made; where a service does not tell, when they were fetched.
    pub data_at: DateTime<Utc>,
    /// Height to which the service has fitted its temperatures.
    pub elevation: Option<Metres>,
    /// The main run: hourly air temperature at 2 m.
    pub run: Hours,
    /// The members of the ensemble, if the service has one; each the same shape as the main run.
    pub members: Vec<Hours>,
    /// The hours beside the temperatures, past days included; none when the source has none or did not keep them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conditions: Option<Conditions>,
    /// Extremes of longer spans, where the service has no hours; they belong to the main run.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub spans: Vec<Span>,
}

/// Hourly air temperatures at 2 m, one every full UTC hour from `start` on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Hours {
    /// The instant of the first value.
    pub start: DateTime<Utc>,
    /// One value an hour; a missing hour is none.
    pub temperature: Vec<Option<Celsius>>,
}

/// How far a forecast can be trusted for its age.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Freshness {
    /// Young enough for a go.
    Fresh,
    /// Usable to hold a cut, too old to release one.
    Stale,
    /// As good as none.
    Expired,
}

impl Forecast {
    /// How old the data are at `now`; data from the future count as brand new.
    pub fn age(&self, now: DateTime<Utc>) -> TimeDelta {
        (now - self.data_at).max(TimeDelta::zero())
    }

    /// The part of its temperatures from one instant on until before another, without conditions.
    #[must_use]
    pub fn between(&self, start: DateTime<Utc>, end: DateTime<Utc>) -> Self {
        let part = |hours: &Hours| hours.between(start, end);
        Self {
            source: self.source.clone(),
            attribution: self.attribution.clone(),
            run: part(&self.run),
            members: self.members.iter().map(part).collect(),
            conditions: None,
            spans: self.spans_between(start, end),
            ..*self
        }
    }

    fn spans_between(&self, start: DateTime<Utc>, end: DateTime<Utc>) -> Vec<Span> {
        let inside = |span: &&Span| (start..end).contains(&span.start);
        self.spans.iter().filter(inside).copied().collect()
    }

    /// What its age allows at `now`, by the limit `fresh_for`.
    pub fn freshness(&self, now: DateTime<Utc>, fresh_for: TimeDelta) -> Freshness {
        let age = self.age(now);
        if age <= fresh_for {
            Freshness::Fresh
        } else if age <= USABLE_FOR.max(fresh_for) {
            Freshness::Stale
        } else {
            Freshness::Expired
        }
    }
}
