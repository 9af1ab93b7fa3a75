//! The hours beside the temperatures: moisture, rain, wind, cloud, sun and thunder, past days included.

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, MetresPerSecond};

/// Hourly conditions, one every full UTC hour from `start` on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// The instant of the first hour.
    pub start: DateTime<Utc>,
    /// The hours in a row.
    pub hours: Vec<Condition>,
}

/// One hour; what its service did not give is none.
///
/// | value | meaning | unit |
/// |---|---|---|
/// | `temperature`, `dew_point` | at the full hour, 2 m above the ground | °C |
/// | `rain_mm` | rain and melted snow in the hour that follows | mm |
/// | `wind` | mean at the full hour, 10 m above the ground | m/s |
/// | `gust` | strongest in the hour that follows | m/s |
/// | `cloud` | covered share of the sky at the full hour | 1 |
/// | `radiation_w_m2` | shortwave on level ground, mean of the hour that follows | W/m² |
/// | `thunder` | whether the weather of the hour is a thunderstorm | |
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Condition {
    /// Air temperature.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Celsius>,
    /// Dew point.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dew_point: Option<Celsius>,
    /// Rain and melted snow, in mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rain_mm: Option<f64>,
    /// Mean wind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wind: Option<MetresPerSecond>,
    /// Strongest gust.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gust: Option<MetresPerSecond>,
    /// Covered share of the sky, 0 to 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cloud: Option<f64>,
    /// Shortwave radiation, in W/m².
    #[serde(skip_serializing_if = "Option::is_none")]
    pub radiation_w_m2: Option<f64>,
    /// Whether there is thunder.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thunder: Option<bool>,
}

impl Conditions {
    /// Every hour with its instant.
    pub fn iter(&self) -> impl Iterator<Item = (DateTime<Utc>, &Condition)> + '_ {
        let instants = std::iter::successors(Some(self.start), |at| {
            at.checked_add_signed(TimeDelta::hours(1))
        });
        instants.zip(&self.hours)
    }

    /// Whether they hold more than the temperatures that every forecast has.
    pub fn tell_more_than_temperature(&self) -> bool {
        self.hours.iter().any(Condition::has_more)
    }
}

impl Condition {
    fn has_more(&self) -> bool {
        let numbers = [self.rain_mm, self.cloud, self.radiation_w_m2];
        numbers.iter().any(Option::is_some)
            || self.wind.or(self.gust).is_some()
            || self.dew_point.is_some()
            || self.thunder.is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_known_is_not_written_and_reads_back() {
        let conditions = Conditions {
            start: "2027-04-01T00:00:00Z".parse().unwrap(),
            hours: vec![
                Condition {
                    rain_mm: Some(0.3),
                    ..Condition::default()
                },
                Condition::default(),
            ],
        };
        let text = serde_json::to_string(&conditions).unwrap();
        assert_eq!(
            text,
            r#"{"start":"2027-04-01T00:00:00Z","hours":[{"rain_mm":0.3},{}]}"#
        );
        let read: Conditions = serde_json::from_str(&text).unwrap();
        assert_eq!(read, conditions);
        assert!(read.tell_more_than_temperature());
        let at: Vec<_> = read.iter().map(|(at, _)| at.to_rfc3339()).collect();
        assert_eq!(
            at,
            ["2027-04-01T00:00:00+00:00", "2027-04-01T01:00:00+00:00"]
        );
    }

    #[test]
    fn a_forecast_that_was_kept_without_conditions_is_still_read() {
        let kept = r#"{"source":"invented","attribution":"invented weather","data_at":"2027-04-01T00:00:00Z",
            "elevation":212.0,"run":{"start":"2027-04-01T00:00:00Z","temperature":[1.5,null]},"members":[]}"#;
        let forecast: crate::forecast::Forecast = serde_json::from_str(kept).unwrap();
        assert_eq!(forecast.conditions, None);
        assert!(
            !serde_json::to_string(&forecast)
                .unwrap()
                .contains("conditions")
        );
    }
}
