//! The common shape of Open-Meteo's replies: one JSON object, with hourly series by name or with a refusal.

use std::time::Duration;

use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use serde::Deserialize;
use serde_json::{Map, Value};

use crate::forecast::Hours;
use crate::weather::hours::{Row, Series};
use crate::weather::json::{self, field};
use crate::weather::quantity::{Quantity, TEMPERATURE};
use crate::weather::question::{ReplyError, tidy};
use crate::weather::run::possible_instant;

/// A reply that is one JSON object and no refusal.
#[derive(Debug)]
pub(super) struct Reply(Map<String, Value>);

impl Reply {
    /// Reads it as far as all replies are alike.
    pub(super) fn read(body: &[u8]) -> Result<Self, ReplyError> {
        match json::object(body) {
            Ok(reply) => match refusal(&reply) {
                Some(refusal) => Err(refusal),
                None => Ok(Self(reply)),
            },
            // The service prints the place of a cell that it does not have as a bare nan.
            Err(ReplyError::NotJson(_)) if has_bare_nan(body) => Err(ReplyError::NotCovered),
            Err(error) => Err(error),
        }
    }

    /// A value of the reply itself by its name.
    pub(super) fn value<'a, T: Deserialize<'a>>(&'a self, name: &str) -> Result<T, ReplyError> {
        field(self.0.get(name), name)
    }

    /// A block by its name.
    pub(super) fn block(&self, name: &str) -> Result<&Map<String, Value>, ReplyError> {
        self.0
            .get(name)
            .and_then(Value::as_object)
            .ok_or_else(|| ReplyError::field(name, "is missing"))
    }

    /// One hourly series of air temperatures on full UTC hours.
    pub(super) fn temperatures(
        &self,
        name: &str,
        times: &[DateTime<Utc>],
    ) -> Result<Hours, ReplyError> {
        Ok(self.hours(name, times, &TEMPERATURE)?.into_hours())
    }

    /// One hourly series of a quantity on full UTC hours.
    pub(super) fn hours(
        &self,
        name: &str,
        times: &[DateTime<Utc>],
        quantity: &Quantity,
    ) -> Result<Row, ReplyError> {
        let path = format!("hourly.{name}");
        let units = self.block("hourly_units")?;
        let values: Vec<Option<f64>> = field(self.block("hourly")?.get(name), &path)?;
        let unit: String = field(units.get(name), &format!("hourly_units.{name}"))?;
        Series {
            field: &path,
            unit: &unit,
            times,
            values: &values,
        }
        .on_full_hours(quantity)
    }

    /// The same where the reply has the series at all.
    pub(super) fn hours_if_any(
        &self,
        name: &str,
        times: &[DateTime<Utc>],
        quantity: &Quantity,
    ) -> Result<Option<Row>, ReplyError> {
        let is_there = self.block("hourly")?.contains_key(name);
        is_there
            .then(|| self.hours(name, times, quantity))
            .transpose()
    }

    /// The instants of the hourly values: the service's clock less its one offset, whatever zone it names beside it.
    pub(super) fn times(&self) -> Result<Vec<DateTime<Utc>>, ReplyError> {
        let offset: i32 = field(self.0.get("utc_offset_seconds"), "utc_offset_seconds")?;
        let offset = TimeDelta::seconds(offset.into());
        let stamps: Vec<String> = field(self.block("hourly")?.get("time"), "hourly.time")?;
        stamps
            .iter()
            .map(|stamp| {
                let utc = NaiveDateTime::parse_from_str(stamp, "%Y-%m-%dT%H:%M")
                    .ok()
                    .and_then(|local| local.checked_sub_signed(offset))
                    .map(|utc| utc.and_utc())
                    .ok_or_else(|| {
                        let what = format!("has '{stamp}', expected a time like 2026-04-01T05:00");
                        ReplyError::field("hourly.time", what)
                    })?;
                possible_instant(utc, "hourly.time")
            })
            .collect()
    }
}

/// The refusal that a reply is, if it is one.
fn refusal(reply: &Map<String, Value>) -> Option<ReplyError> {
    if reply.get("error") != Some(&Value::Bool(true)) {
        return None;
    }
    let reason = reply.get("reason").and_then(Value::as_str);
    let reason = tidy(reason.unwrap_or("no reason given"));
    if reason.contains("No data is available for this location") {
        return Some(ReplyError::NotCovered);
    }
    let quota = [("Minutely", 60), ("Hourly", 3_600), ("Daily", 86_400)]
        .into_iter()
        .find(|(period, _)| reason.starts_with(period))
        .map(|(_, seconds)| Duration::from_secs(seconds));
    Some(ReplyError::Said { reason, quota })
}

fn has_bare_nan(body: &[u8]) -> bool {
    let text = String::from_utf8_lossy(body).to_ascii_lowercase();
    text.split([':', ',', '['])
        .any(|part| part.trim_start().starts_with("nan"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reply(hourly: &str) -> String {
        format!(
            r#"{{"utc_offset_seconds":0,"hourly_units":{{"temperature_2m":"°C"}},"hourly":{{{hourly}}}}}"#
        )
    }

    fn complaint(body: &str) -> String {
        let read = |body| {
            let reply = Reply::read(body)?;
            reply.temperatures("temperature_2m", &reply.times()?)
        };
        read(body.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn series_of_differing_lengths_are_refused_with_both_counts() {
        assert_eq!(
            complaint(&reply(
                r#""time":["2026-04-01T00:00","2026-04-01T01:00"],"temperature_2m":[1.5]"#
            )),
            "field hourly.temperature_2m has 1 values for 2 times"
        );
    }

    #[test]
    fn an_empty_series_is_refused() {
        assert_eq!(
            complaint(&reply(r#""time":[],"temperature_2m":[]"#)),
            "field hourly.temperature_2m has no values"
        );
    }

    #[test]
    fn fields_of_the_wrong_kind_are_named() {
        for (hourly, field) in [
            (r#""time":[1775001600],"temperature_2m":[1]"#, "hourly.time"),
            (
                r#""time":["2026-04-01"],"temperature_2m":[1]"#,
                "hourly.time has '2026-04-01'",
            ),
            (
                r#""time":["2026-04-01T00:00"],"temperature_2m":["1"]"#,
                "hourly.temperature_2m",
            ),
            (r#""time":["2026-04-01T00:00"]"#, "hourly.temperature_2m"),
        ] {
            let text = complaint(&reply(hourly));
            assert!(text.starts_with(&format!("field {field}")), "{text}");
        }
        let no_offset = reply("").replace("utc_offset_seconds", "timezone");
        assert!(complaint(&no_offset).starts_with("field utc_offset_seconds"));
    }

    #[test]
    fn a_reply_for_several_places_is_refused() {
        let text = complaint("[{},{}]");
        assert_eq!(
            text,
            "the reply is a list of 2 places, expected the one that was asked for"
        );
    }

    #[test]
    fn the_services_words_are_cut_and_cleaned() {
        let long = "x".repeat(1000);
        let text = complaint(&format!(r#"{{"error":true,"reason":"a\nb{long}"}}"#));
        assert!(text.starts_with("the service says 'a bxxx"), "{text}");
        assert!(text.chars().count() < 230);
        let text = complaint(r#"{"error":true,"reason":"No data is available for this location"}"#);
        assert_eq!(text, "the service has no data for this place");
    }
}
