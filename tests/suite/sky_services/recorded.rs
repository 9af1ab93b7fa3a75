//! Replies from files: our own of every kind, and recorded ones where they lie beside the project.

use super::*;
use crate::support::sample;

/// The lowest and the highest value of a series.
fn extremes(hours: &Hours) -> (f64, f64) {
    let known = degrees(hours).into_iter().flatten();
    known.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| {
        (low.min(t), high.max(t))
    })
}

fn start(hours: &Hours) -> String {
    hours.start.format("%Y-%m-%dT%H:%MZ").to_string()
}

#[tokio::test]
async fn a_recorded_forecast_is_as_old_as_its_first_hour_or_as_it_is_told() {
    let forecast = from_files(
        payload_path("forecast.json"),
        Some(payload_path("ensemble.json")),
    )
    .await
    .unwrap();
    assert_eq!(forecast.source, "files: forecast.json");
    assert_eq!(
        forecast.attribution,
        "Weather data by Open-Meteo.com (CC BY 4.0)"
    );
    assert_eq!(forecast.data_at, forecast.run.start);
    assert_eq!(forecast.members.len(), 3);

    let from = ForecastFrom::Files {
        forecast: payload_path("forecast.json"),
        ensemble: None,
        data_at: Some(now()),
    };
    let forecast = fetcher().forecast(&from, &place(), now()).await.unwrap();
    assert_eq!(forecast.data_at, now());
}

#[tokio::test]
async fn a_reply_in_local_time_is_the_same_hours() {
    let utc = from_file("forecast.json").await.unwrap();
    let local = from_file("forecast_local_time.json").await.unwrap();
    assert_eq!(utc.run, local.run);
}

#[tokio::test]
async fn fahrenheit_nulls_and_minus_zero_are_read() {
    let fahrenheit = from_file("forecast_fahrenheit.json").await.unwrap();
    // 0, -1, -10, -18 and 10 °C by the definition of the scales.
    let celsius = [4.0, 0.0, -1.0, -10.0, -18.0, 10.0].map(Some);
    assert_eq!(degrees(&fahrenheit.run), celsius);

    let nulls = from_file("forecast_nulls.json").await.unwrap();
    let celsius = [None, Some(1.0), Some(0.0), Some(2.5), None, None];
    assert_eq!(degrees(&nulls.run), celsius);
    assert_eq!(nulls.elevation, None);
}

#[tokio::test]
async fn members_of_several_models_are_found_and_other_series_are_left() {
    let forecast = from_files(
        payload_path("forecast.json"),
        Some(payload_path("ensemble_two_models.json")),
    )
    .await
    .unwrap();
    let mut first: Vec<f64> = forecast.members.iter().map(|m| extremes(m).0).collect();
    first.sort_by(f64::total_cmp);
    assert_eq!(first, [0.0, 1.0, 2.0, 3.0]);
}

#[tokio::test]
async fn files_that_cannot_be_read_say_which_and_why() {
    for (name, why) in [
        ("not_there.json", "cannot open"),
        ("", "it is not an ordinary file"),
        ("forecast_truncated.json", "breaks off in the middle"),
        ("not_covered.txt", "has no data for this place"),
        ("error_400.json", "is out of allowed range"),
        ("web_page.html", "is a web page"),
        (
            "elevation.json",
            "field utc_offset_seconds is not as expected",
        ),
        ("README.md", "is not JSON"),
    ] {
        let error = from_file(name).await.unwrap_err();
        let text = error.to_string();
        assert!(text.contains(why) && text.contains(name), "{text}");
        assert_eq!(error.next_step(), NextStep::AskHuman);
    }
    let error = fetcher()
        .station_file(&payload_path("nine_mebibytes_of_blanks.gz"))
        .await
        .unwrap_err();
    assert!(matches!(
        error,
        WeatherError::BadFile {
            problem: ReplyError::Record(RecordError::Format(_)),
            ..
        }
    ));
}

