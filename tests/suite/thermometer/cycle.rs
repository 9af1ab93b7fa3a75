//! The whole way: a station's file, the offset it teaches, and the mail of a night that is already too cold.

use std::fs::Permissions;
use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;

use budward::config::Settings;
use budward::daemon::{self, Clock, House, LastLooks, Reach, look};
use budward::garden::Deed;
use budward::store::Store;
use budward::units::CelsiusStep;
use budward::web;
use chrono::{DateTime, TimeDelta, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use crate::road::reply;
use crate::support::project;

const TOKEN: &str = "0123456789abcdef-quarry";

struct Garden(TempDir);

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// The place: nights of 4 °C and days of 14 °C, hour by hour from 1 April 2026 on.
fn place(hour: i64) -> f64 {
    if (4..14).contains(&(hour % 24)) {
        4.0
    } else {
        14.0
    }
}

impl Garden {
    /// A garden whose box edging was sheared on 12 April 2026, with a station's file that is still empty.
    fn sheared() -> Self {
        let garden = Self(tempfile::tempdir().unwrap());
        let deed = Deed {
            cut: "box-edging-shear".to_owned(),
            planting: "box edging".to_owned(),
            on: "2026-04-12".parse().unwrap(),
            share: None,
            note: None,
        };
        let mut store = Store::open(&garden.path("budward.sqlite3")).unwrap();
        store
            .note_deed("quarry", &deed, at("2026-04-12T20:00:00Z"))
            .unwrap();
        std::fs::write(garden.path("token"), TOKEN).unwrap();
        std::fs::set_permissions(garden.path("token"), Permissions::from_mode(0o600)).unwrap();
        std::fs::write(garden.path("station.csv"), "when;temp F\n").unwrap();
        std::fs::write(
            garden.path("forecast.json"),
            reply("2026-04-01", 30, place).to_string(),
        )
        .unwrap();
        garden
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn house(&self, now: &str) -> House {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let history = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
        let text = format!(
            r#"
[mail]
from = "budward <garden@example.org>"
folder = "mails"

[[garden]]
name = "quarry"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
units = "us"
mail_to = "keeper@example.org"
forecast = {{ source = "files", forecast = "forecast.json", data_at = {now} }}
history = {{ source = "ghcn-file", file = {:?} }}
plant = [{{ name = "box edging", kind = "boxwood", cut = [{{ cut = "shear" }}] }}]

[garden.thermometer]
file = "station.csv"
delimiter = "semicolon"
time = ["when"]
time_format = "%m/%d/%Y %H:%M"
temperature = "temp F"
unit = "F"
token_file = "token"
"#,
            history.display().to_string()
        );
        std::fs::write(self.path("garden.toml"), text).unwrap();
        let settings = Settings::read(&self.path("garden.toml")).unwrap();
        let store = Store::open(settings.store.file().unwrap()).unwrap();
        House::open(settings, store, Clock::standing(at(now))).unwrap()
    }

    /// The station writes a line every ten minutes from one instant to before another, by a clock of New York.
    fn write(&self, from: &str, to: &str, offset: f64) {
        let mut file = std::fs::OpenOptions::new()
            .append(true)
            .open(self.path("station.csv"))
            .unwrap();
        let first = at("2026-04-01T00:00:00Z");
        let mut moment = at(from);
        while moment < at(to) {
            let minutes = (moment - first).num_minutes();
            let flicker = f64::from(i32::try_from(minutes / 10 % 7).unwrap()) * 0.05;
            let celsius = place(minutes / 60) + offset + flicker;
            let local = moment - TimeDelta::hours(4);
            writeln!(
                file,
                "{};{:.2}",
                local.format("%m/%d/%Y %H:%M"),
                celsius * 1.8 + 32.0
            )
            .unwrap();
            moment += TimeDelta::minutes(10);
        }
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

#[tokio::test]
async fn the_file_is_tailed_and_teaches_the_spot_of_the_cut() {
    let garden = Garden::sheared();
    let now = "2026-04-20T18:30:00Z";
    let house = garden.house(now);
    let settings = &house.gardens()[0];
    // A run tells of the two days before it; looks on other days tell of others.
    let mut written = "2026-04-01T00:00:00Z".to_owned();
    for day in ["10", "12", "14", "16", "18", "20"] {
        let until = format!("2026-04-{day}T18:30:00Z");
        garden.write(&written, &until, -3.0);
        written.clone_from(&until);
        let house = garden.house(&until);
        house.cycle(&house.gardens()[0]).await.unwrap();
    }
    // A line that is being written waits; a line that was read comes no second time.
    let mut file = std::fs::OpenOptions::new()
        .append(true)
        .open(garden.path("station.csv"))
        .unwrap();
    write!(file, "04/20/2026 14:3").unwrap();
    house.read_station(settings).await.unwrap();
    let weather = house.gather(settings, at(now), Reach::Here).await.unwrap();
    assert_eq!(weather.thermometer.readings.len(), 19 * 144 + 111);
    let seen = look(settings, &weather, at(now));
    let thermometer = seen.thermometer.unwrap();
    assert_eq!(thermometer.refused.total(), 0, "{}", thermometer.refused);
    assert!(thermometer.own.nights >= 10, "{}", thermometer.own.nights);
    // The analysis shares the model's warm bias of 0.5 K, which is taken off forecasts: -3 K against it are -2.5 K
    // against nights without bias, less what the guess of nothing still weighs.
    let offset = thermometer.own.offset.kelvin();
    assert!((offset + 2.5).abs() < 0.1, "{offset}");
    let spot = &seen.garden.unwrap().cuts[0].spot;
    assert_eq!(
        (spot.offset, spot.doubt),
        (thermometer.own.offset, thermometer.own.doubt)
    );
    // Twelve nights at most leave 1/√(1 + 12/10) of a kelvin, ten 1/√2.
    assert!((0.67..0.71).contains(&spot.doubt.kelvin()));
    let shared = &settings.garden.cuts[0].spot;
    assert_eq!(
        shared.offset,
        CelsiusStep::default(),
        "the settings stay as they are"
    );
}

#[tokio::test]
async fn a_night_that_is_already_too_cold_is_told_once() {
    let garden = Garden::sheared();
    garden.write("2026-04-18T00:00:00Z", "2026-04-21T08:00:00Z", 0.0);
    garden.write("2026-04-21T08:00:00Z", "2026-04-21T09:00:00Z", -7.0);
    let mut told = 0;
    for now in [
        "2026-04-21T09:00:00Z",
        "2026-04-21T09:05:00Z",
        "2026-04-21T09:20:00Z",
    ] {
        let house = garden.house(now);
        let settings = &house.gardens()[0];
        house
            .watch_thermometer(settings, &mut LastLooks::new())
            .await
            .unwrap();
        told += house.deliver(&CancellationToken::new()).await.unwrap();
    }
    assert_eq!(told, 1);
    let mails = garden.mails();
    let [mail] = mails.as_slice() else {
        panic!("{mails:#?}")
    };
    // -7 K on 4 °C, and what flickers: 26.6 to 27.2 °F; box edging is damaged from 28 °F (-2.2 °C) down.
    for part in [
        "Subject: Already below: box edging",
        "own thermometer showed 27",
        "28",
        "licensed",
    ] {
        assert!(mail.contains(part), "no {part:?} in\n{mail}");
    }
}

#[tokio::test]
async fn an_old_reading_a_spike_or_a_mild_one_wakes_nobody() {
    for (cold_from, cold_to, end, offset, now) in [
        (
            "2026-04-21T08:00:00Z",
            "2026-04-21T09:00:00Z",
            "2026-04-21T09:00:00Z",
            -7.0,
            "2026-04-21T10:30:00Z",
        ),
        (
            "2026-04-21T08:50:00Z",
            "2026-04-21T09:00:00Z",
            "2026-04-21T09:00:00Z",
            -17.0,
            "2026-04-21T09:00:00Z",
        ),
        (
            "2026-04-21T08:00:00Z",
            "2026-04-21T09:00:00Z",
            "2026-04-21T09:00:00Z",
            -4.0,
            "2026-04-21T09:00:00Z",
        ),
    ] {
        let garden = Garden::sheared();
        garden.write("2026-04-18T00:00:00Z", cold_from, 0.0);
        garden.write(cold_from, cold_to, offset);
        garden.write(cold_to, end, 0.0);
        let house = garden.house(now);
        house
            .watch_thermometer(&house.gardens()[0], &mut LastLooks::new())
            .await
            .unwrap();
        assert_eq!(
            house.deliver(&CancellationToken::new()).await.unwrap(),
            0,
            "{offset} {now}"
        );
    }
}

#[tokio::test]
async fn a_post_to_the_running_program_is_kept_once() {
    let garden = Garden::sheared();
    let house = garden.house("2026-04-21T09:00:00Z");
    let keeper = house.keeper.clone();
    let listener = web::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
    let address = listener.local_addr().unwrap();
    let stop = CancellationToken::new();
    let running = tokio::spawn(daemon::run(house, listener, stop.clone()));
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    let body = r#"[{"time": "2026-04-21T08:50:00Z", "temperature": 1.5},
                   {"time": "2026-04-22T08:50:00Z", "temperature": 1.5},
                   {"time": "2026-04-21T08:40:00Z", "temperature": 99}]"#;
    let mut replies = Vec::new();
    for _ in 0..2 {
        let request = client.post(format!("http://{address}/readings"));
        let request = request
            .bearer_auth(TOKEN)
            .header("content-type", "application/json");
        let reply = request.body(body).send().await.unwrap();
        replies.push(reply.text().await.unwrap());
    }
    let refused = r#""refused":{"out-of-range":1,"future":1}"#;
    assert_eq!(
        replies,
        [
            format!(r#"{{"kept":1,"known":0,{refused}}}"#),
            format!(r#"{{"kept":0,"known":1,{refused}}}"#)
        ]
    );
    stop.cancel();
    running.await.unwrap().unwrap();
    let kept = keeper
        .with(|store| store.readings("quarry", DateTime::<Utc>::MIN_UTC))
        .await
        .unwrap();
    assert_eq!(kept.len(), 1);
}
