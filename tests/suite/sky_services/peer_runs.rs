//! Recorded and own replies against what a Python script of the standard library reads from the same bytes.

use budward::forecast::Conditions;
use budward::weather::Payload;
use chrono::TimeDelta;
use serde_json::Value;
use std::path::Path;

use super::*;
use crate::support::{peer_says, sample};

/// Long before any reply, so that nothing of a run counts as too far back.
fn long_ago() -> DateTime<Utc> {
    "1940-01-01T00:00:00Z".parse().unwrap()
}

/// The bytes of a reply; some recordings keep status and headers beside it.
fn reply(file: &Path) -> Vec<u8> {
    let bytes = std::fs::read(file).unwrap();
    match serde_json::from_slice(&bytes) {
        Ok(Value::Object(recording)) if recording.contains_key("headers") => {
            serde_json::to_vec(&recording["data"]).unwrap()
        }
        Ok(_) | Err(_) => bytes,
    }
}

fn near(ours: Option<f64>, theirs: &Value, what: &str) {
    match (ours, theirs.as_f64()) {
        (Some(ours), Some(theirs)) => {
            assert!((ours - theirs).abs() < 1e-6, "{what}: {ours} {theirs}");
        }
        (ours, theirs) => assert_eq!(ours, theirs, "{what}"),
    }
}

fn at(text: &Value) -> DateTime<Utc> {
    text.as_str().unwrap().parse().unwrap()
}

/// Holds a run against the peer's: every hour, its extremes, height, rain by hour, strongest gust, spans, age.
fn compare(forecast: &Forecast, theirs: &Value) {
    let (run, values) = (&forecast.run, theirs["run"]["values"].as_array().unwrap());
    assert_eq!(run.start, at(&theirs["run"]["start"]));
    assert_eq!(run.temperature.len(), values.len());
    for (hour, (ours, theirs)) in run.temperature.iter().zip(values).enumerate() {
        near(ours.map(Celsius::degrees), theirs, &format!("hour {hour}"));
    }
    near(
        forecast.elevation.map(|height| height.0),
        &theirs["elevation"],
        "height",
    );
    if let Some(made) = theirs.get("data_at") {
        assert_eq!(forecast.data_at, at(made));
    }
    let spans = theirs.get("spans").and_then(Value::as_array);
    let spans = spans.map_or(&[][..], Vec::as_slice);
    assert_eq!(forecast.spans.len(), spans.len());
    for (ours, theirs) in forecast.spans.iter().zip(spans) {
        assert_eq!((ours.start, ours.hours), (at(&theirs[0]), 6));
        near(Some(ours.min.degrees()), &theirs[1], "lowest of six hours");
        near(Some(ours.max.degrees()), &theirs[2], "highest of six hours");
    }
    compare_conditions(forecast.conditions.as_ref(), theirs);
}

fn compare_conditions(ours: Option<&Conditions>, theirs: &Value) {
    let hour = |wanted: DateTime<Utc>| {
        let mut hours = ours?.iter();
        hours.find(|(at, _)| *at == wanted).map(|(_, hour)| *hour)
    };
    if let Some(values) = theirs["rain"]["values"].as_array() {
        let start = at(&theirs["rain"]["start"]);
        let known = ours
            .unwrap()
            .hours
            .iter()
            .filter(|hour| hour.rain_mm.is_some());
        assert_eq!(
            known.count(),
            values.iter().filter(|rain| !rain.is_null()).count()
        );
        for (index, rain) in (0..).zip(values) {
            let ours = hour(start + TimeDelta::hours(index)).and_then(|hour| hour.rain_mm);
            near(ours, rain, "rain");
        }
    }
    let gusts = ours
        .iter()
        .flat_map(|all| &all.hours)
        .filter_map(|hour| hour.gust);
    near(
        gusts.map(|gust| gust.0).reduce(f64::max),
        &theirs["gust"],
        "gust",
    );
}

/// Reads a file both ways; the answer is how many hours of temperature were compared.
fn read_both_ways(payload: Payload, kind: &str, file: &Path) -> Option<usize> {
    let theirs = peer_says("weather_runs.py", &[], &[kind.as_ref(), file.as_os_str()])?;
    let read = payload.read(&reply(file), long_ago());
    let forecast = read.unwrap_or_else(|error| panic!("{}: {error}", file.display()));
    let forecast = forecast.unwrap();
    compare(&forecast, &theirs);
    Some(degrees(&forecast.run).iter().flatten().count())
}

#[test]
fn own_replies_are_read_as_python_reads_them() {
    let file = |name: &str| project().join("tests/data").join(name);
    for (payload, kind, name, known) in [
        (
            Payload::MetNorway,
            "met-norway",
            "met_norway/complete.json",
            42 + 25,
        ),
        (
            Payload::MetNorway,
            "met-norway",
            "met_norway/compact.json",
            6,
        ),
        (Payload::NwsGrid, "nws", "nws/grid.json", 150),
        (
            Payload::OpenMeteoForecast,
            "open-meteo",
            "openmeteo/forecast.json",
            24,
        ),
    ] {
        let Some(compared) = read_both_ways(payload, kind, &file(name)) else {
            return;
        };
        assert_eq!(compared, known, "{name}");
    }
}

