//! Open-Meteo: what to ask it and how to read it, for forecasts, ensembles, past years and heights.
//!
//! Terms of the interface: Open-Meteo's OpenAPI descriptions of the forecast, ensemble, historical weather and
//! elevation services (August 2026).

mod conditions;
mod reply;

use chrono::{DateTime, NaiveDate, Utc};
use serde_json::{Map, Value};

use self::reply::Reply;
use super::asked::Asked;
use super::question::{Question, ReplyError, SHARED_FOR};
use super::run::{
    DAYS_BACK, Run, Service, cell, has_no_value, known, possible_height, possible_instant,
};
use crate::climate::{DailyRecord, archive};
use crate::forecast::Hours;
use crate::garden::Place;
use crate::units::Metres;

/// The service and the credit that its licence asks for.
pub(super) const SERVICE: Service = Service {
    name: "open-meteo",
    attribution: "Weather data by Open-Meteo.com (CC BY 4.0)",
};

/// The hourly air temperature; an ensemble's control run bears the same name.
const TEMPERATURE: &str = "temperature_2m";

/// Days before today's UTC date of which the hourly conditions are asked for: the balance of rain and evapotranspiration
/// runs over a month, and the service allows 92.
const CONDITIONS_BACK: u32 = 31;

/// The height of a cell, or of a place.
const ELEVATION: &str = "elevation";

/// How many days ahead the forecast reaches at the most.
const DAYS_AHEAD: u32 = 16;

/// Asks for the main run, with the hourly conditions.
pub(super) fn forecast(place: &Place) -> Question<Run> {
    let variables = [&[TEMPERATURE], conditions::ASKED.as_slice()].concat();
    let query = hourly_query(place, &variables.join(","), CONDITIONS_BACK);
    Question {
        about: Some(Asked::at(place)),
        ..question("forecast", query, read_run)
    }
}

/// Asks for the members of an ensemble.
pub(super) fn ensemble(place: &Place, model: &str) -> Question<Vec<Hours>> {
    let mut query = hourly_query(place, TEMPERATURE, DAYS_BACK);
    query.push(("models", model.to_owned()));
    Question {
        about: Some(Asked::at(place)),
        ..question("ensemble", query, read_members)
    }
}

/// Asks for the daily extremes of past days, from the first to the last, both included.
///
/// ERA5 is asked for by name: the service's own best match changes its model within the record, and a step in the
/// record would pass for a change of climate. Its days are those of one fixed offset, the one in force when the
/// question is asked, so that for half of the year they start an hour beside local midnight.
pub(super) fn archive(
    place: &Place,
    (first, last): (NaiveDate, NaiveDate),
) -> Question<DailyRecord> {
    let mut query = in_the_cell(place);
    query.extend([
        ("start_date", first.to_string()),
        ("end_date", last.to_string()),
        ("daily", "temperature_2m_min,temperature_2m_max".to_owned()),
        ("models", "era5".to_owned()),
        ("timezone", place.zone.name().to_owned()),
    ]);
    Question {
        about: Some(Asked::days_at(place, last)),
        ..question("archive", query, read_record)
    }
}

/// Asks when the newest run of the model was ready whose page is asked.
///
/// That is later than the hour for which the run was started, as with the other services' own times of issue.
pub(super) fn freshness() -> Question<DateTime<Utc>> {
    question("freshness", Vec::new(), read_freshness)
}

/// Asks for the height of the place.
pub(super) fn elevation(place: &Place) -> Question<Metres> {
    question("elevation", at(place), read_elevation)
}

