//! Daily extremes from the reply of an archive service in the shape of Open-Meteo's.
//!
//! The reply is JSON: `daily` holds `time` and one list a variable, `daily_units` the unit of each by the same name.
//! Source: Open-Meteo, documentation of the historical weather interface.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Deserialize;

use super::record::{DailyRecord, DayExtremes, RecordError};
use super::site::Site;
use crate::units::{AIR_RANGE, Celsius, Metres};

const MIN: &str = "temperature_2m_min";
const MAX: &str = "temperature_2m_max";

#[derive(Deserialize)]
struct Reply {
    #[serde(default)]
    error: bool,
    reason: Option<String>,
    latitude: Option<f64>,
    longitude: Option<f64>,
    elevation: Option<f64>,
    #[serde(default)]
    daily_units: BTreeMap<String, String>,
    daily: Option<Daily>,
}

#[derive(Deserialize)]
struct Daily {
    time: Vec<NaiveDate>,
    #[serde(rename = "temperature_2m_min")]
    min: Option<Vec<Option<f64>>>,
    #[serde(rename = "temperature_2m_max")]
    max: Option<Vec<Option<f64>>>,
}

/// The daily extremes of an archive reply for one place.
///
/// A null is a gap. A day whose lowest temperature is above its highest keeps neither.
///
/// # Errors
/// When the service sent an error, the JSON is not valid, a variable or its unit is missing, lists differ in length, days
/// do not follow each other, or a temperature does not occur on earth.
pub fn parse(bytes: &[u8]) -> Result<DailyRecord, RecordError> {
    let reply = read(bytes)?;
    if reply.error {
        let reason = reply.reason.as_deref().unwrap_or("no reason given");
        return Err(wrong(format!(
            "the archive service answered with an error: {reason}"
        )));
    }
    let daily = reply
        .daily
        .as_ref()
        .ok_or_else(|| wrong("no field daily".to_owned()))?;
    consecutive(&daily.time)?;
    let min = reply.values(MIN, daily.min.as_deref(), &daily.time)?;
    let max = reply.values(MAX, daily.max.as_deref(), &daily.time)?;
    let days = daily.time.iter().zip(min.into_iter().zip(max));
    let days = days.map(|(date, (min, max))| (*date, DayExtremes::of(min, max)));
    Ok(DailyRecord::from_days(reply.origin(), days)?.at(reply.site()))
}

fn read(bytes: &[u8]) -> Result<Reply, RecordError> {
    if bytes.trim_ascii_start().starts_with(b"[") {
        return Err(wrong(
            "a reply for several places; expected one place".to_owned(),
        ));
    }
    let mut json = serde_json::Deserializer::from_slice(bytes);
    let reply = serde_path_to_error::deserialize(&mut json).map_err(|error| {
        let path = error.path().to_string();
        let cause = error.into_inner();
        if cause.is_data() {
            wrong(format!("field {path}: {cause}"))
        } else {
            wrong(format!("not valid JSON: {cause}"))
        }
    })?;
    json.end()
        .map_err(|error| wrong(format!("not valid JSON: {error}")))?;
    Ok(reply)
}

fn wrong(what: String) -> RecordError {
    RecordError::Format(what)
}

/// Each day has to follow the one before, so that no value can belong to another day than it seems.
fn consecutive(days: &[NaiveDate]) -> Result<(), RecordError> {
    for pair in days.windows(2) {
        let &[first, second] = pair else { continue };
        if first.succ_opt() != Some(second) {
            return Err(wrong(format!(
                "field daily.time: {second} does not follow {first}"
            )));
        }
    }
    Ok(())
}

impl Reply {
    fn values(
        &self,
        name: &str,
        values: Option<&[Option<f64>]>,
        days: &[NaiveDate],
    ) -> Result<Vec<Option<Celsius>>, RecordError> {
        let values =
            values.ok_or_else(|| wrong(format!("no field daily.{name}; {}", self.variables())))?;
        if values.len() != days.len() {
            return Err(wrong(format!(
                "field daily.{name} has {} values, expected {}",
                values.len(),
                days.len()
            )));
        }
        let celsius = self.unit(name)?;
        let check = |(value, day): (&Option<f64>, &NaiveDate)| {
            let Some(value) = *value else { return Ok(None) };
            let temperature = celsius(value);
            if AIR_RANGE.contains(&temperature.degrees()) {
                Ok(Some(temperature))
            } else {
                let (low, high) = (AIR_RANGE.start(), AIR_RANGE.end());
                Err(wrong(format!(
                    "field daily.{name}: {value} on {day} is outside {low} to {high} °C"
                )))
            }
        };
        values.iter().zip(days).map(check).collect()
    }

    /// From the unit of a variable to °C.
    fn unit(&self, name: &str) -> Result<fn(f64) -> Celsius, RecordError> {
        match self.daily_units.get(name).map(String::as_str) {
            Some("°C") => Ok(Celsius::new),
            Some("°F") => Ok(Celsius::from_fahrenheit),
            Some(other) => Err(wrong(format!(
                "field daily_units.{name} is '{other}', allowed are °C, °F"
            ))),
            None => Err(wrong(format!("no field daily_units.{name}"))),
        }
    }

