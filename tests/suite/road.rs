//! The whole road, from files to board, reasons and mails, by the program itself.

use std::path::{Path, PathBuf};
use std::process::Command;

use budward::config::Settings;
use budward::daemon::{Clock, House, Word};
use budward::notice::News;
use budward::store::Store;
use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use crate::support::{project, sample};

const WINTER: &str = "2025-12-29T20:00:00Z";
const SUMMER: &str = "2026-06-15T20:00:00Z";

/// A garden of two cuts in a folder of its own, with its weather in files.
pub(crate) struct Garden {
    folder: TempDir,
}

impl Garden {
    pub(crate) fn new(history: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let text = format!(
            r#"
[store]
file = "budward.sqlite3"

[mail]
from = "budward <garden@example.org>"
folder = "mails"

[schedule]
cycle = "30 5,14 * * *"

[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
units = "us"
tolerance = 10
mail_to = "keeper@example.org"

[garden.forecast]
source = "files"
forecast = "forecast.json"

[garden.history]
{history}

[[garden.plant]]
name = "box edging"
kind = "boxwood"

[[garden.plant.cut]]
cut = "shear"
wished = 2025-12-30

[[garden.plant]]
name = "bigleaf hydrangeas"
kind = "bigleaf-hydrangea"
"#
        );
        std::fs::write(folder.path().join("garden.toml"), text).unwrap();
        Self { folder }
    }

    fn with_toronto() -> Self {
        Self::new(&ghcn(
            &project().join("tests/data/ghcn/CA006158350_1969-2003.dly"),
        ))
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write_forecast(&self, reply: &Value) {
        std::fs::write(self.path("forecast.json"), reply.to_string()).unwrap();
    }

    pub(crate) fn settings(&self) -> Settings {
        Settings::read(&self.path("garden.toml")).unwrap()
    }

    /// Runs the program; gives what it printed.
    pub(crate) fn budward(&self, arguments: &[&str]) -> String {
        let config = self.path("garden.toml");
        let run = Command::new(env!("CARGO_BIN_EXE_budward"))
            .args(arguments)
            .args(["--config", config.to_str().unwrap()])
            .output()
            .unwrap();
        assert!(
            run.status.success(),
            "{arguments:?}: {}",
            String::from_utf8_lossy(&run.stderr)
        );
        String::from_utf8(run.stdout).unwrap()
    }

    /// The verdict on a cut at a moment, as `once --json` gives it.
    pub(crate) fn verdict(&self, cut: &str, at: &str) -> Value {
        let boards: Value =
            serde_json::from_str(&self.budward(&["once", "--json", "--at", at])).unwrap();
        let verdicts = boards[0]["verdicts"].as_array().unwrap().clone();
        verdicts
            .into_iter()
            .find(|verdict| verdict["cut"] == cut)
            .unwrap_or_else(|| panic!("no {cut} in {boards}"))
    }

    fn mails(&self) -> Vec<PathBuf> {
        let Ok(folder) = std::fs::read_dir(self.path("mails")) else {
            return Vec::new();
        };
        folder.map(|file| file.unwrap().path()).collect()
    }
}

fn ghcn(file: &Path) -> String {
    format!(
        "source = \"ghcn-file\"\nfile = {:?}",
        file.display().to_string()
    )
}

/// A reply in the shape of Open-Meteo's hourly forecast in GMT, with an invented temperature for each hour.
pub(crate) fn reply(first_day: &str, days: i64, temperature: impl Fn(i64) -> f64) -> Value {
    let start: NaiveDateTime = format!("{first_day}T00:00:00").parse().unwrap();
    let stamp = |hour: i64| {
        (start + TimeDelta::hours(hour))
            .format("%Y-%m-%dT%H:%M")
            .to_string()
    };
    let hours = 0..24 * days;
    json!({
        "latitude": 40.6, "longitude": -74.4, "elevation": 30.0, "utc_offset_seconds": 0, "timezone": "GMT",
        "hourly_units": { "time": "iso8601", "temperature_2m": "°C" },
        "hourly": {
            "time": hours.clone().map(stamp).collect::<Vec<_>>(),
            "temperature_2m": hours.map(temperature).collect::<Vec<_>>(),
        }
    })
}

/// Nights of -8 °C and days of 1 °C.
fn frost(hour: i64) -> f64 {
    if (4..16).contains(&(hour % 24)) {
        -8.0
    } else {
        1.0
    }
}

/// Nights of 16 °C and days of 27 °C.
fn mild(hour: i64) -> f64 {
    if (4..16).contains(&(hour % 24)) {
        16.0
    } else {
        27.0
    }
}

pub(crate) fn facts<'a>(verdict: &'a Value, rule: &str) -> &'a Value {
    let findings = verdict["findings"].as_array().unwrap();
    let finding = findings
        .iter()
        .find(|finding| finding["facts"]["rule"] == rule);
    &finding.unwrap_or_else(|| panic!("no {rule} in {verdict}"))["facts"]
}

