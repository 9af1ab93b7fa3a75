//! Every reader of foreign bytes under changed bytes and changed JSON values: it reads or refuses, it does not stop.
//!
//! The harness is proptest, which works with a stable toolchain and shrinks what it finds; it knows nothing of the
//! code's branches, so the corpus of own replies has to bring the shapes. One second a reader unless `FUZZ_SECONDS` says
//! more: `FUZZ_SECONDS=600 cargo test --test suite fuzz:: -- --nocapture`. Each target is a test of its own, so that
//! `--test-threads` says how many share the cores.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use budward::climate::read_record;
use budward::forecast::{Forecast, local_days};
use budward::garden::Zone;
use budward::weather::Payload;
use chrono::{DateTime, Utc};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseError, TestRunner};
use serde_json::{Value, json};

use crate::support::project;

/// One change of a body.
#[derive(Debug, Clone)]
enum Change {
    /// Another byte at a place.
    Byte(prop::sample::Index, u8),
    /// Bytes that are put in at a place.
    Insert(prop::sample::Index, Vec<u8>),
    /// Bytes that are taken out from a place on.
    Remove(prop::sample::Index, usize),
    /// The end of the body.
    Cut(prop::sample::Index),
    /// One of the values of a JSON body, replaced.
    Value(prop::sample::Index, Value),
    /// One of the values, doubled where it is in a list, taken out otherwise.
    Twice(prop::sample::Index),
}

fn odd_value() -> impl Strategy<Value = Value> {
    let texts = [
        "",
        "NOW/PT1H",
        "2027-04-01T00:00:00Z/P99999999D",
        "2027-04-01T00:00:00Z/PT0S",
        "2027-04-01T00:00:00Z/P365D",
        "-262143-01-01T00:00:00Z",
        "+262142-12-31T23:00:00Z",
        "9999-12-31T23:59:60Z",
        "0000-01-01T00:00",
        "9999-12-31T23:00",
        "/////",
        "/O.NEW.KABC.FZ.W/",
        "wmoUnit:",
        "\u{1F331}\u{0}",
    ];
    prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        prop::sample::select(vec![-0.0, 1e308, -1e308, 59.9, -89.9, 366.0 * 24.0])
            .prop_map(Value::from),
        prop::sample::select(texts.to_vec()).prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
        Just(json!([])),
        Just(json!({})),
        Just(json!([[[[null]]]])),
    ]
}

fn change() -> impl Strategy<Value = Change> {
    let at = any::<prop::sample::Index>;
    prop_oneof![
        3 => (at(), any::<u8>()).prop_map(|(at, byte)| Change::Byte(at, byte)),
        1 => (at(), prop::collection::vec(any::<u8>(), 1..8)).prop_map(|(at, bytes)| Change::Insert(at, bytes)),
        1 => (at(), 1_usize..64).prop_map(|(at, count)| Change::Remove(at, count)),
        1 => at().prop_map(Change::Cut),
        6 => (at(), odd_value()).prop_map(|(at, value)| Change::Value(at, value)),
        2 => at().prop_map(Change::Twice),
    ]
}

fn count(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(count).sum(),
        Value::Object(items) => items.values().map(count).sum(),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => 0,
    }
}

/// Goes to the value of that number, counted from the root on, and changes it.
fn visit(value: &mut Value, number: &mut usize, with: &mut dyn FnMut(&mut Value)) {
    if *number == 0 {
        with(value);
    }
    *number = number.wrapping_sub(1);
    match value {
        Value::Array(items) => items.iter_mut().for_each(|item| visit(item, number, with)),
        Value::Object(items) => items
            .values_mut()
            .for_each(|item| visit(item, number, with)),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

fn changed_value(
    body: &[u8],
    at: prop::sample::Index,
    with: &mut dyn FnMut(&mut Value),
) -> Vec<u8> {
    let Ok(mut value) = serde_json::from_slice::<Value>(body) else {
        return body.to_vec();
    };
    let mut number = at.index(count(&value));
    visit(&mut value, &mut number, with);
    serde_json::to_vec(&value).unwrap()
}

fn apply(mut body: Vec<u8>, change: &Change) -> Vec<u8> {
    let length = body.len();
    if length == 0 {
        return body;
    }
    match change {
        Change::Byte(at, byte) => body[at.index(length)] = *byte,
        Change::Insert(at, bytes) => {
            let at = at.index(length);
            body.splice(at..at, bytes.iter().copied());
        }
        Change::Remove(at, count) => {
            let at = at.index(length);
            body.drain(at..length.min(at + count));
        }
        Change::Cut(at) => body.truncate(at.index(length)),
        Change::Value(at, odd) => {
            return changed_value(&body, *at, &mut |value| *value = odd.clone());
        }
        Change::Twice(at) => {
            return changed_value(&body, *at, &mut |value| match value {
                Value::Array(items) => items.extend(items.clone()),
                Value::Object(items) => items.clear(),
                other @ (Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_)) => {
                    *other = Value::Null;
                }
            });
        }
    }
    body
}

/// The own payloads of a folder of `tests/data` whose names begin so.
fn corpus(folder: &str, beginning: &str) -> Vec<Vec<u8>> {
    let folder: PathBuf = project().join("tests/data").join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.file_name()
                .unwrap()
                .to_string_lossy()
                .starts_with(beginning)
        })
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{beginning}: no payload to begin with");
    files
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

