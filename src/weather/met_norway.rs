//! MET Norway's Locationforecast 2.0: what to ask it and how to read it.
//!
//! Terms of the interface: MET Norway, weatherapi-docs (terms of service, status codes, Locationforecast data model and
//! ForecastJSON; March 2023). An instant's values hold at its time; those of the hours ahead for the hours that follow
//! it. After two to four days the steps are of six hours: only their instants become hours, and their extremes become
//! spans, since the coldest hour before dawn lies between two instants.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use serde::Deserialize;

use super::asked::Asked;
use super::hours::{Row, Series};
use super::json;
use super::quantity::{FLAG, PERCENT, Quantity, RAIN, TEMPERATURE, WIND};
use super::question::{Question, ReplyError, SHARED_FOR};
use super::rows::Rows;
use super::run::{Run, Service, cell, known, possible_height, possible_instant};
use crate::forecast::Span;
use crate::garden::Place;
use crate::units::{Celsius, Metres};

/// The service and the credit that its licence asks for.
pub(super) const SERVICE: Service = Service {
    name: "met-norway",
    attribution: "Data from MET Norway (api.met.no, CC BY 4.0)",
};

/// Hours of a long step.
const LONG_STEP: u8 = 6;

#[derive(Deserialize)]
struct Body {
    geometry: Option<Geometry>,
    properties: Properties,
}

#[derive(Deserialize)]
struct Geometry {
    /// Degrees east, degrees north, metres.
    #[serde(default)]
    coordinates: Vec<Option<f64>>,
}

#[derive(Deserialize)]
struct Properties {
    meta: Meta,
    timeseries: Vec<Step>,
}

#[derive(Deserialize)]
struct Meta {
    updated_at: DateTime<Utc>,
    #[serde(default)]
    units: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct Step {
    time: DateTime<Utc>,
    data: Data,
}

#[derive(Deserialize)]
struct Data {
    instant: Instant,
    next_1_hours: Option<Ahead>,
    next_6_hours: Option<Ahead>,
}

#[derive(Deserialize)]
struct Instant {
    #[serde(default)]
    details: InstantDetails,
}

#[derive(Deserialize, Default)]
struct InstantDetails {
    air_temperature: Option<f64>,
    dew_point_temperature: Option<f64>,
    relative_humidity: Option<f64>,
    wind_speed: Option<f64>,
    wind_speed_of_gust: Option<f64>,
    cloud_area_fraction: Option<f64>,
}

#[derive(Deserialize)]
struct Ahead {
    summary: Option<Summary>,
    #[serde(default)]
    details: AheadDetails,
}

#[derive(Deserialize)]
struct Summary {
    symbol_code: Option<String>,
}

#[derive(Deserialize, Default)]
struct AheadDetails {
    precipitation_amount: Option<f64>,
    air_temperature_min: Option<f64>,
    air_temperature_max: Option<f64>,
}

/// Asks for the main run. The terms allow four decimals at the most, and ask for the height, in whole metres.
pub(super) fn forecast(place: &Place) -> Question<Run> {
    let [latitude, longitude] = cell(place);
    let mut query = vec![("lat", latitude), ("lon", longitude)];
    if let Some(height) = place.elevation {
        query.push(("altitude", altitude(height)));
    }
    Question {
        service: SERVICE.name,
        product: "forecast",
        good_for: SHARED_FOR,
        query,
        about: Some(Asked::at(place)),
        read,
    }
}

/// A height in whole metres.
pub(super) fn altitude(height: Metres) -> String {
    format!("{:.0}", height.0)
}

/// Reads a main run.
pub(super) fn read(body: &[u8]) -> Result<Run, ReplyError> {
    let body: Body = json::typed(json::object(body)?)?;
    let properties = &body.properties;
    for step in &properties.timeseries {
        possible_instant(step.time, "properties.timeseries.time")?;
    }
    let name = "air_temperature";
    let temperature = properties.instants(name, &TEMPERATURE, |now| now.air_temperature)?;
    let Some(temperature) = temperature else {
        return Err(ReplyError::field(name, "has no value"));
    };
    let height = body.geometry.and_then(|at| *at.coordinates.get(2)?);
    let made_at = possible_instant(properties.meta.updated_at, "properties.meta.updated_at")?;
    Ok(Run {
        hours: known(temperature.into_hours(), name)?,
        spans: properties.spans()?,
        elevation: height
            .map(|height| possible_height(height, "geometry.coordinates"))
            .transpose()?,
        made_at: Some(made_at),
        conditions: properties.rows().map(|rows| rows.conditions()),
    })
}

impl Properties {
    fn rows(&self) -> Result<Rows, ReplyError> {
        let at_once = |name, quantity, pick| self.instants(name, quantity, pick);
        Ok(Rows {
            temperature: at_once("air_temperature", &TEMPERATURE, |now| now.air_temperature)?,
            dew_point: at_once("dew_point_temperature", &TEMPERATURE, |now| {
                now.dew_point_temperature
            })?,
            humidity: at_once("relative_humidity", &PERCENT, |now| now.relative_humidity)?,
            rain: self.ahead("precipitation_amount", &RAIN, |hours, span| {
                Some(hours.details.precipitation_amount? / f64::from(span))
            })?,
            wind: at_once("wind_speed", &WIND, |now| now.wind_speed)?,
            gust: at_once("wind_speed_of_gust", &WIND, |now| now.wind_speed_of_gust)?,
            cloud: at_once("cloud_area_fraction", &PERCENT, |now| {
                now.cloud_area_fraction
            })?,
            radiation: None,
            thunder: self.ahead("symbol_code", &FLAG, |hours, _| {
                let symbol = hours.summary.as_ref()?.symbol_code.as_ref()?;
                Some(if symbol.contains("thunder") { 1.0 } else { 0.0 })
            })?,
        })
    }

