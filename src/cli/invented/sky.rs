//! The hourly conditions that go with invented temperatures: rainy days and dry ones, each by its own date.

use std::f64::consts::{PI, TAU};

use chrono::{DateTime, Datelike, NaiveDate, TimeDelta, Timelike, Utc};

use super::{LOWEST_HOUR, Noise};
use crate::forecast::{Condition, Conditions};
use crate::garden::Zone;
use crate::units::{Celsius, MetresPerSecond};

/// One invented day: its date, its lowest and its highest temperature.
pub(super) type Day = (NaiveDate, f64, f64);

/// The share of days with rain.
const RAINY: f64 = 0.28;

/// The hours in which rain falls on a rainy day.
const RAIN_HOURS: std::ops::Range<u32> = 9..15;

/// A clear noon, in W/m², at the equinox and half the way from there to midsummer's.
const NOON: (f64, f64) = (650.0, 250.0);

/// What a day is like beside its temperatures.
struct Sky {
    rain: f64,
    cloud: f64,
    wind: f64,
    dew_point: f64,
    thunder: bool,
}

/// The air temperature of an hour, one wave a day through the extremes.
pub(super) fn temperature(hour: u32, (_, min, max): &Day) -> f64 {
    let phase = TAU * (f64::from(hour) - LOWEST_HOUR) / 24.0;
    f64::midpoint(*min, *max) - (max - min) / 2.0 * phase.cos()
}

/// The conditions of so many hours from an instant on.
pub(super) fn conditions(
    days: &[Day],
    (start, hours): (DateTime<Utc>, i64),
    zone: &Zone,
    seed: u64,
) -> Conditions {
    let hour = |n| {
        let local = zone.local(start + TimeDelta::hours(n));
        let day = days.iter().rfind(|(date, _, _)| *date == local.date());
        day.map_or_else(Condition::default, |day| of_hour(local.hour(), day, seed))
    };
    Conditions {
        start,
        hours: (0..hours).map(hour).collect(),
    }
}

fn of_hour(hour: u32, day: &Day, seed: u64) -> Condition {
    let sky = Sky::of(day, seed);
    let air = temperature(hour, day);
    let rains = RAIN_HOURS.contains(&hour) && sky.rain > 0.0;
    let height = (PI * (f64::from(hour) + 0.5 - 6.0) / 12.0).sin().max(0.0);
    let season = (TAU * (f64::from(day.0.ordinal()) - 81.0) / 365.25).sin();
    let clear = (NOON.0 + NOON.1 * season) * height;
    let wind = sky.wind * (0.6 + 0.8 * height);
    Condition {
        temperature: Some(Celsius::new(air)),
        dew_point: Some(Celsius::new(sky.dew_point.min(air))),
        rain_mm: Some(if rains { sky.rain / 6.0 } else { 0.0 }),
        wind: Some(MetresPerSecond(wind)),
        gust: Some(MetresPerSecond(1.8 * wind)),
        cloud: Some(sky.cloud),
        radiation_w_m2: Some(clear * (1.0 - 0.7 * sky.cloud)),
        thunder: Some(sky.thunder && rains),
    }
}

impl Sky {
    fn of((date, min, max): &Day, seed: u64) -> Self {
        let day = u64::from(date.num_days_from_ce().unsigned_abs());
        let mut noise = Noise(seed.wrapping_add(day).wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let chance = noise.share();
        let (amount, cloud, wind, damp) =
            (noise.share(), noise.share(), noise.share(), noise.share());
        let rainy = chance < RAINY;
        let rain = if rainy {
            1.0 + 14.0 * amount * amount
        } else {
            0.0
        };
        Self {
            rain,
            cloud: if rainy { 0.9 } else { 0.7 * cloud },
            wind: 1.5 + 4.0 * wind,
            dew_point: min - if rainy { 0.0 } else { 1.0 + 4.0 * damp },
            thunder: rain > 8.0 && *max > 24.0,
        }
    }
}
