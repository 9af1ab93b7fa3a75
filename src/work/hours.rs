//! Single hours: when leaves are wet, how much rain falls in a span, how far the air cools.

use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use super::{WorkWeather, hours_of};
use crate::forecast::Condition;
use crate::units::{Celsius, CelsiusStep, Millimetres, count};

/// So much rain in an hour wets leaves, in mm (0.01 in, one tip of a rain gauge).
const RAIN_WETS: f64 = 0.2;

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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WetSpell {
    /// When it begins.
    pub from: DateTime<Utc>,
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
    /// From what temperature.
    pub from: Celsius,
    /// Down to what.
    pub to: Celsius,
}

impl WorkHour {
    pub(super) fn of(at: DateTime<Utc>, local: NaiveDateTime, condition: &Condition) -> Self {
        Self {
            at,
            local,
            condition: *condition,
            wet: is_wet(condition),
        }
    }
}

/// Whether leaves are wet in an hour: by rain or by dew.
fn is_wet(condition: &Condition) -> Option<bool> {
    let rain = condition.rain_mm.map(|rain| rain >= RAIN_WETS);
    let dew = condition
        .temperature
        .zip(condition.dew_point)
        .map(|(air, dew)| is_dewy(air, dew));
    match (rain, dew) {
        (Some(true), _) | (_, Some(true)) => Some(true),
        (_, Some(false)) => Some(false),
        // Without a dew point a dry sky says nothing of the dew.
        (_, None) => None,
    }
}

impl Fall {
    /// How far it goes.
    pub fn depth(&self) -> CelsiusStep {
        self.from - self.to
    }
}

impl WorkWeather {
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
        temperatures(self.between(from, to)).min_by(|(_, a), (_, b)| by_warmth(*a, *b))
    }

    /// The deepest fall within so many hours whose bottom lies between two instants.
    pub fn deepest_fall(
        &self,
        from: DateTime<Utc>,
        to: DateTime<Utc>,
        within: TimeDelta,
    ) -> Option<Fall> {
        let falls = temperatures(self.between(from, to)).filter_map(|(at, bottom)| {
            let before = temperatures(self.between(at - within, at));
            let top = before.map(|(_, t)| t).reduce(Celsius::max)?;
            Some(Fall {
                at,
                from: top,
                to: bottom,
            })
        });
        falls.max_by(|a, b| a.depth().kelvin().total_cmp(&b.depth().kelvin()))
    }

    /// Hours of heat above a base between two instants, in °C·h.
    pub fn degree_hours(&self, from: DateTime<Utc>, to: DateTime<Utc>, base: Celsius) -> f64 {
        temperatures(self.between(from, to))
            .map(|(_, t)| (t - base).kelvin().max(0.0))
            .sum()
    }
}

fn spell(hours: &[WorkHour]) -> Option<WetSpell> {
    let rain = hours.iter().filter_map(|hour| hour.condition.rain_mm);
    Some(WetSpell {
        from: hours.first()?.at,
        hours: hours.len(),
        mean: mean(hours),
        rain: Millimetres(rain.sum()),
    })
}

impl WetSpell {
    /// When it ends.
    pub fn to(&self) -> DateTime<Utc> {
        self.from + hours_of(self.hours)
    }
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

fn by_warmth(a: Celsius, b: Celsius) -> std::cmp::Ordering {
    a.degrees().total_cmp(&b.degrees())
}
