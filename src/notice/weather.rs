//! What there is to say of weather that does not come: once after a day, and once when it is back.

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

/// After so long without usable weather the keeper is told: a service that is down for a night is none of his business
/// (estimate).
pub const LOST_AFTER: TimeDelta = TimeDelta::hours(24);

/// A time without usable weather.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spell {
    /// When it was first missed.
    pub since: DateTime<Utc>,
    /// When the keeper was told of it.
    pub told_at: Option<DateTime<Utc>>,
}

/// What the keeper is told of the weather as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeatherNews {
    /// No usable weather has come.
    Lost {
        /// Since when.
        since: DateTime<Utc>,
    },
    /// It comes again.
    Back {
        /// Since when it had not.
        since: DateTime<Utc>,
    },
}

impl WeatherNews {
    /// Its name in kebab-case, for message ids and the journal.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lost { .. } => "weather-lost",
            Self::Back { .. } => "weather-back",
        }
    }

    /// When the spell began that it is about.
    pub const fn since(self) -> DateTime<Utc> {
        match self {
            Self::Lost { since } | Self::Back { since } => since,
        }
    }
}

impl Spell {
    /// The spell after a look that found usable weather.
    ///
    /// The keeper hears that it is back only if he heard that it was lost.
    pub fn end(before: Option<Self>) -> Option<WeatherNews> {
        let Self { since, told_at } = before?;
        told_at.map(|_| WeatherNews::Back { since })
    }

    /// The spell after a look that found no usable weather, and what there is to say.
    pub fn go_on(before: Option<Self>, now: DateTime<Utc>) -> (Self, Option<WeatherNews>) {
        let before = before.unwrap_or(Self {
            since: now,
            told_at: None,
        });
        let Self { since, told_at } = before;
        if told_at.is_some() || now - since < LOST_AFTER {
            return (before, None);
        }
        let told_at = Some(now);
        (Self { since, told_at }, Some(WeatherNews::Lost { since }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(hour: i64) -> DateTime<Utc> {
        let start: DateTime<Utc> = "2027-04-12T06:00:00Z".parse().unwrap();
        start + TimeDelta::hours(hour)
    }

    #[test]
    fn a_day_without_weather_is_told_once() {
        let mut spell = None;
        let mut told = Vec::new();
        for hour in (0..100).step_by(3) {
            let (next, news) = Spell::go_on(spell, at(hour));
            spell = Some(next);
            told.extend(news.map(|news| (hour, news)));
        }
        assert_eq!(told, [(24, WeatherNews::Lost { since: at(0) })]);
        assert_eq!(Spell::end(spell), Some(WeatherNews::Back { since: at(0) }));
    }

    #[test]
    fn a_night_without_weather_is_not_told_and_neither_is_its_end() {
        let (spell, news) = Spell::go_on(None, at(0));
        assert_eq!(news, None);
        let (spell, news) = Spell::go_on(Some(spell), at(23));
        assert_eq!(news, None);
        assert_eq!(Spell::end(Some(spell)), None);
        assert_eq!(Spell::end(None), None);
    }
}
