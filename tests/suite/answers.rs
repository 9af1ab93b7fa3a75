//! What a keeper answers by a link: from the letter to the form, from the form to the store, and back again.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use budward::config::Settings;
use budward::daemon::{self, Clock, House};
use budward::garden::{Answer, Hemisphere};
use budward::link::{KEY_BYTES, Links, Signer, Slip};
use budward::store::{GivenAnswer, Noted, Store};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use reqwest::{Client, Response, StatusCode};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

const NOW: &str = "2026-04-20T18:00:00Z";

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn given(answer: Answer, mark: &str) -> GivenAnswer {
    let on = day("2026-04-20");
    GivenAnswer {
        mark: mark.to_owned(),
        garden: "quarry".to_owned(),
        cut: "box-edging-shear".to_owned(),
        reader: String::new(),
        planting: "box edging".to_owned(),
        answer,
        on,
        share: None,
        silent_until: answer.silent_until(on, Hemisphere::North),
    }
}

#[test]
fn an_answer_counts_once_and_can_be_taken_back() {
    let mut store = Store::in_memory().unwrap();
    let done = given(Answer::Done, "a");
    assert_eq!(store.take_answer(&done, at(NOW)).unwrap(), Noted::New);
    assert_eq!(store.take_answer(&done, at(NOW)).unwrap(), Noted::Before);
    assert_eq!(store.deeds("quarry").unwrap().len(), 1);
    assert!(store.take_back_answer(&done, at(NOW)).unwrap());
    assert!(!store.take_back_answer(&done, at(NOW)).unwrap());
    assert!(store.deeds("quarry").unwrap().is_empty());
    // A link that was taken back is used up: a second press of the old button does nothing.
    assert_eq!(store.take_answer(&done, at(NOW)).unwrap(), Noted::Before);
    assert!(store.deeds("quarry").unwrap().is_empty());
}

#[test]
fn what_is_seen_and_what_is_not_wanted_are_kept() {
    let mut store = Store::in_memory().unwrap();
    for (answer, mark) in [
        (Answer::InBloom, "bloom"),
        (Answer::FrostDamage, "frost"),
        (Answer::Later, "later"),
        (Answer::NotThisYear, "year"),
    ] {
        store.take_answer(&given(answer, mark), at(NOW)).unwrap();
    }
    assert_eq!(store.sightings("quarry").unwrap().len(), 1);
    let journal = store.journal("quarry", 10).unwrap();
    assert!(journal.iter().any(|line| line.what == "frost-damage"));
    let quiet = |today| store.quiet("quarry", day(today)).unwrap().len();
    assert_eq!(quiet("2026-04-21"), 2);
    assert_eq!(quiet("2026-05-03"), 2);
    assert_eq!(quiet("2026-05-04"), 1, "later is a fortnight");
    assert_eq!(quiet("2027-01-01"), 0, "the next year is another one");
}

#[test]
fn a_store_keeps_its_first_key() {
    let mut store = Store::in_memory().unwrap();
    assert_eq!(store.link_key(&[1; KEY_BYTES]).unwrap(), [1; KEY_BYTES]);
    assert_eq!(store.link_key(&[2; KEY_BYTES]).unwrap(), [1; KEY_BYTES]);
}

/// A running program with one garden whose box edging may be sheared.
struct Running {
    _folder: TempDir,
    address: String,
    links: Arc<Links>,
    store: std::path::PathBuf,
    client: Client,
    stop: CancellationToken,
    daemon: tokio::task::JoinHandle<Result<(), daemon::DaemonError>>,
}

