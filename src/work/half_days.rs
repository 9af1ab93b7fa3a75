//! The halves of the coming days: from sunrise to noon, from noon to sunset, and what the weather is like in each.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::hours::WorkHour;
use super::later;
use crate::garden::Place;
use crate::science::exposure::{heat_index, wind_chill};
use crate::science::humidity::{relative_humidity, saturation_over_water};
use crate::science::sun::{SunDay, sun_day};
use crate::units::{Celsius, MetresPerSecond, Millimetres, count};

/// Days whose halves are looked at, today included.
const DAYS: u64 = 7;

/// The clock hours between which people work where the sun does not set (estimate).
const WORKING_HOURS: (u32, u32) = (6, 20);

/// So much rain in the day before leaves the ground wet, in mm (estimate).
const WETS_GROUND: f64 = 5.0;

/// Of a half-day at least this share of hours has to be known (estimate).
const KNOWN_SHARE: f64 = 0.75;

/// The first or the second half of a day.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Half {
    /// From sunrise to noon by the clock.
    Morning,
    /// From noon by the clock to sunset.
    Afternoon,
}

/// Half a day in which people can see.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HalfDay {
    /// The local date.
    pub date: NaiveDate,
    /// Which half.
    pub half: Half,
    /// When it begins: of a half that has begun, now.
    pub from: DateTime<Utc>,
    /// When it ends.
    pub to: DateTime<Utc>,
    /// Strongest gust; this and all that follow are none where too many hours are not known.
    pub gust: Option<MetresPerSecond>,
    /// Warmest, as it feels in the shade.
    pub heat_index: Option<Celsius>,
    /// Coldest, as it feels in the wind.
    pub wind_chill: Option<Celsius>,
    /// Coldest air.
    pub coldest: Option<Celsius>,
    /// Whether it thunders.
    pub thunder: Option<bool>,
    /// Rain.
    pub rain: Option<Millimetres>,
    /// Hours in which leaves are wet.
    pub wet_hours: Option<usize>,
    /// Whether rain of the day before leaves the ground wet.
    pub wet_ground: Option<bool>,
    /// Covered share of the sky.
    pub cloud: Option<f64>,
}

impl HalfDay {
    /// Whether leaves are dry for most of it; none when that is not known.
    pub fn leaves_dry(&self) -> Option<bool> {
        let hours = count(usize::try_from((self.to - self.from).num_minutes()).unwrap_or(0)) / 60.0;
        self.wet_hours.map(|wet| 2.0 * count(wet) < hours)
    }
}

/// The halves of today and the days after it, as far as they lie ahead.
pub(super) fn half_days(hours: &[WorkHour], place: &Place, now: DateTime<Utc>) -> Vec<HalfDay> {
    let today = place.zone.date(now);
    (0..DAYS)
        .map(|days| later(today, days))
        .flat_map(|date| spans(date, place).into_iter().flatten())
        .filter(|(_, _, (_, to))| *to > now)
        .map(|(date, half, (from, to))| half_day(hours, (date, half), (from.max(now), to)))
        .collect()
}

/// Two instants.
type Span = (DateTime<Utc>, DateTime<Utc>);

/// The halves of a date; nothing where the sun does not rise.
fn spans(date: NaiveDate, place: &Place) -> Option<Vec<(NaiveDate, Half, Span)>> {
    let clock = |hour| {
        date.and_hms_opt(hour, 0, 0)
            .map(|at| place.zone.instant(at))
    };
    let (rise, set) = match sun_day(date, place.latitude(), place.longitude())? {
        SunDay::PolarNight => return None,
        SunDay::PolarDay => (clock(WORKING_HOURS.0)?, clock(WORKING_HOURS.1)?),
        SunDay::RisesOrSets { rises, sets, .. } => (
            rises.first().copied().or_else(|| clock(WORKING_HOURS.0))?,
            sets.last().copied().or_else(|| clock(WORKING_HOURS.1))?,
        ),
    };
    let noon = clock(12)?;
    let halves = [
        (date, Half::Morning, (rise, noon)),
        (date, Half::Afternoon, (noon, set)),
    ];
    let is_span = |(_, _, (from, to)): &(NaiveDate, Half, Span)| from < to;
    Some(halves.into_iter().filter(is_span).collect())
}

