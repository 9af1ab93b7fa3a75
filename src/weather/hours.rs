//! Lays a series of stamped temperatures on full UTC hours, whatever its unit, order, step and gaps.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use chrono::{DateTime, Utc};

use super::question::ReplyError;
use crate::forecast::Hours;
use crate::units::Celsius;

/// Air temperatures in °C that can occur.
///
/// Source: WMO World Weather and Climate Extremes Archive: -89.2 at Vostok 1983, 56.7 at Furnace Creek 1913; a degree
/// and a few more for what a model may compute.
const POSSIBLE: RangeInclusive<f64> = -90.0..=60.0;

/// The longest span of a series; the longest that a service offers is 92 days back and 36 ahead.
const SPAN_HOURS_MAX: i64 = 366 * 24;

const HOUR_SECONDS: i64 = 3600;

/// One series as a service sent it.
pub(super) struct Series<'a> {
    /// Its name with its path, for complaints.
    pub(super) field: &'a str,
    /// Its unit as the service writes it.
    pub(super) unit: &'a str,
    /// The instant of each value.
    pub(super) times: &'a [DateTime<Utc>],
    /// The values; a missing one is none.
    pub(super) values: &'a [Option<f64>],
}

impl Series<'_> {
    /// One temperature for each full hour from the first to the last; an hour without a value is none.
    ///
    /// A value stands for the hour in which its instant lies. Where several fall into one hour the lowest stands: a
    /// service that contradicts itself is taken at its colder word.
    pub(super) fn on_full_hours(&self) -> Result<Hours, ReplyError> {
        let (times, values) = (self.times.len(), self.values.len());
        if times != values {
            return Err(self.complaint(format!("has {values} values for {times} times")));
        }
        let convert = self.conversion()?;
        let mut by_hour: BTreeMap<i64, Option<Celsius>> = BTreeMap::new();
        for (at, value) in self.times.iter().zip(self.values) {
            let value = value.map(convert);
            if let Some(value) = value {
                self.check(value, at)?;
            }
            let kept = by_hour
                .entry(at.timestamp().div_euclid(HOUR_SECONDS))
                .or_default();
            *kept = match (*kept, value) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
        self.filled(&by_hour)
    }

    /// The hours in a row, those between them that were not given as none.
    fn filled(&self, by_hour: &BTreeMap<i64, Option<Celsius>>) -> Result<Hours, ReplyError> {
        let (Some((&first, _)), Some((&last, _))) =
            (by_hour.first_key_value(), by_hour.last_key_value())
        else {
            return Err(self.complaint("has no values"));
        };
        if last - first > SPAN_HOURS_MAX {
            return Err(self.complaint(format!(
                "spans {} days, expected at most {}",
                (last - first) / 24,
                SPAN_HOURS_MAX / 24
            )));
        }
        let start = DateTime::from_timestamp(first * HOUR_SECONDS, 0)
            .ok_or_else(|| self.complaint("starts outside the calendar"))?;
        let temperature = (first..=last)
            .map(|hour| by_hour.get(&hour).copied().flatten())
            .collect();
        Ok(Hours { start, temperature })
    }

    fn conversion(&self) -> Result<fn(f64) -> Celsius, ReplyError> {
        match self.unit {
            "°C" => Ok(Celsius::new),
            "°F" => Ok(Celsius::from_fahrenheit),
            other => {
                Err(self.complaint(format!("is in the unit '{other}', allowed are °C and °F")))
            }
        }
    }

    fn check(&self, value: Celsius, at: &DateTime<Utc>) -> Result<(), ReplyError> {
        if POSSIBLE.contains(&value.degrees()) {
            return Ok(());
        }
        Err(self.complaint(format!(
            "is {:.1} °C at {}, outside {} to {} °C",
            value.degrees(),
            at.format("%Y-%m-%d %H:%M UTC"),
            POSSIBLE.start(),
            POSSIBLE.end()
        )))
    }

    fn complaint(&self, what: impl Into<String>) -> ReplyError {
        ReplyError::field(self.field, what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lay(
        unit: &str,
        given: &[(&str, Option<f64>)],
    ) -> Result<(String, Vec<Option<f64>>), String> {
        let times: Vec<DateTime<Utc>> = given.iter().map(|(at, _)| at.parse().unwrap()).collect();
        let values: Vec<Option<f64>> = given.iter().map(|(_, value)| *value).collect();
        let series = Series {
            field: "t",
            unit,
            times: &times,
            values: &values,
        };
        let hours = series.on_full_hours().map_err(|error| error.to_string())?;
        let degrees = hours
            .temperature
            .iter()
            .map(|t| t.map(Celsius::degrees))
            .collect();
        Ok((hours.start.to_rfc3339(), degrees))
    }

    #[test]
    fn hours_that_are_absent_or_null_become_gaps() {
        let laid = lay(
            "°C",
            &[
                ("2026-04-01T00:00:00Z", Some(1.0)),
                ("2026-04-01T03:00:00Z", None),
                ("2026-04-01T04:00:00Z", Some(5.0)),
            ],
        );
        let degrees = vec![Some(1.0), None, None, None, Some(5.0)];
        assert_eq!(laid, Ok(("2026-04-01T00:00:00+00:00".to_owned(), degrees)));
    }

    #[test]
    fn of_two_values_for_one_hour_the_colder_stands_in_any_order() {
        let laid = lay(
            "°C",
            &[
                ("2026-04-01T02:00:00Z", Some(3.0)),
                ("2026-04-01T01:30:00Z", Some(-1.0)),
                ("2026-04-01T02:00:00Z", Some(2.0)),
                ("2026-04-01T01:00:00Z", None),
            ],
        );
        let degrees = vec![Some(-1.0), Some(2.0)];
        assert_eq!(laid, Ok(("2026-04-01T01:00:00+00:00".to_owned(), degrees)));
    }

    #[test]
    fn fahrenheit_is_converted_and_other_units_are_refused() {
        // 14 °F are -10 °C (definition of the scales).
        let at = "2026-04-01T00:00:00Z";
        assert_eq!(lay("°F", &[(at, Some(14.0))]).unwrap().1, vec![Some(-10.0)]);
        assert_eq!(
            lay("K", &[(at, Some(263.0))]),
            Err("field t is in the unit 'K', allowed are °C and °F".to_owned())
        );
    }

    #[test]
    fn a_temperature_that_cannot_be_is_refused_with_its_hour() {
        assert_eq!(
            lay("°C", &[("2026-04-01T05:00:00Z", Some(-99.9))]),
            Err("field t is -99.9 °C at 2026-04-01 05:00 UTC, outside -90 to 60 °C".to_owned())
        );
    }

    #[test]
    fn a_span_that_no_service_offers_is_refused() {
        let laid = lay(
            "°C",
            &[
                ("0001-01-01T00:00:00Z", Some(1.0)),
                ("9999-01-01T00:00:00Z", Some(1.0)),
            ],
        );
        assert!(laid.unwrap_err().contains("days, expected at most 366"));
    }
}