impl Running {
    async fn start() -> Self {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("garden.toml");
        let text = r#"
[mail]
from = "budward <garden@example.org>"
folder = "mails"

[web]
address = "https://garden.example.org/"

[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 40.63
longitude = -74.43
elevation = "30 m"
time_zone = "America/New_York"
forecast = { source = "files", forecast = "none.json", data_at = 2026-04-20T17:00:00Z }
history = { source = "ghcn-file", file = "none.dly" }
plant = [{ name = "box edging", kind = "boxwood", cut = [{ cut = "shear" }] }]
"#;
        std::fs::write(&file, text).unwrap();
        let settings = Settings::read(&file).unwrap();
        let store = settings.store.file().unwrap().to_owned();
        let clock = Clock::standing(at(NOW));
        let house = House::open(settings, Store::open(&store).unwrap(), clock).unwrap();
        let links = Arc::clone(&house.links);
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = format!("http://{}", listener.local_addr().unwrap());
        let stop = CancellationToken::new();
        let daemon = tokio::spawn(daemon::run(house, listener, stop.clone()));
        Self {
            _folder: folder,
            address,
            links,
            store,
            client: Client::builder().no_proxy().build().unwrap(),
            stop,
            daemon,
        }
    }

    fn link(&self, answer: Answer, cut: &str) -> String {
        let slip = Slip {
            garden: "quarry".to_owned(),
            cut: cut.to_owned(),
            answer,
            reader: String::new(),
            until: at(NOW) + TimeDelta::days(60),
        };
        format!("{}{}", self.address, self.links.path(&slip))
    }

    async fn get(&self, link: &str) -> Response {
        self.client.get(link).send().await.unwrap()
    }

    async fn post(&self, link: &str, fields: &str, headers: &[(&str, &str)]) -> Response {
        let mut post = self
            .client
            .post(link)
            .header("content-type", "application/x-www-form-urlencoded")
            .body(fields.to_owned());
        for (name, value) in headers {
            post = post.header(*name, *value);
        }
        post.send().await.unwrap()
    }

    fn deeds(&self) -> Vec<(NaiveDate, Option<u8>)> {
        let store = Store::open(&self.store).unwrap();
        let deeds = store.deeds("quarry").unwrap();
        deeds
            .into_iter()
            .map(|deed| (deed.on, deed.share))
            .collect()
    }

    async fn end(self) {
        self.stop.cancel();
        self.daemon.await.unwrap().unwrap();
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn following_a_link_changes_nothing_and_its_button_notes_once() {
    let running = Running::start().await;
    let link = running.link(Answer::Done, "box-edging-shear");
    for _ in 0..3 {
        let page = running.get(&link).await;
        assert_eq!(page.status(), StatusCode::OK);
        assert_eq!(page.headers()["cache-control"], "no-store");
        assert_eq!(page.headers()["referrer-policy"], "no-referrer");
        let page = page.text().await.unwrap();
        assert!(page.contains("<form method=\"post\""), "{page}");
    }
    assert!(
        running
            .client
            .head(&link)
            .send()
            .await
            .unwrap()
            .status()
            .is_success()
    );
    assert!(running.deeds().is_empty());

    let own = [("sec-fetch-site", "same-origin")];
    let noted = running.post(&link, "day=2026-04-18&share=20", &own).await;
    assert_eq!(noted.status(), StatusCode::OK);
    assert!(
        noted
            .text()
            .await
            .unwrap()
            .contains("done on 18 April 2026")
    );
    assert_eq!(running.deeds(), [(day("2026-04-18"), Some(20))]);
    let again = running.post(&link, "day=2026-04-19", &own).await;
    assert!(again.text().await.unwrap().contains("noted before"));
    assert_eq!(running.deeds().len(), 1);

    // The plant is watched from now on, and the board shows it without waiting for the next look.
    let garden = format!("{}/garden/quarry", running.address);
    let mut board = String::new();
    for _ in 0..100 {
        board = running.get(&garden).await.text().await.unwrap();
        if board.contains("watched") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    assert!(board.contains("Cut lately, and watched"), "{board}");

    let back = running.post(&format!("{link}/undo"), "", &own).await;
    assert!(back.text().await.unwrap().contains("taken back"));
    assert!(running.deeds().is_empty());
    running.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_not_ours_or_makes_no_sense_notes_nothing() {
    let running = Running::start().await;
    let link = running.link(Answer::Done, "box-edging-shear");
    let elsewhere: [&[(&str, &str)]; 4] = [
        &[("sec-fetch-site", "cross-site")],
        &[("sec-fetch-site", "same-site")],
        &[("origin", "https://elsewhere.example")],
        &[("origin", "null")],
    ];
    for headers in elsewhere {
        let refused = running.post(&link, "", headers).await;
        assert_eq!(refused.status(), StatusCode::FORBIDDEN, "{headers:?}");
    }
    for fields in ["day=soon", "share=0", "share=101", "share=much"] {
        let refused = running.post(&link, fields, &[]).await;
        assert_eq!(refused.status(), StatusCode::BAD_REQUEST, "{fields}");
    }
    for other_day in ["day=2026-04-21", "day=2026-02-01"] {
        let refused = running.post(&link, other_day, &[]).await;
        assert_eq!(refused.status(), StatusCode::CONFLICT, "{other_day}");
    }
    let gone = running.link(Answer::Done, "old-rose-shear");
    assert_eq!(
        running.post(&gone, "", &[]).await.status(),
        StatusCode::GONE
    );
    let stranger = Links::new(Signer::new(&[9; KEY_BYTES]), None);
    let slip = Slip {
        garden: "quarry".to_owned(),
        cut: "box-edging-shear".to_owned(),
        answer: Answer::Done,
        reader: String::new(),
        until: at(NOW) + TimeDelta::days(1),
    };
    let over = Slip {
        until: at(NOW) - TimeDelta::days(1),
        ..slip.clone()
    };
    let (strange, over) = (stranger.path(&slip), running.links.path(&over));
    let mut replies = BTreeMap::new();
    for path in [strange.as_str(), &over, "/answer/x"] {
        let link = format!("{}{path}", running.address);
        for reply in [running.get(&link).await, running.post(&link, "", &[]).await] {
            assert_eq!(reply.status(), StatusCode::NOT_FOUND, "{path}");
            replies.insert(reply.text().await.unwrap(), path.to_owned());
        }
    }
    assert_eq!(replies.len(), 1, "a stranger learns nothing");
    assert!(running.deeds().is_empty());
    running.end().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_mail_service_ends_the_letters_with_one_post() {
    let running = Running::start().await;
    let link = running.link(Answer::NoLetters, "");
    // RFC 8058, 3.2: no cookies, no redirect, the one field.
    let reply = running.post(&link, "List-Unsubscribe=One-Click", &[]).await;
    assert_eq!(reply.status(), StatusCode::OK);
    // From a mail program in a browser, and in the other form of forms.
    let elsewhere = [("sec-fetch-site", "cross-site")];
    let fields = "List-Unsubscribe=One-Click";
    let reply = running.post(&link, fields, &elsewhere).await;
    assert_eq!(reply.status(), StatusCode::OK);
    let done = running.link(Answer::Done, "box-edging-shear");
    let refused = running.post(&done, fields, &elsewhere).await;
    assert_eq!(refused.status(), StatusCode::FORBIDDEN);
    let parts = "--b\r\nContent-Disposition: form-data; name=\"List-Unsubscribe\"\r\n\r\nOne-Click\r\n--b--\r\n";
    let post = running.client.post(&link).body(parts);
    let post = post.header("content-type", "multipart/form-data; boundary=b");
    assert_eq!(post.send().await.unwrap().status(), StatusCode::OK);
    let store = Store::open(&running.store).unwrap();
    let quiet = store.quiet("quarry", day("2026-04-21")).unwrap();
    assert_eq!(quiet.len(), 1);
    assert_eq!(quiet[0].answer, Answer::NoLetters);
    running.end().await;
}