/// What holds of every forecast that was read, whatever the bytes were.
fn holds(forecast: &Forecast) -> Result<(), TestCaseError> {
    prop_assert!(forecast.run.temperature.len() <= 366 * 24 + 1);
    let known = forecast.run.temperature.iter().flatten();
    for t in known.map(|t| t.degrees()) {
        prop_assert!((-90.0..=60.0).contains(&t), "{t}");
    }
    prop_assert!(forecast.spans.iter().all(|span| span.min <= span.max));
    for hour in forecast.conditions.iter().flat_map(|all| &all.hours) {
        prop_assert!(
            hour.rain_mm
                .is_none_or(|rain| (0.0..=450.0).contains(&rain))
        );
        prop_assert!(hour.cloud.is_none_or(|cloud| (0.0..=1.0).contains(&cloud)));
    }
    // What is kept in the store comes back the same, and the days can be made.
    let kept = serde_json::to_string(forecast).unwrap();
    prop_assert_eq!(&serde_json::from_str::<Forecast>(&kept).unwrap(), forecast);
    local_days(forecast, &Zone::named("America/New_York").unwrap());
    Ok(())
}

/// Runs one reader over changed payloads for as long as the budget says.
fn fuzz(name: &str, corpus: &[Vec<u8>], read: impl Fn(&[u8]) -> Result<bool, TestCaseError>) {
    let seconds = std::env::var("FUZZ_SECONDS").ok();
    let budget = Duration::from_secs_f64(seconds.map_or(1.0, |text| text.parse().unwrap()));
    let start = Instant::now();
    let (runs, good) = (std::cell::Cell::new(0_u64), std::cell::Cell::new(0_u64));
    let config = Config {
        cases: 16,
        failure_persistence: None,
        ..Config::default()
    };
    let input = (0..corpus.len(), prop::collection::vec(change(), 0..6));
    while runs.get() == 0 || start.elapsed() < budget {
        let mut runner = TestRunner::new(config.clone());
        let result = runner.run(&input, |(which, changes)| {
            let body = changes.iter().fold(corpus[which].clone(), apply);
            runs.set(runs.get() + 1);
            if read(&body)? {
                good.set(good.get() + 1);
            }
            Ok(())
        });
        result.unwrap_or_else(|error| panic!("{name}: {error}"));
    }
    let on_a_core = on_a_core().map_or_else(String::new, |span| {
        format!(" ({:.1} s of a core)", span.as_secs_f64())
    });
    eprintln!(
        "{name}: {} bodies in {:.1} s{on_a_core}, {} of them read",
        runs.get(),
        start.elapsed().as_secs_f64(),
        good.get()
    );
}

/// How long this thread has really run: with many targets at once that is less than the clock says. Where the system
/// does not tell, none.
fn on_a_core() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanos = told.split(' ').next()?.parse().ok()?;
    Some(Duration::from_nanos(nanos))
}

fn fuzz_payload(payload: Payload) {
    let received_at: DateTime<Utc> = "2027-04-01T06:30:00Z".parse().unwrap();
    let (folder, beginning) = home(payload);
    fuzz(
        &format!("{payload:?}"),
        &corpus(folder, beginning),
        |body| match payload.read(body, received_at) {
            Ok(Some(forecast)) => holds(&forecast).map(|()| true),
            Ok(None) => Ok(true),
            Err(error) => {
                prop_assert!(error.to_string().chars().count() < 1000);
                Ok(false)
            }
        },
    );
}

fn fuzz_record(beginning: &str) {
    fuzz(beginning, &corpus("records", beginning), |body| {
        let text = String::from_utf8_lossy(body);
        Ok(read_record(&text, "changed").is_ok())
    });
}

/// Where the payloads of each kind lie.
fn home(payload: Payload) -> (&'static str, &'static str) {
    match payload {
        Payload::OpenMeteoForecast => ("openmeteo", "forecast"),
        Payload::OpenMeteoEnsemble => ("openmeteo", "ensemble"),
        Payload::OpenMeteoArchive => ("openmeteo", "archive"),
        Payload::OpenMeteoFreshness => ("openmeteo", "freshness"),
        Payload::OpenMeteoElevation => ("openmeteo", "elevation"),
        Payload::MetNorway => ("met_norway", "c"),
        Payload::NwsPoint => ("nws", "p"),
        Payload::NwsGrid => ("nws", "grid"),
        Payload::NwsAlerts => ("nws", "alerts"),
        Payload::GhcnStation => ("records", "station"),
    }
}

/// One target, one test: each can be run alone, and all at once.
macro_rules! targets {
    ($($name:ident: $payload:ident),* $(,)?) => {
        const TARGETS: &[Payload] = &[$(Payload::$payload),*];
        $(
            #[test]
            fn $name() {
                fuzz_payload(Payload::$payload);
            }
        )*
    };
}

targets! {
    open_meteo_forecast: OpenMeteoForecast,
    open_meteo_ensemble: OpenMeteoEnsemble,
    open_meteo_archive: OpenMeteoArchive,
    open_meteo_freshness: OpenMeteoFreshness,
    open_meteo_elevation: OpenMeteoElevation,
    met_norway: MetNorway,
    nws_point: NwsPoint,
    nws_grid: NwsGrid,
    nws_alerts: NwsAlerts,
    ghcn_station: GhcnStation,
}

#[test]
fn every_payload_has_a_target() {
    for payload in Payload::ALL {
        assert!(TARGETS.contains(&payload), "{payload:?}");
    }
}

macro_rules! records {
    ($($name:ident: $beginning:literal),* $(,)?) => {
        $(
            #[test]
            fn $name() {
                fuzz_record($beginning);
            }
        )*
    };
}

records! {
    past_years_of_an_archive: "archive",
    past_years_with_commas: "comma",
    past_years_with_semicolons: "semicolon",
    past_years_of_ghcn_tables: "ghcn_",
    past_years_of_a_station: "station",
    past_years_with_tabs: "tabs",
    past_years_of_three_columns: "three",
}
