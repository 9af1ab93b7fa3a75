//! What a person writes: settings, schedules, quantities, almanac files.

use std::path::Path;
use std::sync::LazyLock;

use budward::almanac::{self, Almanac, DataFile, MonthDay};
use budward::config::{LocalTimes, Settings};
use budward::garden::Zone;
use budward::units::{
    Celsius, CelsiusStep, Centimetres, Kilograms, Metres, MetresPerSecond, Millimetres,
};
use chrono::{DateTime, TimeDelta, Utc};

use crate::seeds::{files, project, texts};

static ALMANAC: LazyLock<Almanac> =
    LazyLock::new(|| almanac::embedded().expect("the almanac is in order"));

/// The broken files of the tests, and the demo's.
pub fn seeds() -> Vec<Vec<u8>> {
    let mut seeds = files("config", &["demo.toml"]);
    let broken = files("tests/config", &[""]);
    // Beside each lies what is said of it.
    seeds.extend(
        broken
            .into_iter()
            .filter(|text| text.starts_with(b"[") || text.starts_with(b"#")),
    );
    seeds
}

/// Reads a file of settings.
pub fn read(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let file = Path::new("/etc/budward/garden.toml");
    match Settings::parse(&text, file, &ALMANAC, &|_| None) {
        Ok(mut settings) => {
            for warning in &settings.warnings {
                assert!(!warning.to_string().is_empty());
            }
            let today = DateTime::from_timestamp(1_806_561_000, 0).unwrap_or_default();
            drop(settings.check_wishes(today.date_naive()));
        }
        Err(errors) => assert!(!errors.to_string().is_empty()),
    }
}

pub fn schedule_seeds() -> Vec<Vec<u8>> {
    texts(&[
        "\u{0}30 5,14 * * *",
        "\u{1}*/10 0-23/2 1,15 Jan-Mar Mon-Fri",
        "\u{2}0 2 29 Feb Sun",
        "\u{3}30 2 31 * *",
    ])
}

/// Reads a schedule and finds its times, in the zone and at the moment that the first byte says.
pub fn read_schedule(bytes: &[u8]) {
    let Some((first, text)) = bytes.split_first() else {
        return;
    };
    let zones = [
        "America/New_York",
        "Pacific/Apia",
        "Australia/Lord_Howe",
        "UTC",
    ];
    let zone = zones
        .get(usize::from(*first) % zones.len())
        .expect("one of them");
    let zone = Zone::named(zone).expect("a zone");
    let now = DateTime::from_timestamp(1_806_561_000, 0).unwrap_or_default()
        + TimeDelta::days(i64::from(*first) * 3);
    match LocalTimes::parse(&String::from_utf8_lossy(text)) {
        Ok(times) => times_hold(&times, now, &zone),
        Err(error) => assert!(!error.remedy().0.is_empty()),
    }
}

fn times_hold(times: &LocalTimes, now: DateTime<Utc>, zone: &Zone) {
    let next = times.next_after(now, zone);
    assert!(next.is_none_or(|next| next > now));
    let last = times.last_until(now, zone);
    assert!(last.is_none_or(|(_, at)| at <= now));
    let again = LocalTimes::parse(times.text()).expect("its own text is a schedule");
    assert_eq!(again.next_after(now, zone), next);
}

pub fn quantity_seeds() -> Vec<Vec<u8>> {
    texts(&[
        "28 °F",
        "-2,2 C",
        "−2.2 degC",
        "-2 K",
        "470 feet",
        "0.2 in",
        "10 cm",
        "200 lb",
        "7 mph",
        "02-29",
    ])
}

/// Reads a text as each quantity, and as a day of the year.
pub fn read_quantity(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if let Ok(air) = text.parse::<Celsius>() {
        assert!((-90.0..=60.0).contains(&air.degrees()), "{air:?}");
    }
    drop(text.parse::<CelsiusStep>());
    drop(text.parse::<Metres>());
    drop(text.parse::<Millimetres>());
    drop(text.parse::<Centimetres>());
    drop(text.parse::<Kilograms>());
    drop(text.parse::<MetresPerSecond>());
    if let Ok(day) = MonthDay::try_from(text.into_owned()) {
        assert_eq!(MonthDay::try_from(String::from(day)), Ok(day));
    }
}

/// Some kinds of the built-in files, each with the sources and tender classes that it names.
pub fn almanac_seeds() -> Vec<Vec<u8>> {
    let text = |name: &str| {
        let path = project().join("config/almanac").join(name);
        std::fs::read_to_string(path).expect("a file of the almanac")
    };
    let (sources, classes) = (text("sources.toml"), text("tender.toml"));
    let kinds = [
        "grasses.toml",
        "roses.toml",
        "hydrangeas.toml",
        "evergreens.toml",
        "trees.toml",
    ];
    kinds
        .iter()
        .filter_map(|name| rows(&text(name), "kind").into_iter().next())
        .map(|kind| {
            let classes = named(&rows(&classes, "tender"), &kind);
            let sources = named(&rows(&sources, "source"), &format!("{kind}{classes}"));
            format!("{sources}{classes}{kind}").into_bytes()
        })
        .collect()
}

/// The rows of a table in a file.
fn rows(text: &str, table: &str) -> Vec<String> {
    let head = format!("[[{table}]]\n");
    let rows = text.split(&head).skip(1);
    rows.map(|row| format!("{head}{}\n", row.trim_end()))
        .collect()
}

/// Those rows whose name stands in a text.
fn named(rows: &[String], text: &str) -> String {
    let is_named = |row: &&String| {
        let id = row.split('"').nth(1).unwrap_or_default();
        text.contains(&format!("\"{id}\""))
    };
    rows.iter().filter(is_named).cloned().collect()
}

/// Reads a file of the almanac.
pub fn read_almanac(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let file = DataFile {
        name: "fuzzed.toml",
        text: &text,
    };
    if let Err(error) = Almanac::read(&[file]) {
        assert!(!error.to_string().is_empty());
    }
}
