//! More gardens than are read from the store as a whole whenever one has changed.

use std::fmt::Write as _;

use budward::config::Settings;
use budward::daemon::{Clock, House};
use budward::store::Store;

use super::faults::Running;
use super::{HEAD, Home};
use crate::road::reply;
use crate::support::project;

const NOW: &str = "2026-04-20T18:00:00Z";

/// Two dozen gardens under one sky, each with a box to shear and a peony.
fn town() -> Home {
    let history = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let mut text = HEAD.to_owned();
    for number in 0..24 {
        write!(
            text,
            r#"
[[garden]]
name = "g{number}"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
mail_to = "keeper@example.org"
forecast = {{ source = "files", forecast = "forecast.json", data_at = {NOW} }}
history = {{ source = "ghcn-file", file = {:?} }}
plant = [{{ name = "box edging", kind = "boxwood" }}, {{ name = "peonies", kind = "peony" }}]
"#,
            history.display().to_string()
        )
        .unwrap();
    }
    let home = Home::of(&text);
    let mild = |hour: i64| {
        if (4..14).contains(&(hour % 24)) {
            6.0
        } else {
            17.0
        }
    };
    let forecast = reply("2026-04-18", 16, mild);
    std::fs::write(home.path("forecast.json"), forecast.to_string()).unwrap();
    home
}

async fn status(home: &Home) -> serde_json::Value {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let settings = Settings::read(&home.path("garden.toml")).unwrap();
    let store = Store::open(settings.store.file().unwrap()).unwrap();
    let clock = Clock::standing(NOW.parse().unwrap());
    let running = Running::start(House::open(settings, store, clock).unwrap()).await;
    let is_looked_at = |garden: &serde_json::Value| !garden["last_round"].is_null();
    let gardens = |status: &serde_json::Value| status["gardens"].as_array().unwrap().clone();
    let status = running
        .status_with(|status| gardens(status).iter().all(is_looked_at))
        .await;
    running.end().await;
    status
}

#[tokio::test]
async fn what_looks_leave_is_shown_as_it_is_read_back() {
    let home = town();
    let shown = status(&home).await;
    let read = status(&home).await;
    let gardens = shown["gardens"].as_array().unwrap();
    assert_eq!(gardens.len(), 24);
    assert!(
        gardens
            .iter()
            .all(|garden| garden["verdicts"].as_array().unwrap().len() > 2)
    );
    for (shown, read) in gardens.iter().zip(read["gardens"].as_array().unwrap()) {
        let name = &shown["name"];
        for part in ["verdicts", "skills", "watches", "last_round", "sources"] {
            assert_eq!(shown[part], read[part], "{part} of {name}");
        }
    }
}
