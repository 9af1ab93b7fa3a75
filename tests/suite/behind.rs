//! Two readers of one garden, of whom one has had a letter that the other has not.

use std::path::PathBuf;

use budward::config::Settings;
use budward::daemon::{Clock, House};
use budward::store::{Delivery, OutboxItem, Store};
use chrono::{DateTime, Utc};
use tempfile::TempDir;

use crate::road::reply;
use crate::support::project;

const ANNA: &str = "anna@example.org";
const BEN: &str = "ben@example.org";

/// A garden in summer with a box edging whose shearing is wished for.
struct Garden(TempDir);

impl Garden {
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
cycle = "30 5,17 * * *"

[[garden]]
name = "quarry"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
mail_to = ["{ANNA}", "{BEN}"]
letters = {{ quiet = "none", year_plan = false }}
forecast = {{ source = "files", forecast = "forecast.json", data_at = {forecast_at} }}
history = {{ source = "ghcn-file", file = {:?} }}
plant = [{{ name = "box edging", kind = "boxwood", cut = [{{ cut = "shear", wished = 2026-07-08 }}] }}]
"#,
            history.display().to_string()
        );
        std::fs::write(self.path("garden.toml"), text).unwrap();
        Settings::read(&self.path("garden.toml")).unwrap()
    }

    fn store(&self) -> Store {
        Store::open(&self.path("budward.sqlite3")).unwrap()
    }

    /// Looks at a moment at a mild forecast that was just made; what waits to go then.
    async fn look(&self, now: &str) -> Vec<OutboxItem> {
        let mild = |hour: i64| {
            if (4..14).contains(&(hour % 24)) {
                14.0
            } else {
                23.0
            }
        };
        let reply = reply("2026-07-01", 16, mild).to_string();
        std::fs::write(self.path("forecast.json"), reply).unwrap();
        self.look_at_what_there_is(now).await
    }

    /// The same without any forecast.
    async fn look_without_weather(&self, now: &str) -> Vec<OutboxItem> {
        std::fs::remove_file(self.path("forecast.json")).ok();
        self.look_at_what_there_is(now).await
    }

    async fn look_at_what_there_is(&self, now: &str) -> Vec<OutboxItem> {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let settings = self.settings(now);
        let house = House::open(settings, self.store(), Clock::standing(at(now))).unwrap();
        house.cycle(&house.gardens()[0]).await.unwrap();
        drop(house);
        self.store().due(at(now)).unwrap()
    }
}

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn send(store: &mut Store, mail: &OutboxItem, now: &str) {
    store.mark_sending(mail.id, at(now)).unwrap();
    store.mark_content(mail.id).unwrap();
    store.mark_sent(mail.id, at(now), "250 ok").unwrap();
}

fn readers(mails: &[OutboxItem]) -> Vec<&str> {
    let readers = mails.iter().map(|mail| mail.message.to.as_str());
    readers.collect()
}

/// The first mails of some looks that speak of the box.
async fn first_of_the_box(garden: &Garden, looks: &[&str]) -> (Vec<OutboxItem>, String) {
    for now in looks {
        let mut mails = garden.look(now).await;
        mails.retain(|mail| mail.message.text.to_lowercase().contains("box edging"));
        if !mails.is_empty() {
            return (mails, (*now).to_owned());
        }
    }
    panic!("nothing is said of the box");
}

#[tokio::test]
async fn a_go_that_one_reader_has_had_is_held_from_the_other_while_nothing_is_known() {
    let garden = Garden(tempfile::tempdir().unwrap());
    let looks = [
        "2026-07-03T09:40:00Z",
        "2026-07-03T21:40:00Z",
        "2026-07-04T09:40:00Z",
    ];
    let (told, now) = first_of_the_box(&garden, &looks).await;
    assert_eq!(readers(&told), [ANNA, BEN], "a go to both");
    let key = &told[0].message.key;
    assert!(key.ends_with("now-go"), "{key}");
    // Anna's goes; Ben's waits for his mail server.
    send(&mut garden.store(), &told[0], &now);
    // Without weather for longer than a day, so that what was kept of the last forecast is no use either.
    let mut lost = Vec::new();
    for look in ["2026-07-05T21:40:00Z", "2026-07-06T21:40:00Z"] {
        lost.extend(garden.look_without_weather(look).await);
    }
    let is_go = |mail: &OutboxItem| !mail.message.key.contains("weather-lost");
    assert!(
        !lost.iter().any(is_go),
        "no go on weather that is not known"
    );
    assert_eq!(readers(&lost), [ANNA, BEN], "both hear that");
    for mail in &lost {
        send(&mut garden.store(), mail, "2026-07-06T21:41:00Z");
    }
    let counts = garden.store().mail_counts("quarry").unwrap();
    let given_up = counts.get(&Delivery::Cancelled);
    assert_eq!(given_up, None, "it is held: {counts:?}");
    let looks = [
        "2026-07-07T09:40:00Z",
        "2026-07-07T21:40:00Z",
        "2026-07-08T09:40:00Z",
    ];
    let (later, _) = first_of_the_box(&garden, &looks).await;
    assert_eq!(readers(&later), [BEN], "Anna has had it");
    assert_ne!(later[0].message.key, told[1].message.key);
}
