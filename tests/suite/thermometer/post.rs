//! Readings over HTTP: who may, what is read, and how it is refused.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use budward::almanac::Almanac;
use budward::thermometer::{Reading, Refusal, Refused};
use budward::web::{self, Door, Parts, Posted, Receipt, Slot};
use secrecy::SecretString;
use serde_json::{Value, json};
use tokio::sync::{mpsc, watch};
use tokio_util::sync::CancellationToken;

const TOKEN: &str = "0123456789abcdef-orchard";

type Given = Arc<Mutex<Vec<(String, Vec<Result<Reading, Refusal>>)>>>;

/// A server on loopback whose posts are kept by the test.
struct Letterbox {
    address: String,
    given: Given,
    stop: CancellationToken,
    client: reqwest::Client,
}

impl Letterbox {
    async fn open() -> Self {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let (post, mut inbox) = mpsc::channel::<Posted>(4);
        let given = Given::default();
        let kept = Arc::clone(&given);
        tokio::spawn(async move {
            while let Some(posted) = inbox.recv().await {
                let n = posted.given.len();
                kept.lock().unwrap().push((posted.garden, posted.given));
                let mut refused = Refused::default();
                refused.add(Refusal::Future, 2);
                // Of an empty post the keeper breaks down.
                if n > 0 {
                    posted
                        .answer
                        .send(Receipt {
                            kept: n,
                            known: 0,
                            refused,
                        })
                        .unwrap();
                }
            }
        });
        let slot = |garden: &str, token: &str| Slot {
            garden: garden.to_owned(),
            token: SecretString::from(token.to_owned()),
        };
        let slots = vec![
            slot("museum", "fedcba9876543210-museum"),
            slot("orchard", TOKEN),
        ];
        let site = web::site(Parts {
            snapshot: watch::channel(Arc::default()).1,
            almanac: Arc::new(Almanac::of(Vec::new())),
            answers: None,
            readings: Some((slots, post)),
            door: Door::open("127.0.0.1:0".parse().unwrap()),
            now: Arc::new(|| panic!("nobody asks for the time")),
        });
        let listener = web::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
        let address = listener.local_addr().unwrap().to_string();
        let stop = CancellationToken::new();
        tokio::spawn(web::serve(listener, site, stop.clone()));
        let client = reqwest::Client::builder()
            .no_proxy()
            .timeout(Duration::from_secs(20))
            .build()
            .unwrap();
        Self {
            address,
            given,
            stop,
            client,
        }
    }

    async fn post(&self, token: Option<&str>, media: &str, body: &str) -> (u16, Value) {
        let mut request = self
            .client
            .post(format!("http://{}/readings", self.address))
            .header("content-type", media)
            .body(body.to_owned());
        if let Some(token) = token {
            request = request.header("authorization", format!("Bearer {token}"));
        }
        let reply = request.send().await.unwrap();
        let status = reply.status().as_u16();
        let media = reply.headers()["content-type"].to_str().unwrap().to_owned();
        assert_eq!(
            media == "application/problem+json",
            status != 200,
            "{status} {media}"
        );
        let body: Value = serde_json::from_str(&reply.text().await.unwrap()).unwrap();
        if status != 200 {
            assert_eq!(body["status"], status);
            assert!(!body.to_string().contains("0123456789abcdef"), "{body}");
        }
        (status, body)
    }
}

impl Drop for Letterbox {
    fn drop(&mut self) {
        self.stop.cancel();
    }
}

#[tokio::test]
async fn json_and_csv_are_read_and_answered_with_what_became_of_them() {
    let letterbox = Letterbox::open().await;
    let one = r#"{"time": "2027-04-10T05:00:00-04:00", "temperature": -1.5}"#;
    let (status, body) = letterbox.post(Some(TOKEN), "application/json", one).await;
    assert_eq!(
        (status, body),
        (
            200,
            json!({ "kept": 1, "known": 0, "refused": { "future": 2 } })
        )
    );
    let many = format!("[{one}, {one}]");
    assert_eq!(
        letterbox
            .post(Some(TOKEN), "application/json; charset=utf-8", &many)
            .await
            .0,
        200
    );
    for csv in [
        "time,temperature\n2027-04-10T09:00:00Z,-1.5\n2027-04-10T09:10:00Z,cold\n",
        "2027-04-10T09:00:00Z,-1.5\n2027-04-10T09:10:00Z,cold\n",
    ] {
        assert_eq!(
            letterbox.post(Some(TOKEN), "text/csv", csv).await.0,
            200,
            "{csv}"
        );
    }
    let given = letterbox.given.lock().unwrap();
    let counts: Vec<_> = given
        .iter()
        .map(|(garden, given)| (garden.as_str(), given.len()))
        .collect();
    assert_eq!(
        counts,
        [
            ("orchard", 1),
            ("orchard", 2),
            ("orchard", 2),
            ("orchard", 2)
        ]
    );
    for (_, lines) in &given[2..] {
        assert_eq!(lines[0], given[0].1[0]);
        assert_eq!(lines[1], Err(Refusal::Unreadable));
    }
}

#[tokio::test]
async fn without_the_token_nothing_is_read() {
    let letterbox = Letterbox::open().await;
    let one = r#"{"time": "2027-04-10T09:00:00Z", "temperature": -1.5}"#;
    let long = "x".repeat(5000);
    for token in [
        None,
        Some(""),
        Some("0123456789abcdef"),
        Some("0123456789abcdef-orcharD"),
        Some(&long),
    ] {
        assert_eq!(
            letterbox.post(token, "application/json", one).await.0,
            401,
            "{token:?}"
        );
    }
    assert!(letterbox.given.lock().unwrap().is_empty());
}

#[tokio::test]
async fn what_cannot_be_read_is_refused_with_the_reason() {
    let letterbox = Letterbox::open().await;
    let status = async |media: &str, body: &str| letterbox.post(Some(TOKEN), media, body).await.0;
    assert_eq!(status("application/json", "{").await, 400);
    assert_eq!(
        status(
            "application/json",
            r#"{"time": "yesterday", "temperature": 1}"#
        )
        .await,
        400
    );
    assert_eq!(
        status(
            "application/json",
            r#"{"time": "2027-04-10T09:00:00Z", "temp": 1}"#
        )
        .await,
        400
    );
    assert_eq!(status("text/csv", "when,temperature\n").await, 400);
    assert_eq!(status("text/csv", "cold,very\nwarm\n").await, 422);
    assert_eq!(status("text/html", "<p>").await, 415);
    assert_eq!(status("application/json", &" ".repeat(70_000)).await, 413);
    assert!(letterbox.given.lock().unwrap().is_empty());
    assert_eq!(
        status("application/json", "[]").await,
        503,
        "whoever keeps them broke down"
    );
}