    /// The values at the instants; none where there is no value at all.
    fn instants(
        &self,
        name: &str,
        quantity: &Quantity,
        pick: fn(&InstantDetails) -> Option<f64>,
    ) -> Result<Option<Row>, ReplyError> {
        let steps = self.timeseries.iter();
        let given = steps.map(|step| (step.time, pick(&step.data.instant.details)));
        self.row(name, quantity, given.collect())
    }

    /// The values of the hours ahead: of the next hour where a step has it, else the next six hours' share for each of
    /// those that no step has alone.
    fn ahead(
        &self,
        name: &str,
        quantity: &Quantity,
        pick: fn(&Ahead, u8) -> Option<f64>,
    ) -> Result<Option<Row>, ReplyError> {
        let mut hours: BTreeMap<DateTime<Utc>, Option<f64>> = BTreeMap::new();
        for step in &self.timeseries {
            if let Some(next) = &step.data.next_1_hours {
                hours.insert(step.time, pick(next, 1));
            }
        }
        for step in &self.timeseries {
            let Some(next) = step.data.long_step() else {
                continue;
            };
            for hour in 0..i64::from(LONG_STEP) {
                if let Some(at) = step.time.checked_add_signed(TimeDelta::hours(hour)) {
                    hours.entry(at).or_insert_with(|| pick(next, LONG_STEP));
                }
            }
        }
        self.row(name, quantity, hours.into_iter().collect())
    }

    fn row(
        &self,
        name: &str,
        quantity: &Quantity,
        given: Vec<(DateTime<Utc>, Option<f64>)>,
    ) -> Result<Option<Row>, ReplyError> {
        if given.iter().all(|(_, value)| value.is_none()) {
            return Ok(None);
        }
        let unit = self.meta.units.get(name).map_or("", String::as_str);
        let (times, values): (Vec<_>, Vec<_>) = given.into_iter().unzip();
        let series = Series {
            field: name,
            unit,
            times: &times,
            values: &values,
        };
        series.on_full_hours(quantity).map(Some)
    }

    /// The extremes of the long steps; one without both is left out.
    fn spans(&self) -> Result<Vec<Span>, ReplyError> {
        let extreme = |name, pick: fn(&AheadDetails) -> Option<f64>| {
            let long = self.timeseries.iter();
            let given =
                long.filter_map(|step| Some((step.time, pick(&step.data.long_step()?.details))));
            self.row(name, &TEMPERATURE, given.collect())
        };
        let (Some(min), Some(max)) = (
            extreme("air_temperature_min", |ahead| ahead.air_temperature_min)?,
            extreme("air_temperature_max", |ahead| ahead.air_temperature_max)?,
        ) else {
            return Ok(Vec::new());
        };
        let starts = min.instants().filter_map(|(start, low)| {
            let (low, high) = (Celsius::new(low?), Celsius::new(max.at(start)?));
            Some(Span {
                start,
                hours: LONG_STEP,
                min: low.min(high),
                max: high.max(low),
            })
        });
        Ok(starts.collect())
    }
}

impl Data {
    /// The six hours ahead, where the hour ahead is not given alone.
    fn long_step(&self) -> Option<&Ahead> {
        let next = self.next_6_hours.as_ref();
        next.filter(|_| self.next_1_hours.is_none())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn instants_at_the_ends_of_the_calendar_are_refused() {
        for time in ["+262142-12-31T23:30:00Z", "-262143-01-01T00:00:00Z"] {
            let body = format!(
                r#"{{"properties":{{"meta":{{"updated_at":"2027-04-01T05:00:00Z","units":{{"air_temperature":"celsius"}}}},
                "timeseries":[{{"time":"{time}","data":{{"instant":{{"details":{{"air_temperature":1.5}}}}}}}}]}}}}"#
            );
            let error = read(body.as_bytes()).unwrap_err().to_string();
            assert!(error.contains("outside the years 1900 to 2199"), "{error}");
        }
    }
}