/// The recorded forecast of a frosty fortnight and a station of 30 years: not now, and likely when.
#[test]
fn a_recorded_winter_holds_the_shears_and_names_a_day_in_spring() {
    let forecast = "weather-samples/openmeteo/forecast_40.63_-74.43_20251229_gmt_14d.json";
    let (Some(forecast), Some(station)) = (
        sample(forecast),
        sample("weather-samples/ghcn/CA006158350.dly"),
    ) else {
        return;
    };
    let garden = Garden::new(&ghcn(&station));
    std::fs::copy(&forecast, garden.path("forecast.json")).unwrap();
    winter_is_no_time_to_shear(&garden);

    // The same fortnight without its frost and its rain, in June.
    let mut summer: Value = serde_json::from_slice(&std::fs::read(&forecast).unwrap()).unwrap();
    for time in summer["hourly"]["time"].as_array_mut().unwrap() {
        let moved = NaiveDateTime::parse_from_str(time.as_str().unwrap(), "%Y-%m-%dT%H:%M")
            .unwrap()
            + TimeDelta::days(168);
        *time = json!(moved.format("%Y-%m-%dT%H:%M").to_string());
    }
    for temperature in summer["hourly"]["temperature_2m"].as_array_mut().unwrap() {
        *temperature = json!(temperature.as_f64().unwrap() + 20.0);
    }
    for (variable, dry) in [("precipitation", 0.0), ("relative_humidity_2m", 60.0)] {
        for value in summer["hourly"][variable].as_array_mut().unwrap() {
            *value = json!(dry);
        }
    }
    garden.write_forecast(&summer);
    assert_eq!(garden.verdict("box-edging-shear", SUMMER)["state"], "go");
}

#[test]
fn an_invented_winter_holds_the_shears_and_names_a_day_in_spring() {
    let garden = Garden::with_toronto();
    garden.write_forecast(&reply("2025-12-29", 14, frost));
    winter_is_no_time_to_shear(&garden);
    garden.write_forecast(&reply("2026-06-15", 14, mild));
    assert_eq!(garden.verdict("box-edging-shear", SUMMER)["state"], "go");
}

fn winter_is_no_time_to_shear(garden: &Garden) {
    let verdict = garden.verdict("box-edging-shear", WINTER);
    assert!(
        ["wait", "closed"].contains(&verdict["state"].as_str().unwrap()),
        "{verdict}"
    );
    let frost = facts(&verdict, "frost-while-tender");
    let chance = frost["chance"].as_f64().unwrap();
    assert!(
        chance > 0.98,
        "nights below -2.2 °C are forecast and usual: {chance}"
    );
    assert_eq!(frost["futures"], 930, "30 years, each started on 31 days");
    let spring = |date: &Value| {
        let date: chrono::NaiveDate = date.as_str().unwrap().parse().unwrap();
        let (from, to) = ("2026-04-01".parse().unwrap(), "2026-05-31".parse().unwrap());
        assert!(date >= from && date <= to, "{date}");
    };
    spring(&frost["first_go"]["middle"]);
    spring(&frost["first_go"]["late"]);

    let why = garden.budward(&["why", "quarry/box-edging-shear", "--at", WINTER]);
    for part in [
        "chance of damage",
        "of 100",
        "28 °F",
        "first go day",
        "last call",
        "930 ways",
        "30 past years",
        "Source:",
    ] {
        assert!(why.contains(part), "{part:?} is missing in:\n{why}");
    }
}

#[test]
fn without_past_years_nothing_is_released_and_the_gap_is_named() {
    let garden = Garden::new("source = \"none\"");
    garden.write_forecast(&reply("2026-06-15", 14, mild));
    let verdict = garden.verdict("box-edging-shear", SUMMER);
    assert_eq!(verdict["state"], "unknown");
    assert_eq!(verdict["basis"]["missing"], json!([{ "what": "history" }]));
    assert_eq!(facts(&verdict, "frost-while-tender")["bound"], "at-least");
    assert!(
        garden
            .budward(&["once", "--at", SUMMER])
            .contains("no record of past years")
    );

    // A frost in the forecast is reason enough to wait, past years or not.
    garden.write_forecast(&reply("2025-12-29", 14, frost));
    let verdict = garden.verdict("box-edging-shear", WINTER);
    assert_eq!(verdict["state"], "wait");
    assert_eq!(verdict["opens"], Value::Null, "nobody knows until when");
    let why = garden.budward(&["why", "box-edging-shear", "--at", WINTER]);
    assert!(why.contains("At least"), "{why}");
}

#[test]
fn without_past_years_the_chance_is_wider_than_the_forecast() {
    // Two kelvin above the damage on the first night only: a forecast taken at its word would see no danger.
    let garden = Garden::new("source = \"none\"");
    garden.write_forecast(&reply(
        "2026-06-15",
        14,
        |hour| if hour < 48 { 0.8 } else { 20.0 },
    ));
    let chance = facts(
        &garden.verdict("box-edging-shear", SUMMER),
        "frost-while-tender",
    )["chance"]
        .as_f64()
        .unwrap();
    assert!(chance > 0.05 && chance < 0.5, "{chance}");
}