fn half_day(hours: &[WorkHour], (date, half): (NaiveDate, Half), (from, to): Span) -> HalfDay {
    // An hour belongs to the half-day into which its greater part falls.
    let centre = |hour: &WorkHour| hour.at + TimeDelta::minutes(30);
    let within: Vec<&WorkHour> = hours
        .iter()
        .filter(|hour| (from..to).contains(&centre(hour)))
        .collect();
    let span_hours = count(usize::try_from((to - from).num_minutes()).unwrap_or(0)) / 60.0;
    let all = Known {
        hours: &within,
        wanted: KNOWN_SHARE * span_hours,
    };
    let rain = all.of(|hour| hour.condition.rain_mm);
    let clouds = all.of(|hour| hour.condition.cloud);
    let wet = all.of(|hour| hour.wet);
    HalfDay {
        date,
        half,
        from,
        to,
        gust: all
            .of(|hour| hour.condition.gust)
            .and_then(|gusts| strongest(gusts.into_iter())),
        heat_index: extreme(all.of(feels_hot), Celsius::max),
        wind_chill: extreme(all.of(feels_cold), Celsius::min),
        coldest: extreme(all.of(|hour| hour.condition.temperature), Celsius::min),
        thunder: all
            .of(|hour| hour.condition.thunder)
            .map(|all| all.contains(&true)),
        rain: rain.map(|rain| Millimetres(rain.iter().sum())),
        wet_hours: wet.map(|wet| wet.iter().filter(|wet| **wet).count()),
        wet_ground: wet_ground(hours, to),
        cloud: clouds.and_then(|clouds| {
            (!clouds.is_empty()).then(|| clouds.iter().sum::<f64>() / count(clouds.len()))
        }),
    }
}

/// The hours of a half-day, and how many of them have to be known.
struct Known<'a> {
    hours: &'a [&'a WorkHour],
    wanted: f64,
}

impl Known<'_> {
    fn of<T>(&self, pick: impl Fn(&WorkHour) -> Option<T>) -> Option<Vec<T>> {
        let values: Vec<T> = self.hours.iter().filter_map(|hour| pick(hour)).collect();
        (count(values.len()) >= self.wanted).then_some(values)
    }
}

fn extreme(values: Option<Vec<Celsius>>, pick: fn(Celsius, Celsius) -> Celsius) -> Option<Celsius> {
    values?.into_iter().reduce(pick)
}

/// The strongest of several winds.
fn strongest(winds: impl Iterator<Item = MetresPerSecond>) -> Option<MetresPerSecond> {
    winds.reduce(|a, b| if a.0 >= b.0 { a } else { b })
}

fn feels_hot(hour: &WorkHour) -> Option<Celsius> {
    let air = hour.condition.temperature?;
    let dew_point = hour.condition.dew_point?;
    let humidity = relative_humidity(air, saturation_over_water(dew_point))?;
    Some(heat_index(air, humidity))
}

/// Where it is too warm or too still for a wind chill the air itself is as cold as it feels.
fn feels_cold(hour: &WorkHour) -> Option<Celsius> {
    let air = hour.condition.temperature?;
    Some(wind_chill(air, hour.condition.wind?).unwrap_or(air))
}

/// By the rain of the 24 hours before the end of the half-day.
fn wet_ground(hours: &[WorkHour], to: DateTime<Utc>) -> Option<bool> {
    let day = TimeDelta::hours(24);
    let before = hours
        .iter()
        .filter(|hour| (to - day..to).contains(&hour.at));
    let rain: Vec<f64> = before.filter_map(|hour| hour.condition.rain_mm).collect();
    (count(rain.len()) >= KNOWN_SHARE * 24.0).then(|| rain.iter().sum::<f64>() >= WETS_GROUND)
}
