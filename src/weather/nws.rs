//! The US National Weather Service: a point leads to a grid cell, the cell has the forecast, and alerts stand beside it.
//!
//! Terms of the interface: the service's OpenAPI description 1.9.0 (github weather-gov/api, assets/openapi.yaml) and its
//! general FAQs (May 2024). Every address is built from the configured one, never taken from a reply.

mod alerts;
mod ask;
mod grid;
mod interval;

use chrono::TimeDelta;
use serde::Deserialize;
use serde_json::{Map, Value};

use super::asked::Asked;
use super::json;
use super::question::{Question, ReplyError, SHARED_FOR, tidy};
use super::run::{Run, Service};
use crate::garden::Place;

pub(super) use alerts::{Alert, concerning, read as read_alerts};
pub(super) use grid::read as read_grid;

/// The service and the credit: its data are free of rights (public domain).
pub(super) const SERVICE: Service = Service {
    name: "nws",
    attribution: "Forecast by the US National Weather Service (weather.gov)",
};

/// The cell of a point is asked for again after so long; offices move their grids without notice, which a cell that
/// is gone tells (estimate).
const POINT_GOOD_FOR: TimeDelta = TimeDelta::days(7);

/// What a point leads to.
#[derive(Debug, Default)]
pub(super) struct Point {
    office: String,
    x: u32,
    y: u32,
    /// The zones and the county in which it lies, such as FLZ015.
    zones: Vec<String>,
}

impl Point {
    /// The address of the cell's forecast.
    pub(super) fn grid_address(&self, base: &str) -> String {
        let Self { office, x, y, .. } = self;
        format!("{}/gridpoints/{office}/{x},{y}", trimmed(base))
    }
}

/// The address that leads to the cell of a place.
pub(super) fn point_address(base: &str, place: &Place) -> String {
    format!("{}/points/{}", trimmed(base), at(place))
}

/// The address of the alerts in force at a place.
pub(super) fn alerts_address(base: &str, place: &Place) -> String {
    format!("{}/alerts/active?point={}", trimmed(base), at(place))
}

/// Asks for the cell of a place.
pub(super) fn point(place: &Place) -> Question<Point> {
    Question {
        about: Some(Asked::at(place)),
        good_for: POINT_GOOD_FOR,
        ..question("point", read_point)
    }
}

/// Asks for the forecast of a cell.
pub(super) fn grid(place: &Place) -> Question<Run> {
    Question {
        about: Some(Asked::at(place)),
        ..question("grid", read_grid)
    }
}

/// Asks for the alerts in force.
pub(super) fn alerts() -> Question<Vec<Alert>> {
    question("alerts", read_alerts)
}

/// The service refuses parameters that it does not know, so the address is all that is asked.
fn question<T>(product: &'static str, read: fn(&[u8]) -> Result<T, ReplyError>) -> Question<T> {
    Question {
        service: SERVICE.name,
        product,
        good_for: SHARED_FOR,
        query: Vec::new(),
        about: None,
        read,
    }
}

fn trimmed(base: &str) -> &str {
    base.trim_end_matches('/')
}