#[test]
fn a_forecast_that_is_missing_or_old_releases_nothing() {
    let garden = Garden::with_toronto();
    let states = |at: &str| {
        let verdict = garden.verdict("box-edging-shear", at);
        (
            verdict["state"].clone(),
            verdict["basis"]["missing"][0]["what"].clone(),
        )
    };
    assert_eq!(states(SUMMER), (json!("unknown"), json!("forecast")));
    garden.write_forecast(&reply("2026-06-15", 14, mild));
    assert_eq!(states("2026-06-16T11:00:00Z"), (json!("go"), Value::Null));
    assert_eq!(
        states("2026-06-16T13:00:00Z"),
        (json!("unknown"), json!("fresh-forecast"))
    );
    assert_eq!(
        states("2026-06-20T13:00:00Z"),
        (json!("unknown"), json!("forecast"))
    );
    // Old weather still keeps a no.
    garden.write_forecast(&reply("2025-12-27", 14, frost));
    assert_ne!(states(WINTER).0, json!("go"));
    assert_ne!(states(WINTER).0, json!("unknown"));
}

#[test]
fn a_forecast_without_the_coming_night_releases_nothing() {
    let garden = Garden::with_toronto();
    let mut gap = reply("2026-06-15", 14, mild);
    for hour in 24..48 {
        gap["hourly"]["temperature_2m"][hour] = Value::Null;
    }
    garden.write_forecast(&gap);
    let verdict = garden.verdict("box-edging-shear", SUMMER);
    assert_eq!(
        (&verdict["state"], &verdict["basis"]["missing"][0]["what"]),
        (&json!("unknown"), &json!("forecast-nights"))
    );
}

/// A house that looks at the garden at a moment and sends its mails to a folder.
async fn cycle(garden: &Garden, at: &str) -> Vec<(String, News)> {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let settings = garden.settings();
    let store = Store::open(settings.store.file().unwrap()).unwrap();
    let at: DateTime<Utc> = at.parse().unwrap();
    let house = House::open(settings, store, Clock::standing(at)).unwrap();
    let told = house.cycle(&house.gardens()[0]).await.unwrap();
    house.deliver(&CancellationToken::new()).await.unwrap();
    let news = |word| match word {
        Word::News(news) => news,
        Word::Alarm(alarm) => panic!("no cut was made, so what is {alarm:?}?"),
    };
    told.into_iter()
        .map(|told| (told.cut, news(told.news)))
        .collect()
}

#[tokio::test]
async fn a_cycle_tells_once_and_a_second_one_on_the_same_input_is_silent() {
    let garden = Garden::with_toronto();
    garden.write_forecast(&reply("2025-12-29", 14, frost));
    let told = cycle(&garden, WINTER).await;
    assert!(
        told.contains(&("box-edging-shear".to_owned(), News::PutOff)),
        "{told:?}"
    );
    let mails = garden.mails();
    assert_eq!(mails.len(), told.len());
    assert_eq!(cycle(&garden, WINTER).await, []);
    assert_eq!(
        cycle(&garden, "2025-12-30T01:00:00Z").await,
        [],
        "nothing has changed an hour later"
    );
    assert_eq!(garden.mails(), mails);
}

#[tokio::test]
async fn a_change_is_told_and_a_loss_of_weather_changes_nothing() {
    let garden = Garden::with_toronto();
    garden.write_forecast(&reply("2025-12-29", 14, frost));
    cycle(&garden, WINTER).await;
    garden.write_forecast(&reply("2026-06-15", 14, mild));
    let shear = |told: &[(String, News)]| {
        told.iter()
            .find(|(cut, _)| cut == "box-edging-shear")
            .map(|(_, news)| *news)
    };
    assert_eq!(shear(&cycle(&garden, SUMMER).await), Some(News::NowGo));
    std::fs::remove_file(garden.path("forecast.json")).unwrap();
    assert_eq!(cycle(&garden, "2026-06-17T22:00:00Z").await, []);
    garden.write_forecast(&reply("2026-06-18", 14, mild));
    assert_eq!(
        shear(&cycle(&garden, "2026-06-18T12:00:00Z").await),
        None,
        "go was said and still stands"
    );
}

#[tokio::test]
async fn a_verdict_that_cannot_be_read_any_more_stops_nothing() {
    let garden = Garden::with_toronto();
    garden.write_forecast(&reply("2025-12-29", 14, frost));
    cycle(&garden, WINTER).await;
    let store = rusqlite::Connection::open(garden.path("budward.sqlite3")).unwrap();
    let changed = store
        .execute(
            "UPDATE verdict SET verdict = '{\"of\": \"another age\"}'",
            [],
        )
        .unwrap();
    assert!(changed > 0);
    drop(store);
    assert_eq!(
        cycle(&garden, "2025-12-30T01:00:00Z").await,
        [],
        "what was said is remembered apart"
    );
    assert_ne!(
        garden.verdict("box-edging-shear", WINTER)["state"],
        "unknown"
    );
}
