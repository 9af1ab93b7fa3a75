//! Lays a series of stamped values on full UTC hours, whatever its unit, order, step and gaps.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};

use super::quantity::Quantity;
use super::question::ReplyError;
use crate::forecast::Hours;
use crate::units::Celsius;

/// The longest span of a series; the longest that a service offers is 92 days back and 36 ahead.
pub(super) const SPAN_HOURS_MAX: i64 = 366 * 24;

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

/// Values of one quantity on full UTC hours.
#[derive(Clone)]
pub(super) struct Row {
    /// The instant of the first value.
    pub(super) start: DateTime<Utc>,
    /// One value an hour in the quantity's own unit; a missing hour is none.
    pub(super) values: Vec<Option<f64>>,
}

impl Row {
    /// The row as air temperatures.
    pub(super) fn into_hours(self) -> Hours {
        let celsius = |value: Option<f64>| value.map(Celsius::new);
        Hours {
            start: self.start,
            temperature: self.values.into_iter().map(celsius).collect(),
        }
    }

    /// The value of the hour that begins at an instant.
    pub(super) fn at(&self, at: DateTime<Utc>) -> Option<f64> {
        let hours = (at - self.start).num_seconds().div_euclid(HOUR_SECONDS);
        let index = usize::try_from(hours).ok()?;
        self.values.get(index).copied().flatten()
    }

    /// Every hour with its instant.
    pub(super) fn instants(&self) -> impl Iterator<Item = (DateTime<Utc>, Option<f64>)> + '_ {
        let start = self.start;
        (0..)
            .zip(&self.values)
            .map(move |(hour, value)| (start + TimeDelta::hours(hour), *value))
    }

    /// Takes a known hour down to a value, where it is higher.
    pub(super) fn lower(&mut self, at: DateTime<Utc>, to: f64) {
        let hours = (at - self.start).num_seconds().div_euclid(HOUR_SECONDS);
        let index = usize::try_from(hours).ok();
        if let Some(Some(value)) = index.and_then(|index| self.values.get_mut(index)) {
            *value = value.min(to);
        }
    }

    /// The instant after the last hour.
    pub(super) fn end(&self) -> DateTime<Utc> {
        let hours = i64::try_from(self.values.len()).unwrap_or(0);
        self.start + TimeDelta::hours(hours)
    }
}

impl Series<'_> {
    /// One value for each full hour from the first to the last; an hour without a value is none.
    ///
    /// A value stands for the hour in which its instant lies; where several fall into one, the quantity says which.
    pub(super) fn on_full_hours(&self, quantity: &Quantity) -> Result<Row, ReplyError> {
        let (times, values) = (self.times.len(), self.values.len());
        if times != values {
            return Err(self.complaint(format!("has {values} values for {times} times")));
        }
        let convert = quantity.conversion(self.unit).map_err(|allowed| {
            self.complaint(format!("is in the unit '{}', {allowed}", self.unit))
        })?;
        let mut by_hour: BTreeMap<i64, Option<f64>> = BTreeMap::new();
        for (at, value) in self.times.iter().zip(self.values) {
            let value = value.map(convert);
            if let Some(value) = value {
                self.check(quantity, value, at)?;
            }
            let kept = by_hour
                .entry(at.timestamp().div_euclid(HOUR_SECONDS))
                .or_default();
            *kept = match (*kept, value) {
                (Some(a), Some(b)) => Some((quantity.of_two)(a, b)),
                (a, b) => a.or(b),
            };
        }
        self.filled(&by_hour)
    }

    /// The hours in a row, those between them that were not given as none.
    fn filled(&self, by_hour: &BTreeMap<i64, Option<f64>>) -> Result<Row, ReplyError> {
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
        let values = (first..=last)
            .map(|hour| by_hour.get(&hour).copied().flatten())
            .collect();
        Ok(Row { start, values })
    }

    fn check(&self, quantity: &Quantity, value: f64, at: &DateTime<Utc>) -> Result<(), ReplyError> {
        if quantity.possible.contains(&value) {
            return Ok(());
        }
        let unit = quantity.ours;
        let space = if unit.is_empty() { "" } else { " " };
        Err(self.complaint(format!(
            "is {value:.1}{space}{unit} at {}, outside {} to {}{space}{unit}",
            at.format("%Y-%m-%d %H:%M UTC"),
            quantity.possible.start(),
            quantity.possible.end()
        )))
    }

    fn complaint(&self, what: impl Into<String>) -> ReplyError {
        ReplyError::field(self.field, what)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::weather::quantity::TEMPERATURE;

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
        let row = series.on_full_hours(&TEMPERATURE);
        let hours = row.map_err(|error| error.to_string())?.into_hours();
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
            Err(
                "field t is in the unit 'K', allowed are °C, celsius, degC, °F and degF".to_owned()
            )
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