/// Every recorded run, with its hours of temperature.
const RECORDED: [(Payload, &str, usize); 10] = [
    (
        Payload::MetNorway,
        "metno/complete_53.5_13_20220802_percentiles.json",
        84,
    ),
    (
        Payload::MetNorway,
        "metno/lat51.5lon-0.1altitude25_complete_20200720_with-headers.json",
        82,
    ),
    (
        Payload::MetNorway,
        "metno/lat39.9lon116.4altitudeNone_compact_20200720_with-headers.json",
        82,
    ),
    (
        Payload::NwsGrid,
        "nws/gridpoint_TAE_58-65_20220204.json",
        182,
    ),
    (
        Payload::NwsGrid,
        "nws/gridpoint_FGZ_74-89_20240220_times-restored.json",
        182,
    ),
    (
        Payload::OpenMeteoForecast,
        "openmeteo/forecast_40.63_-74.43_20251229_gmt_14d.json",
        336,
    ),
    (
        Payload::OpenMeteoForecast,
        "openmeteo/forecast_43.70_-79.40_20260304_toronto_dst_imperial.json",
        192,
    ),
    (
        Payload::OpenMeteoForecast,
        "openmeteo/berlin_frost_week_20211124_soil_excerpt.json",
        168,
    ),
    (
        Payload::OpenMeteoForecast,
        "openmeteo/ensemble_48.25_16.38_20260815_40members.json",
        24,
    ),
    (
        Payload::OpenMeteoForecast,
        "openmeteo/archive_52.27_6.82_19530131_amsterdam.json",
        3,
    ),
];

#[test]
fn every_recorded_run_is_read_as_python_reads_it() {
    for (payload, name, known) in RECORDED {
        let kind = match name.split('/').next() {
            Some("metno") => "met-norway",
            Some("nws") => "nws",
            Some(_) | None => "open-meteo",
        };
        let Some(file) = sample(&format!("weather-samples/{name}")) else {
            return;
        };
        let Some(compared) = read_both_ways(payload, kind, &file) else {
            return;
        };
        assert_eq!(compared, known, "{name}");
    }
}

#[tokio::test]
async fn every_recorded_station_is_read_as_python_reads_it() {
    for name in [
        "UK000056225",
        "GM000004204",
        "CA006158350",
        "ASN00023000",
        "USC00361920",
        "USC00368449",
    ] {
        let Some(file) = sample(&format!("weather-samples/ghcn/{name}.dly")) else {
            return;
        };
        let arguments = ["dly".as_ref(), file.as_os_str()];
        let Some(theirs) = peer_says("weather_runs.py", &[], &arguments) else {
            return;
        };
        let record = fetcher().station_file(&file).await.unwrap();
        let minima: Vec<f64> = record
            .days()
            .filter_map(|(_, day)| Some(day.min?.degrees()))
            .collect();
        assert_eq!(theirs["days"], minima.len(), "{name}");
        near(
            minima.iter().copied().reduce(f64::min),
            &theirs["low"],
            name,
        );
        near(
            minima.iter().copied().reduce(f64::max),
            &theirs["high"],
            name,
        );
    }
}

#[test]
fn recorded_replies_of_another_kind_are_refused_with_the_reason() {
    for (payload, name, why) in [
        (
            Payload::NwsGrid,
            "nws/forecast_hourly_us_TAE_20191014.json",
            "field properties.temperature has no value",
        ),
        (
            Payload::NwsGrid,
            "nws/forecast_hourly_si_TAE_20191014_2periods.json",
            "field properties.temperature has no value",
        ),
        (
            Payload::OpenMeteoForecast,
            "openmeteo/not-covered_http200_INVALID-JSON.txt",
            "the service has no data for this place",
        ),
        (
            Payload::OpenMeteoForecast,
            "openmeteo/error_400_bad-variable.json",
            "the service says",
        ),
        (
            Payload::GhcnStation,
            "ghcn/USW00094728_2014_long-csv.csv",
            "this looks like the comma-separated form of GHCN-Daily",
        ),
    ] {
        let Some(file) = sample(&format!("weather-samples/{name}")) else {
            return;
        };
        let error = payload.read(&reply(&file), long_ago()).unwrap_err();
        assert!(error.to_string().starts_with(why), "{name}: {error}");
    }
    for name in ["points_30_-85.json", "points_35.198_-111.651_FGZ.json"] {
        let Some(file) = sample(&format!("weather-samples/nws/{name}")) else {
            return;
        };
        assert_eq!(
            Payload::NwsPoint.read(&reply(&file), long_ago()),
            Ok(None),
            "{name}"
        );
    }
}

#[tokio::test]
async fn recorded_alerts_in_force_are_those_that_python_finds() {
    let zones = ["FLZ009", "FLZ010", "FLZ021", "GAZ155", "MTZ002"];
    let name = "alerts_active_20251215_cold-wind_times-restored.json";
    let Some(file) = sample(&format!("weather-samples/nws/{name}")) else {
        return;
    };
    let arguments: Vec<_> = ["alerts".as_ref(), file.as_os_str()]
        .into_iter()
        .chain(zones.iter().map(AsRef::as_ref))
        .collect();
    let Some(theirs) = peer_says("weather_runs.py", &[], &arguments) else {
        return;
    };
    let mut found = 0;
    for zone in zones {
        let point = format!(
            r#"{{"properties":{{"gridId":"ABC","gridX":12,"gridY":34,"forecastZone":"https://x/{zone}"}}}}"#
        );
        let warnings = nws::warned(point.as_bytes(), &reply(&file)).await.unwrap();
        let warnings: Vec<Value> = warnings
            .iter()
            .map(|one| {
                let stamp = |at: DateTime<Utc>| at.format("%Y-%m-%dT%H:%M:%SZ").to_string();
                serde_json::json!([one.event, stamp(one.onset), stamp(one.ends)])
            })
            .collect();
        found += warnings.len();
        assert_eq!(theirs[zone], Value::Array(warnings), "{zone}");
    }
    assert_eq!(found, 3);
}
