//! The whole way: a cut is noted, a cold night comes near, a mail asks to cover, frost was seen, a mail says what then.

use std::path::PathBuf;

use budward::config::Settings;
use budward::daemon::{Clock, House, Word};
use budward::garden::Deed;
use budward::locale::Locale;
use budward::message::words::{self, watched};
use budward::notice::Alarm;
use budward::store::Store;
use chrono::{DateTime, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use crate::road::reply;
use crate::support::project;

struct Garden(TempDir);

impl Garden {
    /// A garden whose box edging was sheared on 12 April 2026.
    fn sheared() -> Self {
        let garden = Self(tempfile::tempdir().unwrap());
        let deed = Deed {
            cut: "box-edging-shear".to_owned(),
            planting: "box edging".to_owned(),
            on: "2026-04-12".parse().unwrap(),
            share: Some(20),
            note: None,
        };
        let mut store = Store::open(&garden.path("budward.sqlite3")).unwrap();
        store
            .note_deed("quarry", &deed, at("2026-04-12T20:00:00Z"))
            .unwrap();
        garden
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn settings(&self, forecast_at: &str) -> Settings {
        let history = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
        let text = format!(
            r#"
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
mail_to = "keeper@example.org"
forecast = {{ source = "files", forecast = "forecast.json", data_at = {forecast_at} }}
history = {{ source = "ghcn-file", file = {:?} }}
plant = [
    {{ name = "box edging", kind = "boxwood", cut = [{{ cut = "shear" }}] }},
    {{ name = "the ditch", kind = "giant-hogweed" }},
]
"#,
            history.display().to_string()
        );
        std::fs::write(self.path("garden.toml"), text).unwrap();
        Settings::read(&self.path("garden.toml")).unwrap()
    }

    /// Looks at a moment at a forecast that was just made, and delivers; gives what was told of the cut that was made.
    async fn cycle(&self, now: &str) -> Vec<Alarm> {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let settings = self.settings(now);
        let store = Store::open(settings.store.file().unwrap()).unwrap();
        let house = House::open(settings, store, Clock::standing(at(now))).unwrap();
        let told = house.cycle(&house.gardens()[0]).await.unwrap();
        house.deliver(&CancellationToken::new()).await.unwrap();
        let alarm = |word| match word {
            Word::Alarm(alarm) => Some(alarm),
            Word::News(_) => None,
        };
        told.into_iter()
            .filter_map(|told| alarm(told.news))
            .collect()
    }

    /// The weather that a service has from 17 April on: mild, but for the nights to the 21st and 22nd.
    fn write_weather(&self) {
        let frost = |hour: i64| {
            let (day, hour) = (17 + hour / 24, hour % 24);
            match (day, hour) {
                (21 | 22, 6..12) => -5.0,
                (_, 4..14) => 7.0,
                (_, _) => 14.0,
            }
        };
        let reply = reply("2026-04-17", 16, frost);
        std::fs::write(self.path("forecast.json"), reply.to_string()).unwrap();
    }

    fn mails(&self) -> Vec<String> {
        let Ok(folder) = std::fs::read_dir(self.path("mails")) else {
            return Vec::new();
        };
        let read = |file: std::io::Result<std::fs::DirEntry>| {
            std::fs::read_to_string(file.unwrap().path())
                .unwrap()
                .replace("=\r\n", "")
                .replace("=\n", "")
        };
        folder.map(read).collect()
    }
}

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

#[tokio::test]
async fn a_cold_night_is_told_in_the_afternoon_before_and_the_frost_after_it_once() {
    let garden = Garden::sheared();
    garden.write_weather();
    let none: [Alarm; 0] = [];
    assert_eq!(
        garden.cycle("2026-04-19T18:30:00Z").await,
        none,
        "the afternoon of the 19th"
    );
    assert_eq!(
        garden.cycle("2026-04-20T09:30:00Z").await,
        none,
        "half past five on the 20th"
    );
    assert_eq!(
        garden.cycle("2026-04-20T18:30:00Z").await,
        [Alarm::CoverTonight]
    );
    assert_eq!(
        garden.cycle("2026-04-20T18:30:00Z").await,
        none,
        "the same again"
    );
    assert_eq!(
        garden.cycle("2026-04-21T01:00:00Z").await,
        none,
        "at nine in the evening"
    );
    let mails = garden.mails();
    let [mail] = mails.as_slice() else {
        panic!("{mails:#?}");
    };
    for part in [
        "Subject: Cover tonight (night to Tue 21 April): box edging",
        "shearing of Sun 12 April",
        "Watched till it is firm",
        "Cover it before dusk",
        "licensed",
    ] {
        assert!(mail.contains(part), "no {part:?} in\n{mail}");
    }
}

#[tokio::test]
async fn a_frost_that_came_is_told_once_when_its_day_is_over() {
    let garden = Garden::sheared();
    garden.write_weather();
    let none: [Alarm; 0] = [];
    assert_eq!(
        garden.cycle("2026-04-20T18:30:00Z").await,
        [Alarm::CoverTonight]
    );
    assert_eq!(
        garden.cycle("2026-04-21T09:30:00Z").await,
        none,
        "the day is not over"
    );
    assert_eq!(
        garden.cycle("2026-04-21T18:30:00Z").await,
        [Alarm::CoverTonight],
        "the next night is another one"
    );
    assert_eq!(
        garden.cycle("2026-04-22T09:30:00Z").await,
        [Alarm::FrostSeen]
    );
    for later in [
        "2026-04-22T18:30:00Z",
        "2026-04-23T09:30:00Z",
        "2026-04-24T18:30:00Z",
    ] {
        assert_eq!(garden.cycle(later).await, none, "{later}");
    }
    let mails = garden.mails();
    assert_eq!(mails.len(), 3);
    let after = mails
        .iter()
        .find(|mail| mail.contains("Frost after the cut"));
    let after = after.unwrap();
    for part in [
        "night to Tue 21 April",
        "Leave it as it is",
        "shear just under the dead layer",
    ] {
        assert!(after.contains(part), "no {part:?} in\n{after}");
    }
    let store = Store::open(&garden.path("budward.sqlite3")).unwrap();
    let told: Vec<String> = store
        .journal("quarry", 100)
        .unwrap()
        .into_iter()
        .rev()
        .map(|line| line.what)
        .filter(|what| !what.starts_with("mail-") && what != "verdict")
        .collect();
    assert_eq!(
        told,
        ["done", "cover-tonight", "cover-tonight", "frost-seen"]
    );
}

#[tokio::test]
async fn a_cut_that_was_made_brings_no_word_on_making_it_and_one_taken_back_does() {
    let garden = Garden::sheared();
    let mild = reply(
        "2026-06-15",
        14,
        |hour| if hour % 24 < 12 { 16.0 } else { 27.0 },
    );
    std::fs::write(garden.path("forecast.json"), mild.to_string()).unwrap();
    garden.cycle("2026-06-15T18:30:00Z").await;
    assert_eq!(garden.mails(), Vec::<String>::new());
    let mut store = Store::open(&garden.path("budward.sqlite3")).unwrap();
    let cut = ("box-edging-shear", "2026-04-12".parse().unwrap());
    assert!(
        store
            .undo_deed("quarry", cut, at("2026-06-15T19:00:00Z"))
            .unwrap()
    );
    drop(store);
    garden.cycle("2026-06-15T19:30:00Z").await;
    assert!(
        garden.mails()[0].contains("from today"),
        "{:?}",
        garden.mails()
    );
}

#[tokio::test]
async fn the_watch_and_what_needs_no_cut_are_on_board_and_status_and_among_the_reasons() {
    let garden = Garden::sheared();
    garden.write_weather();
    let now = "2026-04-20T18:30:00Z";
    garden.cycle(now).await;
    // As after a restart.
    let settings = garden.settings(now);
    let store = Store::open(settings.store.file().unwrap()).unwrap();
    let house = House::open(settings, store, Clock::standing(at(now))).unwrap();
    let snapshot = house.snapshot().await.unwrap();
    let shown = &snapshot.gardens[0];
    assert_eq!(
        watched::tonight(&shown.watches[0], Locale::default()),
        "cover tonight"
    );
    assert_eq!(shown.uncut[0].planting, "the ditch");
    let budward = |arguments: &[&str]| {
        let run = std::process::Command::new(env!("CARGO_BIN_EXE_budward"))
            .args(arguments)
            .args(["--at", now])
            .current_dir(garden.0.path())
            .output()
            .unwrap();
        assert!(run.status.success(), "{run:?}");
        let said = String::from_utf8(run.stdout).unwrap();
        assert!(
            said.lines().all(|line| line.chars().count() <= 80),
            "{said}"
        );
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for (arguments, parts) in [
        (
            &["once"][..],
            &[
                "cover tonight",
                "Tender till",
                "needs no cut",
                "Source: News",
            ][..],
        ),
        (
            &["why", "box-edging-shear"],
            &[
                "cover tonight",
                "Tender: ",
                "Mind: ",
                &words::caution(Locale::default()),
            ],
        ),
        (&["plan", "--year", "2026"], &["Needs no cut The ditch."]),
    ] {
        let said = budward(arguments);
        for part in parts {
            assert!(said.contains(part), "{arguments:?}: no {part:?} in {said}");
        }
    }
}
