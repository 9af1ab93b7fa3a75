//! Reads the daily block of an Open-Meteo archive reply (temporary stand-in).

use chrono::NaiveDate;
use serde::Deserialize;

use super::{DailyRecord, DayExtremes, RecordError};
use crate::units::Celsius;

#[derive(Deserialize)]
struct Reply {
    daily: Daily,
}

#[derive(Deserialize)]
struct Daily {
    time: Vec<NaiveDate>,
    temperature_2m_min: Vec<Option<f64>>,
    temperature_2m_max: Vec<Option<f64>>,
}

/// The record in a reply.
///
/// # Errors
/// When the reply has no such block.
pub fn parse(reply: &[u8]) -> Result<DailyRecord, RecordError> {
    let Reply { daily } =
        serde_json::from_slice(reply).map_err(|error| RecordError::Format(error.to_string()))?;
    let extremes = daily
        .temperature_2m_min
        .into_iter()
        .zip(daily.temperature_2m_max);
    let days = daily
        .time
        .into_iter()
        .zip(extremes)
        .map(|(date, (min, max))| {
            let (min, max) = (min.map(Celsius::new), max.map(Celsius::new));
            (date, DayExtremes { min, max })
        });
    DailyRecord::from_days("Open-Meteo archive", days)
}
