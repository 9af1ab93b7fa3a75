//! Station records and archive replies from files, and the freeze dates of real stations against an independent script.

mod tables;

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use budward::climate::freeze::{FreezeDates, SeasonDates};
use budward::climate::{DailyRecord, DayExtremes, RecordError, archive, ghcn};
use budward::garden::Hemisphere;
use budward::units::{AIR_RANGE, Celsius};
use chrono::{Datelike, NaiveDate};
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::support::{peer_says, project, sample};

/// In °F; the coldest are rare or unknown at some of the stations, so that percentiles without a date occur.
const THRESHOLDS: [&str; 8] = ["36", "32", "28", "24", "20", "16", "0", "-4"];

fn data(file: &str) -> PathBuf {
    project().join("tests/data").join(file)
}

fn toronto() -> PathBuf {
    data("ghcn/CA006158350_1969-2003.dly")
}

fn station(path: &Path) -> DailyRecord {
    ghcn::parse(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Lowest and highest of a record's values of one kind.
fn range(record: &DailyRecord, value: fn(&DayExtremes) -> Option<Celsius>) -> (f64, f64) {
    let values = record
        .days()
        .filter_map(|(_, day)| value(&day))
        .map(Celsius::degrees);
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| {
        (low.min(t), high.max(t))
    })
}

fn near(found: (f64, f64), expected: (f64, f64)) -> bool {
    (found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9
}

fn as_json(dates: &SeasonDates) -> Value {
    json!({
        "seasons": dates.seasons,
        "with_freeze": dates.with_freeze(),
        "10": dates.percentile(10),
        "50": dates.percentile(50),
        "90": dates.percentile(90),
    })
}

fn ours(station_file: &Path, hemisphere: Hemisphere) -> Value {
    let record = station(station_file);
    let by_threshold = THRESHOLDS.map(|fahrenheit| {
        let threshold = Celsius::from_fahrenheit(fahrenheit.parse().unwrap());
        let dates = FreezeDates::of(&record, threshold, hemisphere);
        let seasons = json!({
            "last_spring": as_json(&dates.last_spring),
            "first_autumn": as_json(&dates.first_autumn),
        });
        (fahrenheit.to_owned(), seasons)
    });
    Value::Object(by_threshold.into_iter().collect())
}

/// The answer of `tests/peers/freeze_dates.py`; none where there is no Python.
fn peers(station_file: &Path, hemisphere: &str) -> Option<Value> {
    let mut arguments = vec![station_file.as_os_str(), hemisphere.as_ref()];
    arguments.extend(THRESHOLDS.map(OsStr::new));
    peer_says("freeze_dates.py", &[], &arguments)
}

#[test]
fn the_freeze_dates_of_toronto_are_those_of_the_script() {
    let ours = ours(&toronto(), Hemisphere::North);
    let Some(theirs) = peers(&toronto(), "north") else {
        return;
    };
    assert_eq!(ours, theirs);
    // The comparison covers dates that exist and dates that do not.
    assert!(theirs["28"]["last_spring"]["90"].is_string());
    assert!(theirs["-4"]["last_spring"]["90"].is_null());
}

#[test]
fn the_freeze_dates_of_long_records_are_those_of_the_script() {
    for (station, hemisphere, name) in [
        ("GM000004204", Hemisphere::North, "north"),
        ("CA006158350", Hemisphere::North, "north"),
        ("ASN00023000", Hemisphere::South, "south"),
    ] {
        let Some(file) = sample(&format!("weather-samples/ghcn/{station}.dly")) else {
            return;
        };
        let Some(theirs) = peers(&file, name) else {
            return;
        };
        assert_eq!(ours(&file, hemisphere), theirs, "{station}");
    }
}

#[test]
fn a_station_record_has_its_days_and_gaps() {
    // Counted in the file: the first day is -17.8 to -9.4 °C; the record breaks off with June 2003; 4 days lack a minimum.
    let record = station(&toronto());
    assert_eq!(
        (record.first(), record.last()),
        (date("1969-01-01"), date("2003-06-30"))
    );
    let gaps = record.days().filter(|(_, day)| day.min.is_none()).count();
    assert_eq!(gaps, 4);
    let first = DayExtremes {
        min: Some(Celsius::new(-17.8)),
        max: Some(Celsius::new(-9.4)),
    };
    assert_eq!(record.day(date("1969-01-01")), first);
}

#[test]
fn whole_station_files_give_the_years_and_ranges_counted_in_them() {
    // Counted with a script apart: years with 350 or more unflagged minima, and the range of the unflagged minima.
    for (station_name, years, expected) in [
        ("UK000056225", 200, (-16.6, 21.2)),
        ("GM000004204", 188, (-30.6, 21.0)),
        ("CA006158350", 162, (-32.8, 26.4)),
        ("ASN00023000", 92, (0.6, 33.6)),
        ("USC00361920", 13, (-24.4, 26.7)),
        ("USC00368449", 9, (-19.4, 25.0)),
    ] {
        let Some(file) = sample(&format!("weather-samples/ghcn/{station_name}.dly")) else {
            return;
        };
        let record = station(&file);
        let mut minima = std::collections::BTreeMap::new();
        for (date, _) in record.days().filter(|(_, day)| day.min.is_some()) {
            *minima.entry(date.year()).or_insert(0) += 1;
        }
        assert_eq!(
            minima.values().filter(|n| **n >= 350).count(),
            years,
            "{station_name}"
        );
        let found = range(&record, |day| day.min);
        assert!(near(found, expected), "{station_name}: {found:?}");
    }
}

#[test]
fn the_comma_separated_form_is_no_dly_file() {
    let Some(file) = sample("weather-samples/ghcn/USW00094728_2014_long-csv.csv") else {
        return;
    };
    let said = ghcn::parse(&std::fs::read_to_string(file).unwrap())
        .unwrap_err()
        .to_string();
    assert!(
        said.starts_with(
            "this looks like the comma-separated form of GHCN-Daily; expected the .dly"
        ),
        "{said}"
    );
}

#[test]
fn an_archive_reply_in_fahrenheit_is_read() {
    let record =
        archive::parse(&std::fs::read(data("archive/daily_fahrenheit.json")).unwrap()).unwrap();
    assert_eq!(
        (record.first(), record.last()),
        (date("2023-12-30"), date("2024-01-02"))
    );
    assert_eq!(record.day(date("2024-01-01")), DayExtremes::default());
    assert!(near(range(&record, |day| day.min), (-4.1 / 1.8, 0.0)));
    assert!(near(range(&record, |day| day.max), (4.0, 7.0)));
}

#[test]
fn a_recorded_archive_reply_is_read() {
    // 731 days, as the recording's description says: minima -10.6 to 21.8, maxima -4.6 to 36.0 °C.
    let Some(file) = sample("weather-samples/openmeteo/archive_daily_50.09_14.48_2023-2024.json")
    else {
        return;
    };
    let record = archive::parse(&std::fs::read(file).unwrap()).unwrap();
    assert_eq!(
        record
            .days()
            .filter(|(_, day)| day.min.is_some() && day.max.is_some())
            .count(),
        731
    );
    assert!(near(range(&record, |day| day.min), (-10.6, 21.8)));
    assert!(near(range(&record, |day| day.max), (-4.6, 36.0)));
}

#[test]
fn recorded_replies_without_daily_extremes_say_so() {
    for (file, begins) in [
        (
            "error_400_bad-variable.json",
            "the archive service answered with an error: Cannot initialize",
        ),
        ("not-covered_http200_INVALID-JSON.txt", "not valid JSON"),
        (
            "archive_52.27_6.82_19530131_amsterdam.json",
            "no field daily.temperature_2m_min",
        ),
    ] {
        let Some(path) = sample(&format!("weather-samples/openmeteo/{file}")) else {
            return;
        };
        let said = archive::parse(&std::fs::read(path).unwrap())
            .unwrap_err()
            .to_string();
        assert!(said.starts_with(begins), "{file}: {said}");
    }
}

/// A record, if there is one, holds only days that can be; an error says something.
fn is_sound(read: Result<DailyRecord, RecordError>) -> bool {
    match read {
        Ok(record) => record.days().all(|(_, day)| {
            let occurs = |t: Option<Celsius>| t.is_none_or(|t| AIR_RANGE.contains(&t.degrees()));
            occurs(day.min)
                && occurs(day.max)
                && day.min.zip(day.max).is_none_or(|(min, max)| min <= max)
        }),
        Err(error) => !error.to_string().is_empty(),
    }
}

proptest! {
    #[test]
    fn broken_bytes_give_an_error_or_a_sound_record(place in 0_usize..2_700, byte: u8, cut in 0_usize..2_700) {
        let mut lines = std::fs::read(toronto()).unwrap();
        lines.truncate(2_700);
        lines[place] = byte;
        let text = String::from_utf8_lossy(&lines);
        prop_assert!(is_sound(ghcn::parse(&text)));
        prop_assert!(is_sound(ghcn::parse(&text.chars().take(cut).collect::<String>())));
        let mut reply = std::fs::read(data("archive/daily_fahrenheit.json")).unwrap();
        let length = reply.len();
        reply[place % length] = byte;
        prop_assert!(is_sound(archive::parse(&reply)));
        prop_assert!(is_sound(archive::parse(&reply[..cut % length])));
    }
}