#[tokio::test]
async fn records_are_read_from_files() {
    let record = fetcher()
        .archive_file(&payload_path("archive_daily.json"))
        .await
        .unwrap();
    assert_eq!(record.last().to_string(), "2026-03-25");

    if let Some(file) = sample("weather-samples/openmeteo/archive_daily_50.09_14.48_2023-2024.json")
    {
        let record = fetcher().archive_file(&file).await.unwrap();
        let minima = record.days().filter_map(|(_, day)| day.min);
        assert_eq!(record.days().count(), 731);
        assert_eq!(minima.reduce(Celsius::min), Some(Celsius::new(-10.6)));
    }
    // State College, Pennsylvania: unflagged minima from -19.4 to 25.0 °C.
    if let Some(file) = sample("weather-samples/ghcn/USC00368449.dly") {
        let record = fetcher().station_file(&file).await.unwrap();
        let minima = || record.days().filter_map(|(_, day)| day.min);
        assert_eq!(minima().reduce(Celsius::min), Some(Celsius::new(-19.4)));
        assert_eq!(minima().reduce(Celsius::max), Some(Celsius::new(25.0)));
    }
}

#[tokio::test]
async fn a_recorded_fortnight_of_frost_is_read_whole() {
    // New Jersey, recorded 2025-12-29.
    let name = "weather-samples/openmeteo/forecast_40.63_-74.43_20251229_gmt_14d.json";
    let Some(file) = sample(name) else { return };
    let forecast = from_files(file, None).await.unwrap();
    assert_eq!(start(&forecast.run), "2025-12-29T00:00Z");
    assert_eq!(degrees(&forecast.run).iter().flatten().count(), 336);
    assert_eq!(extremes(&forecast.run), (-7.9, 7.9));
    assert_eq!(forecast.elevation, Some(Metres(93.0)));
}

#[tokio::test]
async fn a_change_of_the_clocks_leaves_no_gap_in_a_recorded_reply() {
    // Toronto across 2026-03-08: eight days at the one offset -05:00, °F from 26.5 to 63.7.
    let name = "weather-samples/openmeteo/forecast_43.70_-79.40_20260304_toronto_dst_imperial.json";
    let Some(file) = sample(name) else { return };
    let forecast = from_files(file, None).await.unwrap();
    assert_eq!(start(&forecast.run), "2026-03-04T05:00Z");
    assert_eq!(degrees(&forecast.run).iter().flatten().count(), 8 * 24);
    assert_eq!(forecast.run.temperature.len(), 8 * 24);
    let (low, high) = extremes(&forecast.run);
    assert_eq!((low, high), (-3.06, 17.61));
}

#[tokio::test]
async fn a_recorded_ensemble_gives_all_its_members() {
    // Vienna: one control run and 39 members over 24 hours, 15.8 to 34.4 °C.
    let name = "weather-samples/openmeteo/ensemble_48.25_16.38_20260815_40members.json";
    let Some(file) = sample(name) else { return };
    let forecast = from_files(file.clone(), Some(file)).await.unwrap();
    assert_eq!(forecast.members.len(), 40);
    assert_eq!(forecast.members[0], forecast.run);
    assert!(forecast.members.iter().all(|m| m.temperature.len() == 24));
    let all: Vec<(f64, f64)> = forecast.members.iter().map(extremes).collect();
    assert_eq!(all.iter().map(|e| e.0).reduce(f64::min), Some(15.8));
    assert_eq!(all.iter().map(|e| e.1).reduce(f64::max), Some(34.4));
}

#[tokio::test]
async fn recorded_replies_with_odd_offsets_are_laid_on_utc() {
    // Berlin, a frosty week at +01:00.
    let name = "weather-samples/openmeteo/berlin_frost_week_20211124_soil_excerpt.json";
    let Some(file) = sample(name) else { return };
    let forecast = from_files(file, None).await.unwrap();
    assert_eq!(start(&forecast.run), "2021-11-23T23:00Z");
    assert_eq!(extremes(&forecast.run), (-0.5, 7.6));
    // A winter storm of 1953, answered with the summer offset +02:00 of the day on which it was asked.
    let name = "weather-samples/openmeteo/archive_52.27_6.82_19530131_amsterdam.json";
    let Some(file) = sample(name) else { return };
    let forecast = from_files(file, None).await.unwrap();
    assert_eq!(start(&forecast.run), "1953-01-30T22:00Z");
    assert_eq!(degrees(&forecast.run), [5.8, 5.5, 5.1].map(Some));
}

#[tokio::test]
async fn recorded_refusals_are_told_apart() {
    for (name, why) in [
        (
            "not-covered_http200_INVALID-JSON.txt",
            "has no data for this place",
        ),
        (
            "error_400_bad-variable.json",
            "invalid String value winddiren_10m",
        ),
    ] {
        let Some(file) = sample(&format!("weather-samples/openmeteo/{name}")) else {
            return;
        };
        let error = from_files(file, None).await.unwrap_err();
        assert!(error.to_string().contains(why), "{error}");
    }
}
