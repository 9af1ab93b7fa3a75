//! Single hours: when leaves are wet, how much rain falls in a span, how far the air cools.

use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::WorkWeather;
use crate::forecast::{Condition, Conditions};
use crate::garden::Zone;
use crate::science::wetness::{LeafHour, leaf_wetness};
use crate::units::{Celsius, CelsiusStep, Millimetres, count};

/// Of a span at least this share of hours has to be known for a sum over it (estimate).
const KNOWN_SHARE: f64 = 0.9;

/// One hour at the place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WorkHour {
    /// When it begins.
    pub(super) at: DateTime<Utc>,
    /// The same on the clock of the place.
    pub(super) local: NaiveDateTime,
    /// What is known of it.
    pub(super) condition: Condition,
    /// Whether leaves are wet; none when neither rain nor dew is known.
    pub(super) wet: Option<bool>,
}

/// Hours in a row in which leaves stay wet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WetSpell {
    /// When it begins.
    pub from: DateTime<Utc>,
    /// The local date of that.
    pub on: NaiveDate,
    /// How many hours it lasts.
    pub hours: usize,
    /// Mean temperature over it; none when it is not known.
    pub mean: Option<Celsius>,
    /// The rain in it.
    pub rain: Millimetres,
}

/// A fall of the air temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Fall {
    /// When it has reached its bottom.
    pub at: DateTime<Utc>,
    /// The local date of that.
    pub on: NaiveDate,
    /// From what temperature.
    pub from: Celsius,
    /// Down to what.
    pub to: Celsius,
}

/// The hours of conditions, each with its place on the local clock and whether leaves are wet in it.
pub(super) fn hours(conditions: &Conditions, zone: &Zone) -> Vec<WorkHour> {
    let leaves: Vec<LeafHour> = conditions.hours.iter().map(leaf_hour).collect();
    conditions
        .iter()
        .zip(leaf_wetness(&leaves))
        .map(|((at, condition), wet)| WorkHour {
            at,
            local: zone.local(at),
            condition: *condition,
            wet,
        })
        .collect()
}

/// Without a temperature rain alone tells whether leaves are wet.
fn leaf_hour(condition: &Condition) -> LeafHour {
    LeafHour {
        temperature: condition.temperature.unwrap_or(Celsius::new(0.0)),
        dew_point: condition.temperature.and(condition.dew_point),
        rain: condition.rain_mm.map(Millimetres),
    }
}

impl Fall {
    /// How far it goes.
    pub fn depth(&self) -> CelsiusStep {
        self.from - self.to
    }
}

impl WorkWeather {
    /// The local date at an instant; none outside of the conditions.
    pub fn date(&self, at: DateTime<Utc>) -> Option<NaiveDate> {
        let hours = self.between(at - TimeDelta::hours(1), at + TimeDelta::seconds(1));
        hours.last().map(|hour| hour.local.date())
    }

    /// The rain from one instant until before another; none where too many of its hours are not known.
    pub fn rain(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Option<Millimetres> {
        let span = (to - from).num_hours().max(1);
        let known: Vec<f64> = self
            .between(from, to)
            .iter()
            .filter_map(|hour| hour.condition.rain_mm)
            .collect();
        let wanted = KNOWN_SHARE * count(usize::try_from(span).unwrap_or(0));
        (count(known.len()) >= wanted).then(|| Millimetres(known.iter().sum()))
    }

    /// The spells of wet leaves between two instants, in their order.
    pub fn wet_spells(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Vec<WetSpell> {
        self.between(from, to)
            .chunk_by(|one, next| one.wet == next.wet)
            .filter(|hours| hours.first().is_some_and(|hour| hour.wet == Some(true)))
            .filter_map(spell)
            .collect()
    }

    /// Whether leaves can be told wet from dry between two instants.
    pub fn knows_wetness(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> bool {
        let hours = self.between(from, to);
        let known = hours.iter().filter(|hour| hour.wet.is_some()).count();
        !hours.is_empty() && count(known) >= KNOWN_SHARE * count(hours.len())
    }

    /// The mean air temperature between two instants.
    pub fn mean(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> Option<Celsius> {
        mean(self.between(from, to))
    }

    /// The coldest hour between two instants.
    pub fn coldest(
        &self,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
    ) -> Option<(DateTime<Utc>, Celsius)> {
        temperatures(self.between(from, to))
            .min_by(|(_, a), (_, b)| a.degrees().total_cmp(&b.degrees()))
    }

    /// The deepest fall within so many hours whose bottom lies between two instants.
    pub fn deepest_fall(
        &self,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
        within: TimeDelta,
    ) -> Option<Fall> {
        // Backwards, so that of equal falls the first one is the deepest.
        let falls = self.between(from, to).iter().rev().filter_map(|hour| {
            let before = temperatures(self.between(hour.at - within, hour.at));
            Some(Fall {
                at: hour.at,
                on: hour.local.date(),
                from: before.map(|(_, t)| t).reduce(Celsius::max)?,
                to: hour.condition.temperature?,
            })
        });
        falls.max_by(|a, b| a.depth().kelvin().total_cmp(&b.depth().kelvin()))
    }
}

fn spell(hours: &[WorkHour]) -> Option<WetSpell> {
    let rain = hours.iter().filter_map(|hour| hour.condition.rain_mm);
    let first = hours.first()?;
    Some(WetSpell {
        from: first.at,
        on: first.local.date(),
        hours: hours.len(),
        mean: mean(hours),
        rain: Millimetres(rain.sum()),
    })
}

fn temperatures(hours: &[WorkHour]) -> impl Iterator<Item = (DateTime<Utc>, Celsius)> {
    hours
        .iter()
        .filter_map(|hour| Some((hour.at, hour.condition.temperature?)))
}

fn mean(hours: &[WorkHour]) -> Option<Celsius> {
    let known: Vec<f64> = temperatures(hours).map(|(_, t)| t.degrees()).collect();
    let is_known = !known.is_empty() && count(known.len()) >= KNOWN_SHARE * count(hours.len());
    is_known.then(|| Celsius::new(known.iter().sum::<f64>() / count(known.len())))
}