fn question<T>(
    product: &'static str,
    query: Vec<(&'static str, String)>,
    read: fn(&[u8]) -> Result<T, ReplyError>,
) -> Question<T> {
    Question {
        service: SERVICE.name,
        product,
        good_for: SHARED_FOR,
        query,
        about: None,
        read,
    }
}

/// Hours are asked for in UTC: in a local zone the service applies one offset to the whole reply, right through a
/// change of the clocks. The height is left to the service, which then says for which one its temperatures are meant.
fn hourly_query(place: &Place, variables: &str, days_back: u32) -> Vec<(&'static str, String)> {
    let mut query = in_the_cell(place);
    query.extend([
        ("hourly", variables.to_owned()),
        ("past_days", days_back.to_string()),
        ("forecast_days", DAYS_AHEAD.to_string()),
        ("timezone", "GMT".to_owned()),
        ("timeformat", "iso8601".to_owned()),
    ]);
    query
}

/// Where a cell of a model is asked for.
fn in_the_cell(place: &Place) -> Vec<(&'static str, String)> {
    let [latitude, longitude] = cell(place);
    vec![("latitude", latitude), ("longitude", longitude)]
}

/// To a ten-thousandth of a degree, some ten metres.
fn at(place: &Place) -> Vec<(&'static str, String)> {
    vec![
        ("latitude", format!("{:.4}", place.latitude())),
        ("longitude", format!("{:.4}", place.longitude())),
    ]
}

/// Reads a main run.
pub(super) fn read_run(body: &[u8]) -> Result<Run, ReplyError> {
    let reply = Reply::read(body)?;
    let times = reply.times()?;
    let hours = reply.temperatures(TEMPERATURE, &times)?;
    let elevation: Option<f64> = reply.value(ELEVATION)?;
    let elevation = elevation
        .map(|height| possible_height(height, ELEVATION))
        .transpose()?;
    let conditions = conditions::read(&reply, &times);
    Ok(Run {
        hours: known(hours, "hourly.temperature_2m")?,
        spans: Vec::new(),
        elevation,
        made_at: None,
        conditions,
    })
}

/// Reads the members of an ensemble, the control run among them; a member without a single value is dropped.
pub(super) fn read_members(body: &[u8]) -> Result<Vec<Hours>, ReplyError> {
    let reply = Reply::read(body)?;
    let times = reply.times()?;
    let mut members = Vec::new();
    for name in member_names(reply.block("hourly")?) {
        let hours = reply.temperatures(name, &times)?;
        if !has_no_value(&hours) {
            members.push(hours);
        }
    }
    if members.is_empty() {
        return Err(ReplyError::field("hourly", "has no member with a value"));
    }
    Ok(members)
}

/// Reads the daily extremes of past years.
pub(super) fn read_record(body: &[u8]) -> Result<DailyRecord, ReplyError> {
    Reply::read(body)?;
    Ok(archive::parse(body)?)
}

/// When the newest run of a model could first be had, by the model's own page.
pub(super) fn read_freshness(body: &[u8]) -> Result<DateTime<Utc>, ReplyError> {
    let name = "last_run_availability_time";
    let seconds: i64 = Reply::read(body)?.value(name)?;
    let at = DateTime::from_timestamp(seconds, 0);
    let at = at.ok_or_else(|| ReplyError::field(name, "is outside the calendar"))?;
    possible_instant(at, name)
}

pub(super) fn read_elevation(body: &[u8]) -> Result<Metres, ReplyError> {
    let reply = Reply::read(body)?;
    let heights: Vec<Option<f64>> = reply.value(ELEVATION)?;
    match heights.as_slice() {
        &[Some(height)] => possible_height(height, ELEVATION),
        [None] => Err(ReplyError::NotCovered),
        several => Err(ReplyError::Several(several.len())),
    }
}

/// The series of an ensemble: the control run under the bare name and numbered members; where several models are
/// mixed, each name ends in its model's.
fn member_names(hourly: &Map<String, Value>) -> Vec<&str> {
    let tails = |name| str::strip_prefix(name, TEMPERATURE);
    let models: Vec<&str> = hourly
        .keys()
        .filter_map(|name| model_of_member(tails(name)?))
        .collect();
    let belongs = |tail: &str| model_of_member(tail).is_some() || models.contains(&tail);
    hourly
        .keys()
        .map(String::as_str)
        .filter(|name| tails(name).is_some_and(|tail| tail.is_empty() || belongs(tail)))
        .collect()
}

/// What follows the number in the name of a member: nothing, or its model with an underscore before it; none when it
/// is not the name of a member.
fn model_of_member(tail: &str) -> Option<&str> {
    let numbered = tail.strip_prefix("_member")?;
    let model = numbered.trim_start_matches(|c: char| c.is_ascii_digit());
    let has_number = model.len() < numbered.len();
    (has_number && (model.is_empty() || model.starts_with('_'))).then_some(model)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_without_any_value_is_refused() {
        let body = r#"{"utc_offset_seconds":0,"hourly_units":{"temperature_2m":"°C"},
            "hourly":{"time":["2026-04-01T00:00","2026-04-01T01:00"],"temperature_2m":[null,null]}}"#;
        assert_eq!(
            read_run(body.as_bytes()).unwrap_err().to_string(),
            "field hourly.temperature_2m has no value in 2 hours"
        );
    }

    #[test]
    fn instants_at_the_ends_of_the_calendar_are_refused() {
        for time in ["+262142-12-31T23:00", "-262143-01-01T00:00"] {
            let body = format!(
                r#"{{"utc_offset_seconds":0,"hourly_units":{{"temperature_2m":"°C","precipitation":"mm"}},
                "hourly":{{"time":["{time}"],"temperature_2m":[1.5],"precipitation":[0.1]}}}}"#
            );
            let error = read_run(body.as_bytes()).unwrap_err().to_string();
            assert!(error.starts_with("field hourly.time "), "{error}");
        }
    }

    #[test]
    fn members_are_known_by_their_numbers() {
        assert_eq!(model_of_member("_member01"), Some(""));
        assert_eq!(model_of_member("_member07_icon_eu"), Some("_icon_eu"));
        assert_eq!(model_of_member("_member"), None);
        assert_eq!(model_of_member("_member1x"), None);
        assert_eq!(model_of_member("_max"), None);
    }
}
