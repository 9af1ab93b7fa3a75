//! Day length, sunrise and sunset, civil dawn and dusk.
//!
//! In: a date and coordinates. Out: [`SunDay`]; polar day and polar night are values. Does not know time zones.

use std::time::Duration;

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta, Utc};
use solar_positioning::{Events, Horizon, HorizonState, Location, SolarEvents, delta_t};

/// What the sun does on one date.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SunDay {
    /// It does not set.
    PolarDay,
    /// It does not rise.
    PolarNight,
    /// It rises, sets or both; at the edges of polar day and night one of them may be missing or come twice.
    RisesOrSets {
        /// When its upper edge comes up.
        rises: Vec<DateTime<Utc>>,
        /// When its upper edge goes down.
        sets: Vec<DateTime<Utc>>,
        /// How long it is up.
        length: TimeDelta,
    },
}

/// Sunrise, sunset and day length of a date at a place with a level horizon at sea level.
///
/// - Shape: one date and one point on the earth.
/// - Unit: degrees north and east in; UTC instants and a duration out.
/// - Domain: the earth, years -500 to 3000; otherwise nothing.
/// - Accuracy: within 2 s of PyEphem at ten places from 55° south to 78° north, days of ten minutes and
///   dates with two sunsets among them. Near the poles refraction of the real air, which no formula knows, moves the
///   times by minutes.
/// - Source: Reda & Andreas, Solar position algorithm for solar radiation applications, Solar Energy 76, 2004, 577-589;
///   the sun's centre 50' below the horizon as the US Naval Observatory defines rise and set.
///
/// The date is the day of local mean time: 24 hours from mean midnight at that longitude. So a date has its own
/// morning and evening whatever clock is kept there.
///
/// ```
/// use budward::science::sun::{SunDay, sun_day};
/// use chrono::{DateTime, NaiveDate, Utc};
///
/// // Golden, Colorado, 17 October 2003: sunrise 06:12:43 at UTC-7 (worked example of the source).
/// let date = NaiveDate::from_ymd_opt(2003, 10, 17).unwrap();
/// let Some(SunDay::RisesOrSets { rises, .. }) = sun_day(date, 39.742_476, -105.178_6) else { panic!() };
/// let published: DateTime<Utc> = "2003-10-17T13:12:43Z".parse().unwrap();
/// assert!((rises[0] - published).num_seconds().abs() <= 2);
/// ```
pub fn sun_day(date: NaiveDate, latitude: f64, longitude: f64) -> Option<SunDay> {
    above(date, latitude, longitude, Horizon::SunriseSunset)
}

/// Civil dawn, dusk and the time between, in which one sees to work outdoors without a lamp.
///
/// - Shape: one date and one point on the earth.
/// - Unit: degrees north and east in; UTC instants and a duration out.
/// - Domain: as [`sun_day`].
/// - Accuracy: within 1 s of PyEphem at ten places from 55° south to 78° north.
/// - Source: as [`sun_day`]; the sun's centre 6° below the horizon as the US Naval Observatory defines civil twilight.
pub fn civil_day(date: NaiveDate, latitude: f64, longitude: f64) -> Option<SunDay> {
    above(date, latitude, longitude, Horizon::CivilTwilight)
}

fn above(date: NaiveDate, latitude: f64, longitude: f64, horizon: Horizon) -> Option<SunDay> {
    let location = Location {
        latitude,
        longitude,
    };
    let mean_time = mean_time(longitude)?;
    let delta_t = delta_t::estimate_from_date_like(&date).ok()?;
    let events = SolarEvents::new()
        .for_date(date, &mean_time, location, delta_t, horizon)
        .ok()?;
    Some(if events.always_above() {
        SunDay::PolarDay
    } else if events.rises.is_empty() && events.sets.is_empty() {
        SunDay::PolarNight
    } else {
        SunDay::RisesOrSets {
            length: time_above(&events),
            rises: in_utc(&events.rises),
            sets: in_utc(&events.sets),
        }
    })
}

/// Local mean time as an offset: four minutes a degree.
fn mean_time(longitude: f64) -> Option<FixedOffset> {
    const SECONDS_PER_DEGREE: f64 = 240.0;
    let ahead = Duration::try_from_secs_f64(longitude.abs() * SECONDS_PER_DEGREE).ok()?;
    let ahead = i32::try_from(ahead.as_secs()).ok()?;
    if longitude < 0.0 {
        FixedOffset::west_opt(ahead)
    } else {
        FixedOffset::east_opt(ahead)
    }
}

fn time_above(events: &Events<DateTime<FixedOffset>>) -> TimeDelta {
    let mut turns: Vec<(DateTime<FixedOffset>, bool)> = Vec::new();
    turns.extend(events.rises.iter().map(|at| (*at, true)));
    turns.extend(events.sets.iter().map(|at| (*at, false)));
    turns.push((events.end, false));
    turns.sort();
    let mut up_since = (events.state_at_start == HorizonState::Above).then_some(events.start);
    let mut length = TimeDelta::zero();
    for (at, up) in turns {
        if let Some(since) = up_since {
            length += at - since;
        }
        up_since = up.then_some(at);
    }
    length
}

fn in_utc(instants: &[DateTime<FixedOffset>]) -> Vec<DateTime<Utc>> {
    instants.iter().map(DateTime::to_utc).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_point_off_the_earth_has_no_sun() {
        let day = date("2026-04-01");
        for (latitude, longitude) in [(90.5, 0.0), (0.0, 180.5), (f64::NAN, 0.0), (0.0, f64::NAN)] {
            assert_eq!(sun_day(day, latitude, longitude), None);
        }
        assert_eq!(sun_day(date("3500-04-01"), 50.0, 0.0), None);
    }

    #[test]
    fn the_length_is_from_rise_to_set_or_the_rest_of_the_day() {
        let mut seen = 0;
        for day in date("2026-01-01").iter_days().step_by(5).take(73) {
            for latitude in [-75.0, -50.0, 0.0, 50.0, 65.9, 75.0] {
                let sun = sun_day(day, latitude, 130.0).unwrap();
                let Some((length, expected)) = lengths(&sun) else {
                    continue;
                };
                assert_eq!(length, expected, "{day} {latitude}");
                seen += 1;
            }
        }
        assert!(seen > 300, "{seen}");
    }

    /// The length of a day with one rise and one set, and what it has to be.
    fn lengths(sun: &SunDay) -> Option<(TimeDelta, TimeDelta)> {
        let SunDay::RisesOrSets {
            rises,
            sets,
            length,
        } = sun
        else {
            return None;
        };
        let (&[rise], &[set]) = (rises.as_slice(), sets.as_slice()) else {
            return None;
        };
        Some((*length, set - rise + TimeDelta::days(i64::from(set < rise))))
    }
}
