//! From forecasts in the store to the figures that are shown and the chance that is told.

use std::process::Command;

use budward::daemon::{Clock, House};
use budward::forecast::{Forecast, Hours};
use budward::garden::Zone;
use budward::outlook::{RunDays, SourceSkill};
use budward::store::{Store, older_question};
use budward::units::{Celsius, Metres};
use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};
use serde_json::{Value, json};

use super::{days_ago, record, seasonal};
use crate::road::{Garden, facts, reply};

const NOW: &str = "2027-04-01T12:00:00Z";

/// A garden whose record reaches up to yesterday and whose newest forecast has one night near the limit.
fn garden() -> Garden {
    let garden = Garden::new("source = \"archive-file\"\nfile = \"record.json\"");
    let days: Vec<_> = record().days().collect();
    let degrees = |t: Option<Celsius>| t.map(Celsius::degrees);
    let record = json!({
        "daily_units": { "temperature_2m_min": "°C", "temperature_2m_max": "°C" },
        "daily": {
            "time": days.iter().map(|(date, _)| date.to_string()).collect::<Vec<_>>(),
            "temperature_2m_min": days.iter().map(|(_, day)| degrees(day.min)).collect::<Vec<_>>(),
            "temperature_2m_max": days.iter().map(|(_, day)| degrees(day.max)).collect::<Vec<_>>(),
        }
    });
    std::fs::write(garden.path("record.json"), record.to_string()).unwrap();
    garden.write_forecast(&reply("2027-04-01", 12, |hour| {
        if hour == 34 { 0.5 } else { 12.0 }
    }));
    garden
}

/// The forecast that was made at noon UTC of a date: the nights as they came, two kelvin too warm.
fn too_warm(made: NaiveDate) -> Forecast {
    let zone = Zone::named("America/New_York").unwrap();
    let record = record();
    let start = made.and_hms_opt(4, 0, 0).unwrap().and_utc();
    let temperature = |hour: i64| {
        let local = zone.local(start + TimeDelta::hours(hour));
        let date = local.date();
        let came = record
            .day(date)
            .min
            .map_or(seasonal(date), Celsius::degrees);
        Some(Celsius::new(
            came + if local.hour() == 5 { 2.0 } else { 8.0 },
        ))
    };
    Forecast {
        spans: Vec::new(),
        source: "files: forecast.json".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: made.and_hms_opt(12, 0, 0).unwrap().and_utc(),
        elevation: Some(Metres(30.0)),
        run: Hours {
            start,
            temperature: (0..24 * 7).map(temperature).collect(),
        },
        members: Vec::new(),
        conditions: None,
    }
}

fn keep_forty_days(garden: &Garden) {
    let mut store = Store::open(garden.settings().store.file().unwrap()).unwrap();
    for ago in (1..=41).rev() {
        let run = too_warm(days_ago(ago));
        let days = RunDays::of(&run, &Zone::named("America/New_York").unwrap());
        store
            .save_run(&older_question("quarry"), (&run, &days), run.data_at)
            .unwrap();
    }
}

fn skill(garden: &Garden) -> Value {
    serde_json::from_str(&garden.budward(&["skill", "--json", "--at", NOW])).unwrap()
}

fn frost_chance(garden: &Garden) -> f64 {
    let verdict = garden.verdict("box-edging-shear", NOW);
    facts(&verdict, "frost-while-tender")["chance"]
        .as_f64()
        .unwrap()
}

#[test]
fn forty_days_of_forecasts_that_were_too_warm_raise_the_chance_of_frost() {
    let (fresh, taught) = (garden(), garden());
    keep_forty_days(&taught);
    let shown = &skill(&taught)[0];
    assert_eq!(shown["garden"], "quarry");
    let source = &shown["sources"][0];
    assert_eq!(source["source"], "files: forecast.json");
    assert_eq!(
        (&source["nights"], &source["by_record"]),
        (&json!(40), &json!(40))
    );
    assert_eq!(source["since"], json!(days_ago(40).to_string()));
    let bias = source["skill"]["bias"]["all"].as_f64().unwrap();
    // By hand: (30 x 2 + 10 x 0.5) / 40.
    assert!((bias - 1.625).abs() < 1e-6, "{bias}");
    let cold = source["skill"]["bias"]["cold"].as_f64().unwrap();
    assert!(cold > 1.5 && cold < 2.6, "{cold}");
    let (before, after) = (frost_chance(&fresh), frost_chance(&taught));
    assert!(after > before + 0.02, "{before} to {after}");
}

#[test]
fn the_figures_are_a_table_of_eighty_columns_with_a_plain_sentence() {
    let garden = garden();
    let fresh = garden.budward(&["skill", "--at", NOW]);
    assert!(fresh.contains("verified yet: published"), "{fresh}");
    assert!(fresh.contains("0.90 -> 0.90"), "{fresh}");
    keep_forty_days(&garden);
    let taught = garden.budward(&["skill", "--garden", "quarry", "--at", NOW]);
    let said = taught.split_whitespace().collect::<Vec<_>>().join(" ");
    let since = format!(
        "since {}, held against the record",
        days_ago(40).format("%-d %B %Y")
    );
    for part in [
        "40 nights of files: forecast.json verified",
        &since,
        "3.6 °F",
        "colder than forecast",
    ] {
        assert!(said.contains(part), "{part:?} is missing in:\n{taught}");
    }
    for line in fresh.lines().chain(taught.lines()) {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn a_garden_that_the_file_does_not_have_is_wrong_use() {
    let garden = garden();
    let config = garden.path("garden.toml");
    let run = Command::new(env!("CARGO_BIN_EXE_budward"))
        .args(["skill", "--garden", "quary", "--config"])
        .arg(config)
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(64));
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(
        said.contains("no garden \"quary\"; nearest: quarry"),
        "{said}"
    );
}

#[test]
fn what_was_not_known_at_a_moment_does_not_count_then() {
    let garden = garden();
    keep_forty_days(&garden);
    let at = format!("{}T18:00:00Z", days_ago(20));
    let shown: Value =
        serde_json::from_str(&garden.budward(&["skill", "--json", "--at", &at])).unwrap();
    assert_eq!(shown[0]["sources"][0]["nights"], json!(20));
}

#[tokio::test]
async fn a_cycle_keeps_its_skill_for_the_page() {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let garden = garden();
    keep_forty_days(&garden);
    let settings = garden.settings();
    let store = Store::open(settings.store.file().unwrap()).unwrap();
    let now: DateTime<Utc> = NOW.parse().unwrap();
    let house = House::open(settings, store, Clock::standing(now)).unwrap();
    let skills =
        async || -> Vec<SourceSkill> { house.snapshot().await.unwrap().gardens[0].skills.clone() };
    assert_eq!(skills().await, []);
    house.cycle(&house.gardens()[0]).await.unwrap();
    let kept = skills().await;
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].learned.nights, 40);
}
