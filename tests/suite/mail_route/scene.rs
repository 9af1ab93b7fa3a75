//! A garden that the program itself looks after: weather in files, a clock that is set by hand, mails over a real relay.

use std::path::PathBuf;

use budward::config::Settings;
use budward::daemon::{Clock, House, LastLooks};
use budward::garden::Deed;
use budward::store::Store;
use chrono::{DateTime, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use super::at;
use super::peer::Peer;
use crate::road::reply;
use crate::support::project;

/// Where the page of these gardens is reached.
pub(super) const ADDRESS: &str = "https://garden.example";

/// The plants of most of these gardens.
pub(super) const BOX: &str =
    "plant = [{ name = \"box <edging>\", kind = \"boxwood\", cut = [{ cut = \"shear\" }] }]\n";

/// Its forecast, just made.
const FORECAST: &str =
    "forecast = { source = \"files\", forecast = \"forecast.json\", data_at = NOW }\n";

/// A garden with its relay.
pub(super) struct Scene {
    folder: TempDir,
    peer: Peer,
    garden: String,
}

impl Scene {
    /// A garden of those lines, with one forecast; none without a relay.
    pub(super) fn new(lines: &str) -> Option<Self> {
        Self::of(&format!("{FORECAST}{lines}"))
    }

    /// A garden of those lines; `NOW` in them is the moment of the look.
    pub(super) fn of(lines: &str) -> Option<Self> {
        Some(Self {
            folder: tempfile::tempdir().unwrap(),
            peer: Peer::start("accept")?,
            garden: lines.to_owned(),
        })
    }

    pub(super) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Notes a cut that was made at noon of a day.
    pub(super) fn sheared(&self, on: &str) {
        let deed = Deed {
            cut: "box-edging-shear".to_owned(),
            planting: "box <edging>".to_owned(),
            on: on.parse().unwrap(),
            share: Some(20),
            note: None,
        };
        let mut store = Store::open(&self.path("budward.sqlite3")).unwrap();
        store
            .note_deed("quarry", &deed, at(&format!("{on}T17:00:00Z")))
            .unwrap();
    }

    /// Writes the forecast of so many days, of each hour since midnight UTC of the first of them.
    pub(super) fn weather(&self, file: &str, first: &str, temperature: impl Fn(i64) -> f64) {
        let reply = reply(first, 16, temperature);
        std::fs::write(self.path(file), reply.to_string()).unwrap();
    }

    /// The house at a moment.
    pub(super) fn house(&self, now: &str) -> House {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let history = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
        let text = format!(
            r#"
[web]
address = "{ADDRESS}/"

[mail]
from = "Der Garten Süd <budward@garden.example>"

[mail.smtp]
host = "127.0.0.1"
port = {port}
security = "plain"
hello = "garden.example"

[schedule]
cycle = "30 5,14 * * *"

[[garden]]
name = "quarry"
title = "Quarry & mill garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
units = "us"
mail_to = "keeper@example.org"
remark = "Garden and weather are invented."
history = {{ source = "ghcn-file", file = {:?} }}
{garden}
"#,
            history.display().to_string(),
            port = self.peer.port(),
            garden = self.garden.replace("NOW", now),
        );
        let file = self.path("garden.toml");
        std::fs::write(&file, text).unwrap();
        let settings = Settings::read(&file).unwrap_or_else(|faults| panic!("{faults}"));
        let store = Store::open(settings.store.file().unwrap()).unwrap();
        House::open(settings, store, Clock::standing(at(now))).unwrap()
    }

    /// Looks at weather and thermometer at a moment and sends what there is to send.
    pub(super) async fn look(&self, now: &str) -> House {
        let house = self.house(now);
        let garden = &house.gardens()[0];
        house.cycle(garden).await.unwrap();
        let mut looks = LastLooks::new();
        house.watch_thermometer(garden, &mut looks).await.unwrap();
        house.deliver(&CancellationToken::new()).await.unwrap();
        house
    }

    /// The mails that the relay took.
    pub(super) fn mails(&mut self) -> Vec<Vec<u8>> {
        self.peer.mails()
    }
}

/// Nights of one temperature and days of another, in °C.
pub(super) fn steady(night: f64, day: f64) -> impl Fn(i64) -> f64 {
    move |hour| {
        if (4..14).contains(&(hour % 24)) {
            night
        } else {
            day
        }
    }
}

/// The local day before which a moment lies, as forecasts are written: two days of the past are in them.
pub(super) fn two_days_before(now: &str) -> String {
    let now: DateTime<Utc> = at(now);
    (now - chrono::TimeDelta::days(2)).date_naive().to_string()
}
