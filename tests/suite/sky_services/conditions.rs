//! The hourly conditions beside the temperatures: each on its hour, in its unit, or none.

use budward::forecast::{Condition, Conditions};
use budward::units::MetresPerSecond;

use super::*;
use crate::support::sample;

fn column<T>(conditions: &Conditions, pick: impl Fn(&Condition) -> T) -> Vec<T> {
    conditions.hours.iter().map(pick).collect()
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

#[tokio::test]
async fn each_value_is_laid_on_the_hour_for_which_it_stands() {
    let forecast = from_file("forecast_conditions.json").await.unwrap();
    let conditions = forecast.conditions.unwrap();
    // The first rain, gust and radiation are those of the hour before the first temperature.
    assert_eq!(conditions.start.to_rfc3339(), "2026-04-01T09:00:00+00:00");
    assert_eq!(
        column(&conditions, |hour| hour.rain_mm),
        [0.0, 0.0, 0.4, 5.2, 1.1, 0.0]
            .map(Some)
            .into_iter()
            .chain([None])
            .collect::<Vec<_>>()
    );
    assert_eq!(
        column(&conditions, |hour| hour.gust.map(|gust| tenths(gust.0))),
        [5.0, 6.0, 8.0, 20.0, 12.0, 8.0]
            .map(Some)
            .into_iter()
            .chain([None])
            .collect::<Vec<_>>()
    );
    let radiation = column(&conditions, |hour| hour.radiation_w_m2);
    assert_eq!(radiation[..2], [Some(0.0), Some(180.5)]);
    let dew = column(&conditions, |hour| hour.dew_point.map(Celsius::degrees));
    assert_eq!(dew[..5], [None, Some(7.1), Some(7.0), Some(6.8), None]);
    let cloud = column(&conditions, |hour| hour.cloud);
    assert_eq!(cloud[1..5], [Some(0.2), Some(0.35), None, Some(1.0)]);
    assert_eq!(conditions.hours[4].wind, Some(MetresPerSecond(10.0)));
    let thunder = column(&conditions, |hour| hour.thunder);
    assert_eq!(thunder[3..6], [Some(false), Some(true), Some(false)]);
}

#[tokio::test]
async fn imperial_units_are_converted_and_the_dew_point_comes_from_the_humidity() {
    let forecast = from_file("forecast_imperial_humidity.json").await.unwrap();
    let conditions = forecast.conditions.unwrap();
    assert_eq!(conditions.hours[1].rain_mm, Some(12.7));
    assert_eq!(
        conditions.hours[1].gust.map(|gust| tenths(gust.0)),
        Some(11.2)
    );
    let dew = column(&conditions, |hour| {
        hour.dew_point.map(|dew| tenths(dew.degrees()))
    });
    // Saturated air has its own temperature as dew point; 20 °C at 50 % have 9.3 °C (Magnus form, any table of it).
    assert_eq!(dew, [None, Some(10.0), Some(9.3), Some(25.0)]);
}

#[tokio::test]
async fn replies_with_temperatures_alone_have_no_conditions() {
    for name in ["forecast.json", "forecast_nulls.json"] {
        assert_eq!(from_file(name).await.unwrap().conditions, None, "{name}");
    }
}

#[tokio::test]
async fn a_service_with_bad_conditions_still_gives_its_temperatures_and_a_file_is_refused() {
    for (name, why) in [
        (
            "forecast_unknown_unit.json",
            "field hourly.wind_gusts_10m is in the unit 'furlong/h', allowed are km/h, km_h-1, m/s, m_s-1, mp/h and kn",
        ),
        (
            "forecast_impossible_rain.json",
            "field hourly.precipitation is 999.0 mm at 2026-04-01 11:00 UTC, outside 0 to 450 mm",
        ),
    ] {
        let forecast = answered(ok(&payload(name))).await.unwrap();
        assert_eq!(forecast.conditions, None, "{name}");
        assert_eq!(forecast.run.temperature.len(), 6);
        let refused = from_file(name).await.unwrap_err().to_string();
        assert!(refused.contains(why), "{refused}");
    }
}

#[tokio::test]
async fn the_run_keeps_two_days_back_and_the_conditions_all() {
    let hours = 40 * 24;
    let start: DateTime<Utc> = "2026-03-01T00:00:00Z".parse().unwrap();
    let stamp = |hour: i64| {
        let at = start + chrono::TimeDelta::hours(hour);
        format!("\"{}\"", at.format("%Y-%m-%dT%H:%M"))
    };
    let times: Vec<String> = (0..hours).map(stamp).collect();
    let values = vec!["1.5"; times.len()].join(",");
    let body = format!(
        r#"{{"utc_offset_seconds":0,"elevation":10.0,
        "hourly_units":{{"temperature_2m":"°C","dew_point_2m":"°C"}},
        "hourly":{{"time":[{}],"temperature_2m":[{values}],"dew_point_2m":[{values}]}}}}"#,
        times.join(",")
    );
    let forecast = answered(ok(body.as_bytes())).await.unwrap();
    assert_eq!(forecast.run.start.to_rfc3339(), "2026-03-30T00:00:00+00:00");
    assert_eq!(forecast.run.temperature.len(), 11 * 24);
    let conditions = forecast.conditions.unwrap();
    assert_eq!((conditions.start, conditions.hours.len()), (start, 40 * 24));
}

#[tokio::test]
async fn recorded_replies_give_the_conditions_that_they_have() {
    let folder = "weather-samples/openmeteo";
    // New Jersey, recorded 2025-12-29: gusts up to 74.9 km/h, a day without cloud cover.
    if let Some(file) = sample(&format!(
        "{folder}/forecast_40.63_-74.43_20251229_gmt_14d.json"
    )) {
        let conditions = from_files(file, None).await.unwrap().conditions.unwrap();
        let gusts = column(&conditions, |hour| {
            hour.gust.map_or(0.0, |gust| gust.0 * 3.6)
        });
        let strongest = gusts.into_iter().fold(0.0, f64::max);
        assert!((strongest - 74.9).abs() < 1e-9, "{strongest}");
        let known = column(&conditions, |hour| hour.cloud.is_some());
        assert_eq!(known.iter().filter(|known| **known).count(), 336 - 24);
        assert!(conditions.hours.iter().all(|hour| hour.thunder.is_none()));
    }
    // Toronto, recorded 2026-03-04 in °F, inches and mp/h; rain over the eight days as the file itself adds up.
    if let Some(file) = sample(&format!(
        "{folder}/forecast_43.70_-79.40_20260304_toronto_dst_imperial.json"
    )) {
        let text = std::fs::read_to_string(&file).unwrap();
        let reply: serde_json::Value = serde_json::from_str(&text).unwrap();
        let inches = reply["hourly"]["precipitation"].as_array().unwrap();
        let inches: f64 = inches.iter().filter_map(serde_json::Value::as_f64).sum();
        let conditions = from_files(file, None).await.unwrap().conditions.unwrap();
        let rain = column(&conditions, |hour| hour.rain_mm.unwrap_or(0.0));
        let rain: f64 = rain.iter().sum();
        assert!(rain > 1.0 && (rain - inches * 25.4).abs() < 1e-6, "{rain}");
    }
}