    /// What the reply holds instead, by its units.
    fn variables(&self) -> String {
        let names: Vec<&str> = self.daily_units.keys().map(String::as_str).collect();
        format!("the reply has {}", names.join(", "))
    }

    /// The point of the grid. A number that is none on the earth names no site.
    fn site(&self) -> Option<Site> {
        let (latitude, longitude) = self.latitude.zip(self.longitude)?;
        let is_on_earth =
            (-90.0..=90.0).contains(&latitude) && (-180.0..=180.0).contains(&longitude);
        is_on_earth.then_some(Site {
            latitude,
            longitude,
            elevation: self.elevation.filter(|m| m.is_finite()).map(Metres),
        })
    }

    fn origin(&self) -> String {
        let place = self.latitude.zip(self.longitude);
        let place = place.map_or_else(String::new, |(lat, lon)| format!(" for {lat:.2}, {lon:.2}"));
        format!("archive of Open-Meteo{place}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A reply in which `from` is replaced by `to`.
    fn reply(from: &str, to: &str) -> Result<DailyRecord, RecordError> {
        let whole = r#"{"latitude":51.5,"longitude":-0.25,"utc_offset_seconds":0,
            "daily_units":{"time":"iso8601","temperature_2m_min":"°C","temperature_2m_max":"°C"},
            "daily":{"time":["2024-02-28","2024-02-29","2024-03-01"],
                "temperature_2m_min":[-1.5,null,4.0],"temperature_2m_max":[6.0,7.5,3.0]}}"#;
        assert!(whole.contains(from));
        parse(whole.replace(from, to).as_bytes())
    }

    fn said(from: &str, to: &str) -> String {
        reply(from, to).unwrap_err().to_string()
    }

    #[test]
    fn days_are_read_with_their_gaps() {
        let record = reply("latitude", "latitude").unwrap();
        assert_eq!(record.origin, "archive of Open-Meteo for 51.50, -0.25");
        let day = |min: Option<f64>, max: Option<f64>| DayExtremes {
            min: min.map(Celsius::new),
            max: max.map(Celsius::new),
        };
        let days: Vec<_> = record.days().map(|(_, day)| day).collect();
        // On the third day the lowest is above the highest, so the record ends with the second.
        assert_eq!(days, [day(Some(-1.5), Some(6.0)), day(None, Some(7.5))]);
    }

    #[test]
    fn units_go_by_their_name() {
        let record = reply(r#"_min":"°C""#, r#"_min":"°F""#).unwrap();
        let first = record.days().next().unwrap().1;
        assert_eq!(first.min, Some(Celsius::from_fahrenheit(-1.5)));
        assert_eq!(first.max, Some(Celsius::new(6.0)));
        let kelvin = "field daily_units.temperature_2m_min is 'K', allowed are °C, °F";
        assert_eq!(said(r#"_min":"°C""#, r#"_min":"K""#), kelvin);
        assert_eq!(
            said(r#""temperature_2m_min":"°C","#, ""),
            "no field daily_units.temperature_2m_min"
        );
    }

    #[test]
    fn what_the_service_refused_is_passed_on() {
        let text = br#"{"error":true,"reason":"Parameter 'start_date' is out of allowed range"}"#;
        let expected = "the archive service answered with an error: Parameter 'start_date' is out of allowed range";
        assert_eq!(parse(text).unwrap_err().to_string(), expected);
    }

    #[test]
    fn what_is_not_json_is_refused() {
        assert_eq!(
            said("51.5", "nan"),
            "not valid JSON: expected ident at line 1 column 14"
        );
        assert!(said("3.0]}}", "3.0").starts_with("not valid JSON: EOF"));
        assert!(said("3.0]}}", "3.0]}} x").starts_with("not valid JSON: trailing characters"));
        assert!(parse(b"").is_err());
    }

    #[test]
    fn a_reply_of_another_shape_is_refused() {
        let only = "the reply has temperature_2m_max, temperature_2m_min, time";
        assert_eq!(
            said(r#""temperature_2m_min":["#, r#""x":["#),
            format!("no field daily.temperature_2m_min; {only}")
        );
        assert_eq!(
            said("6.0,7.5", "6.0"),
            "field daily.temperature_2m_max has 2 values, expected 3"
        );
        assert_eq!(
            said("02-29", "02-27"),
            "field daily.time: 2024-02-27 does not follow 2024-02-28"
        );
        assert!(
            said("\"2024-02-28\"", "1709078400").starts_with("field daily.time[0]: invalid type")
        );
        assert_eq!(said(r#""daily":"#, r#""hourly":"#), "no field daily");
        let several = parse(b"[{},{}]").unwrap_err().to_string();
        assert_eq!(several, "a reply for several places; expected one place");
        assert_eq!(
            reply(
                "[-1.5,null,4.0],\"temperature_2m_max\":[6.0,7.5,3.0]",
                "[null,null,null],\"temperature_2m_max\":[null,null,null]"
            ),
            Err(RecordError::Empty)
        );
    }

    #[test]
    fn a_temperature_that_does_not_occur_is_refused() {
        let expected = "field daily.temperature_2m_min: -999 on 2024-02-28 is outside -90 to 60 °C";
        assert_eq!(said("-1.5", "-999"), expected);
        assert!(reply("7.5", "60.1").is_err());
    }
}