/// Latitude and longitude as the service wants them: four decimals at the most, no trailing zero.
pub(super) fn at(place: &Place) -> String {
    let number = |degrees: f64| {
        let text = format!("{degrees:.4}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" {
            "0".to_owned()
        } else {
            text.to_owned()
        }
    };
    format!("{},{}", number(place.latitude()), number(place.longitude()))
}

/// The body of a reply that is no refusal.
fn body(bytes: &[u8]) -> Result<Map<String, Value>, ReplyError> {
    let body = json::object(bytes)?;
    match problem(&body) {
        Some(problem) => Err(problem),
        None => Ok(body),
    }
}

/// The refusal that a body is: type, title and detail of RFC 9457; the type is told by its tail.
fn problem(body: &Map<String, Value>) -> Option<ReplyError> {
    let text = |name| body.get(name).and_then(Value::as_str);
    let kind = text("type")?;
    let is_problem = kind.contains("/problems/") || kind.starts_with("urn:noaa:nws:api:");
    if !is_problem {
        return None;
    }
    if kind.ends_with("InvalidPoint") || kind.ends_with("MarineForecastNotSupported") {
        return Some(ReplyError::NotCovered);
    }
    let words = [text("title"), text("detail")];
    let words: Vec<&str> = words.into_iter().flatten().collect();
    Some(ReplyError::Said {
        reason: tidy(&words.join(": ")),
        quota: None,
    })
}

#[derive(Deserialize)]
struct PointBody {
    properties: PointProperties,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct PointProperties {
    grid_id: String,
    grid_x: Index,
    grid_y: Index,
    forecast_zone: Option<String>,
    county: Option<String>,
    fire_weather_zone: Option<String>,
}

/// The description says number, replies were seen to say text.
#[derive(Deserialize)]
#[serde(untagged)]
enum Index {
    Number(u32),
    Text(String),
}

impl Index {
    fn number(&self, field: &str) -> Result<u32, ReplyError> {
        match self {
            Self::Number(number) => Ok(*number),
            Self::Text(text) => text.parse().map_err(|_| {
                ReplyError::field(field, format!("is '{text}', expected a whole number"))
            }),
        }
    }
}

/// Reads what a point leads to.
pub(super) fn read_point(bytes: &[u8]) -> Result<Point, ReplyError> {
    let PointBody { properties } = json::typed(body(bytes)?)?;
    let office = properties.grid_id;
    let is_office =
        (1..=8).contains(&office.len()) && office.chars().all(|c| c.is_ascii_alphanumeric());
    if !is_office {
        let what = format!("is '{office}', expected the letters of an office");
        return Err(ReplyError::field("properties.gridId", what));
    }
    let zones = [
        properties.forecast_zone,
        properties.county,
        properties.fire_weather_zone,
    ];
    let zones = zones.iter().flatten().map(|address| last_part(address));
    Ok(Point {
        office,
        x: properties.grid_x.number("properties.gridX")?,
        y: properties.grid_y.number("properties.gridY")?,
        zones: zones.collect(),
    })
}

/// The last part of an address, which is a zone's own name.
fn last_part(address: &str) -> String {
    let name = address.rsplit('/').next();
    name.unwrap_or_default().to_ascii_uppercase()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::Zone;

    #[test]
    fn places_are_written_without_trailing_zeros() {
        let zone = Zone::named("America/New_York").unwrap();
        let at =
            |latitude, longitude| at(&Place::new(latitude, longitude, None, zone.clone()).unwrap());
        assert_eq!(at(38.740_04, -85.0), "38.74,-85");
        assert_eq!(at(0.0, -0.000_01), "0,0");
        assert_eq!(at(10.0, -100.123_456), "10,-100.1235");
    }

    #[test]
    fn an_office_that_would_lead_elsewhere_is_refused() {
        let body =
            |id: &str| format!(r#"{{"properties":{{"gridId":"{id}","gridX":"58","gridY":65}}}}"#);
        let point = read_point(body("TAE").as_bytes()).unwrap();
        assert_eq!(
            point.grid_address("https://weather.example/"),
            "https://weather.example/gridpoints/TAE/58,65"
        );
        for id in ["", "../zones", "TAE/1"] {
            let error = read_point(body(id).as_bytes()).unwrap_err().to_string();
            assert!(error.starts_with("field properties.gridId is"), "{error}");
        }
    }

    #[test]
    fn refusals_are_told_by_the_tail_of_their_type() {
        let said = |kind: &str| {
            let body = format!(r#"{{"type":"{kind}","title":"Unavailable","detail":"Try later"}}"#);
            read_point(body.as_bytes()).unwrap_err()
        };
        let covered = said("https://weather.example/problems/InvalidPoint");
        assert_eq!(covered, ReplyError::NotCovered);
        assert_eq!(
            said("urn:noaa:nws:api:UnexpectedProblem").to_string(),
            "the service says 'Unavailable: Try later'"
        );
    }
}
