//! Invented weather and what a file of it may be like: good, of days ago, cut off, garbled, absurd, or not there.

use std::path::Path;

use chrono::{DateTime, Datelike, Days, NaiveDate, NaiveTime, TimeDelta, Timelike, Utc};
use serde_json::json;

use super::chance::Chance;

/// Days that a forecast covers.
const COVERED: usize = 7;

/// What lies where a garden's forecast is expected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lies {
    Good,
    /// The file of an earlier day.
    Old,
    Nothing,
    Garbage,
    /// The begin of a good one.
    Cut,
    /// Hours of 400 °C.
    Absurd,
    /// Good, in Fahrenheit, and said so.
    OtherUnits,
}

pub(super) const BAD: [Lies; 6] = [
    Lies::Old,
    Lies::Nothing,
    Lies::Garbage,
    Lies::Cut,
    Lies::Absurd,
    Lies::OtherUnits,
];

/// The weather of one seed: a year and a week of daily anomalies in K.
#[derive(Debug)]
pub(super) struct Sky {
    first: NaiveDate,
    anomalies: Vec<f64>,
}

impl Sky {
    pub(super) fn new(first: NaiveDate, days: usize, chance: &mut Chance) -> Self {
        let mut last = 0.0;
        let anomaly = |_| {
            last = 0.75 * last + 2.5 * chance.normal();
            last
        };
        let anomalies = (0..days + 2 * COVERED).map(anomaly).collect();
        Self { first, anomalies }
    }

    fn anomaly(&self, day: NaiveDate) -> f64 {
        let place = usize::try_from((day - self.first).num_days()).unwrap_or(0);
        self.anomalies[place % self.anomalies.len()]
    }

    /// The forecast made at a moment, as bytes of a file; errors grow with the lead.
    pub(super) fn forecast(
        &self,
        now: DateTime<Utc>,
        lies: Lies,
        chance: &mut Chance,
    ) -> Option<Vec<u8>> {
        let start = now
            .date_naive()
            .and_time(NaiveTime::from_hms_opt(now.hour(), 0, 0).unwrap())
            .and_utc();
        let errors: Vec<f64> = (0..=COVERED + 1)
            .map(|lead| (0.4 + 0.35 * f64::from(u32::try_from(lead).unwrap())) * chance.normal())
            .collect();
        let hours: Vec<DateTime<Utc>> = (0..24 * i64::try_from(COVERED).unwrap())
            .map(|hour| start + TimeDelta::hours(hour))
            .collect();
        let degrees = |at: &DateTime<Utc>| {
            let day = at.date_naive();
            let lead = usize::try_from((day - start.date_naive()).num_days()).unwrap();
            let hour = f64::from(at.hour());
            let wave = ((hour - 4.0) / 24.0 * std::f64::consts::TAU).cos();
            let warmth = usual_low(day) + self.anomaly(day) + errors[lead] + 4.5 * (1.0 - wave);
            (warmth * 10.0).round() / 10.0
        };
        let mut degrees: Vec<f64> = hours.iter().map(degrees).collect();
        let unit = if lies == Lies::OtherUnits {
            "°F"
        } else {
            "°C"
        };
        if lies == Lies::OtherUnits {
            for one in &mut degrees {
                *one = ((*one * 1.8 + 32.0) * 10.0).round() / 10.0;
            }
        }
        if lies == Lies::Absurd {
            degrees[30..60].fill(400.0);
        }
        let times: Vec<String> = hours
            .iter()
            .map(|at| at.format("%Y-%m-%dT%H:%M").to_string())
            .collect();
        let body = json!({
            "latitude": 49.9, "longitude": 15.2, "elevation": 250, "utc_offset_seconds": 0, "timezone": "GMT",
            "hourly_units": { "time": "iso8601", "temperature_2m": unit },
            "hourly": { "time": times, "temperature_2m": degrees },
        })
        .to_string()
        .into_bytes();
        match lies {
            Lies::Good | Lies::Absurd | Lies::OtherUnits => Some(body),
            Lies::Cut => Some(body[..body.len() / 2].to_vec()),
            Lies::Garbage => Some(b"<html><body>502 Bad Gateway</body></html>".to_vec()),
            Lies::Nothing | Lies::Old => None,
        }
    }
}

/// The usual low of a day in °C, about that of a valley in central Europe (estimate).
fn usual_low(day: NaiveDate) -> f64 {
    let turn = (f64::from(day.ordinal()) - 205.0) / 365.25 * std::f64::consts::TAU;
    4.0 + 10.0 * turn.cos()
}

/// Some past years of it, as the reply of an archive.
pub(super) fn write_past(file: &Path, last: NaiveDate, years: u64, chance: &mut Chance) {
    let first = last - Days::new(years * 366);
    let days: Vec<NaiveDate> = first.iter_days().take_while(|day| *day <= last).collect();
    let sky = Sky::new(first, days.len(), chance);
    let lows: Vec<f64> = days
        .iter()
        .map(|day| usual_low(*day) + sky.anomaly(*day))
        .collect();
    let highs: Vec<f64> = lows.iter().map(|low| low + 9.0).collect();
    let body = json!({
        "latitude": 49.9, "longitude": 15.2, "elevation": 250, "utc_offset_seconds": 0, "timezone": "GMT",
        "daily_units": { "time": "iso8601", "temperature_2m_min": "°C", "temperature_2m_max": "°C" },
        "daily": { "time": days, "temperature_2m_min": lows, "temperature_2m_max": highs },
    });
    std::fs::write(file, body.to_string()).unwrap();
}
