//! Whether a reply is about the place that was asked for: a gateway can mix up whose answer is whose.

use chrono::{DateTime, NaiveDate, NaiveTime, TimeDelta, Utc};
use serde::Deserialize;
use serde_json::Value;

use super::question::ReplyError;
use crate::garden::{Place, Zone};

/// How far the middle of a cell may lie from the place in degrees north and east: the coarsest ensemble has cells of
/// half a degree, and a service may choose the neighbouring cell where that one is land (a quarter and a half).
const APART_MAX: f64 = 0.75;

/// Local days are those of one fixed offset, which for half of the year is an hour off the zone's.
const OFFSETS_APART: TimeDelta = TimeDelta::hours(1);

/// The place that a question is about.
#[derive(Debug)]
pub(super) struct Asked {
    latitude: f64,
    longitude: f64,
    /// Of local days: the zone, and a day that is asked for.
    zone: Option<(Zone, NaiveDate)>,
}

/// Where a reply says that it is from; the formats of all services in one, each with fields of its own.
#[derive(Deserialize)]
struct Told {
    latitude: Option<Value>,
    longitude: Option<Value>,
    geometry: Option<Geometry>,
    utc_offset_seconds: Option<i32>,
}

/// A point or the corners of a cell, degrees east first (RFC 7946).
#[derive(Deserialize)]
struct Geometry {
    coordinates: Option<Value>,
}

impl Asked {
    /// About a place.
    pub(super) fn at(place: &Place) -> Self {
        Self {
            latitude: place.latitude(),
            longitude: place.longitude(),
            zone: None,
        }
    }

    /// About the local days of a place, the last of them given.
    pub(super) fn days_at(place: &Place, last: NaiveDate) -> Self {
        Self {
            zone: Some((place.zone.clone(), last)),
            ..Self::at(place)
        }
    }

    /// That a reply is about it, as far as the reply tells.
    ///
    /// # Errors
    /// When it tells another place, or another zone where local days were asked for.
    pub(super) fn holds(&self, body: &[u8]) -> Result<(), ReplyError> {
        let Ok(told) = serde_json::from_slice::<Told>(body) else {
            return Ok(());
        };
        if let Some((latitude, longitude)) = told.place() {
            self.is_near(latitude, longitude)?;
        }
        match told.utc_offset_seconds {
            Some(offset) => self.has_offset(offset),
            None => Ok(()),
        }
    }

    fn is_near(&self, latitude: f64, longitude: f64) -> Result<(), ReplyError> {
        let north = (latitude - self.latitude).abs();
        let east = (longitude - self.longitude).rem_euclid(360.0);
        let apart = north.max(east.min(360.0 - east));
        if apart <= APART_MAX {
            return Ok(());
        }
        let what = format!(
            "is {latitude:.2}, {longitude:.2}, expected one within {APART_MAX} degrees of the place that was asked for"
        );
        Err(ReplyError::field("of the place", what))
    }

    fn has_offset(&self, seconds: i32) -> Result<(), ReplyError> {
        let Some((zone, day)) = &self.zone else {
            return Ok(());
        };
        let at: DateTime<Utc> = day.and_time(NaiveTime::MIN).and_utc();
        let own = zone.local(at) - at.naive_utc();
        if (own - TimeDelta::seconds(seconds.into())).abs() <= OFFSETS_APART {
            return Ok(());
        }
        let what = format!("is {seconds}, which is no clock of {}", zone.name());
        Err(ReplyError::field("utc_offset_seconds", what))
    }
}

impl Told {
    /// Degrees north and east.
    fn place(&self) -> Option<(f64, f64)> {
        let named = |degrees: &Option<Value>| degrees.as_ref().and_then(Value::as_f64);
        let named = named(&self.latitude).zip(named(&self.longitude));
        named.or_else(|| first_point(self.geometry.as_ref()?.coordinates.as_ref()?))
    }
}

/// The point, or the first corner of a cell.
fn first_point(coordinates: &Value) -> Option<(f64, f64)> {
    let values = coordinates.as_array()?;
    match values.first()?.as_f64() {
        Some(east) => Some((values.get(1)?.as_f64()?, east)),
        None => first_point(values.first()?),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(latitude: f64, longitude: f64) -> Asked {
        let zone = Zone::named("America/New_York").unwrap();
        let place = Place::new(latitude, longitude, None, zone).unwrap();
        Asked::days_at(&place, "2026-07-01".parse().unwrap())
    }

    fn told(body: &str) -> Result<(), String> {
        let held = asked(39.5, -82.1).holds(body.as_bytes());
        held.map_err(|error| error.to_string())
    }

    #[test]
    fn a_cell_beside_the_place_is_its_own_and_another_place_is_not() {
        assert_eq!(told(r#"{"latitude":40.2,"longitude":-82.8}"#), Ok(()));
        assert_eq!(
            told(r#"{"latitude":40.2,"longitude":82.1}"#).unwrap_err(),
            "field of the place is 40.20, 82.10, expected one within 0.75 degrees of the place that was asked for"
        );
        let point = r#"{"geometry":{"type":"Point","coordinates":[-82.1,39.5,212]}}"#;
        assert_eq!(told(point), Ok(()));
        let turned = r#"{"geometry":{"type":"Point","coordinates":[39.5,-82.1]}}"#;
        assert!(told(turned).is_err());
        let cell = r#"{"geometry":{"type":"Polygon","coordinates":[[[-82.1,39.4],[-82.0,39.4]]]}}"#;
        assert_eq!(told(cell), Ok(()));
        let cell = r#"{"geometry":{"type":"Polygon","coordinates":[[[-92.1,39.4],[-82.0,39.4]]]}}"#;
        assert!(told(cell).is_err());
    }

    #[test]
    fn a_reply_that_tells_no_place_is_taken() {
        for body in ["{}", r#"{"elevation":[212]}"#, r#"{"geometry":null}"#] {
            assert_eq!(told(body), Ok(()), "{body}");
        }
    }

    #[test]
    fn the_edge_of_the_map_is_no_edge() {
        let beyond = r#"{"latitude":-16.5,"longitude":179.9}"#;
        assert_eq!(asked(-16.5, -179.9).holds(beyond.as_bytes()), Ok(()));
    }

    #[test]
    fn days_of_another_zone_are_refused() {
        for offset in [-14_400, -18_000] {
            let body = format!(r#"{{"utc_offset_seconds":{offset}}}"#);
            assert_eq!(told(&body), Ok(()), "{offset}");
        }
        assert_eq!(
            told(r#"{"utc_offset_seconds":3600}"#).unwrap_err(),
            "field utc_offset_seconds is 3600, which is no clock of America/New_York"
        );
    }
}
