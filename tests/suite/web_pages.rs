//! The page, the status and the health reply over real connections, and the running program from start to end.

pub(crate) mod demo;
mod door;
mod feeds;
mod routes;
mod slow;

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::time::Duration;

use budward::almanac::{self, CutKind};
use budward::daemon::Clock;
use budward::locale::Locale;
use budward::outlook::{Basis, Missing, Skill, SourceSkill};
use budward::units::UnitSystem;
use budward::verdict::{State, Verdict};
use budward::web::{self, Door, GardenSnapshot, Parts, Snapshot};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use tokio::io::AsyncWriteExt;
use tokio::sync::watch;
use tokio_util::sync::CancellationToken;

fn now() -> DateTime<Utc> {
    "2027-04-01T12:00:00Z".parse().unwrap()
}

fn verdict(planting: &str, state: State) -> Verdict {
    let today = NaiveDate::from_ymd_opt(2027, 4, 1).unwrap();
    Verdict {
        garden: "quarry".to_owned(),
        cut: "hedge-shear".to_owned(),
        planting: planting.to_owned(),
        cut_kind: CutKind::Shear,
        at: now(),
        today,
        state,
        opens: None,
        closes: None,
        wished: None,
        findings: Vec::new(),
        basis: Basis {
            today,
            futures: 930,
            years: 30,
            members: 0,
            forecast_days: 0,
            forecast_from: None,
            forecast_age_hours: None,
            record_from: Some("a station".to_owned()),
            record_site: None,
            missing: vec![Missing::Forecast],
        },
    }
}

fn snapshot(verdicts: Vec<Verdict>) -> Snapshot {
    let garden = GardenSnapshot {
        name: "quarry".to_owned(),
        title: "Quarry <garden>".to_owned(),
        remark: None,
        locale: Locale::english(UnitSystem::Us),
        looked_at: Some("Thu 1 April 2027, 08:00".to_owned()),
        last_round: Some(now()),
        next_round: Some(now() + TimeDelta::hours(6)),
        verdicts,
        watches: Vec::new(),
        uncut: Vec::new(),
        ..GardenSnapshot::default()
    };
    Snapshot {
        locale: Locale::default(),
        gardens: vec![Arc::new(garden)],
        next_by: Some(now() + TimeDelta::hours(7)),
        troubles: Vec::new(),
        held: None,
    }
}

struct Site {
    address: String,
    stop: CancellationToken,
    server: tokio::task::JoinHandle<()>,
    client: reqwest::Client,
}

/// A page over a snapshot, on loopback; nobody takes answers or readings.
fn parts(snapshot: Snapshot, at: DateTime<Utc>) -> Parts {
    Parts {
        snapshot: watch::channel(Arc::new(snapshot)).1,
        almanac: Arc::new(almanac::embedded().unwrap()),
        answers: None,
        readings: None,
        door: Door::open("127.0.0.1:0".parse().unwrap()),
        now: Clock::standing(at).teller(),
    }
}

impl Site {
    async fn showing(snapshot: Snapshot, at: DateTime<Utc>) -> Self {
        Self::of(parts(snapshot, at)).await
    }

    /// The same with what changes the snapshot.
    async fn changing(
        snapshot: Snapshot,
        at: DateTime<Utc>,
    ) -> (watch::Sender<Arc<Snapshot>>, Self) {
        let (publish, newest) = watch::channel(Arc::new(snapshot));
        let parts = Parts {
            snapshot: newest,
            ..parts(Snapshot::default(), at)
        };
        (publish, Self::of(parts).await)
    }

    async fn of(parts: Parts) -> Self {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let listener = web::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
        let address = listener.local_addr().unwrap().to_string();
        let stop = CancellationToken::new();
        let server = tokio::spawn(web::serve(listener, web::site(parts), stop.clone()));
        let client = reqwest::Client::builder()
            .no_proxy()
            .no_gzip()
            .timeout(Duration::from_secs(20))
            .build()
            .unwrap();
        Self {
            address,
            stop,
            server,
            client,
        }
    }

    async fn get(&self, path: &str) -> reqwest::Response {
        self.client
            .get(format!("http://{}{path}", self.address))
            .send()
            .await
            .unwrap()
    }

    async fn end(self) {
        self.stop.cancel();
        tokio::time::timeout(Duration::from_secs(20), self.server)
            .await
            .unwrap()
            .unwrap();
    }
}

#[tokio::test]
async fn the_page_shows_each_cut_and_escapes_what_people_wrote() {
    let site = Site::showing(
        snapshot(vec![verdict("box & <b>yew</b> \"edging\"", State::Unknown)]),
        now(),
    )
    .await;
    let reply = site.get("/garden/quarry").await;
    assert_eq!(reply.status(), 200);
    let header = |name: &str| reply.headers()[name].to_str().unwrap().to_owned();
    assert!(header("content-security-policy").starts_with("default-src 'none'"));
    assert_eq!(header("x-content-type-options"), "nosniff");
    let page = reply.text().await.unwrap();
    for part in [
        "Quarry &lt;garden&gt;",
        "Box &amp; &lt;b&gt;yew&lt;/b&gt;",
        ">unknown<",
        "no usable forecast",
        "930 ways the weather can go",
        "a station",
        budward::message::words::caution(Locale::default())
            .split('\'')
            .next()
            .unwrap(),
        "width=device-width",
    ] {
        assert!(page.contains(part), "{part:?} is missing in {page}");
    }
    assert!(!page.contains("<script") && page.len() < 20_000);
    site.end().await;
}

#[tokio::test]
async fn page_and_status_tell_how_far_forecasts_were_verified() {
    let mut shown = snapshot(vec![verdict("hedge", State::Unknown)]);
    Arc::make_mut(&mut shown.gardens[0]).skills = vec![SourceSkill {
        source: "open-meteo".to_owned(),
        members: 1,
        learned: Skill::default().unlearned(),
    }];
    let site = Site::showing(shown, now()).await;
    let page = site.get("/garden/quarry").await.text().await.unwrap();
    for part in [
        "<summary>No night of open-meteo verified yet: published figures are used; nights are taken 0.9 °F colder",
        "<th scope=\"col\">correlation</th>",
        "<td>0.90 -&gt; 0.90</td>",
    ] {
        assert!(page.contains(part), "{part:?} is missing in {page}");
    }
    let status: serde_json::Value =
        serde_json::from_str(&site.get("/status").await.text().await.unwrap()).unwrap();
    let skill = &status["gardens"][0]["skills"][0];
    assert_eq!(
        (&skill["source"], &skill["nights"]),
        (&"open-meteo".into(), &0.into())
    );
    assert_eq!(skill["skill"]["bias"]["all"], 0.5);
    site.end().await;
}

#[tokio::test]
async fn the_status_is_json_with_every_figure() {
    let site = Site::showing(snapshot(vec![verdict("hedge", State::Unknown)]), now()).await;
    let status: serde_json::Value =
        serde_json::from_str(&site.get("/status").await.text().await.unwrap()).unwrap();
    assert_eq!(status["gardens"][0]["last_round"], "2027-04-01T12:00:00Z");
    assert_eq!(status["version"], env!("CARGO_PKG_VERSION"));
    let first = &status["gardens"][0]["verdicts"][0];
    assert_eq!(
        (&first["state"], &first["basis"]["futures"]),
        (&"unknown".into(), &930.into())
    );
    assert_eq!(first["basis"]["missing"][0]["what"], "forecast");
    site.end().await;
}

#[tokio::test]
async fn health_turns_bad_when_a_cycle_is_overdue() {
    let site = Site::showing(snapshot(Vec::new()), now() + TimeDelta::hours(7)).await;
    assert_eq!(site.get("/healthz").await.status(), 200);
    site.end().await;
    let site = Site::showing(snapshot(Vec::new()), now() + TimeDelta::hours(8)).await;
    assert_eq!(site.get("/healthz").await.status(), 503);
    site.end().await;
}

#[tokio::test]
async fn it_is_ready_once_every_garden_was_looked_at() {
    let mut before = snapshot(Vec::new());
    Arc::make_mut(&mut before.gardens[0]).last_round = None;
    let site = Site::showing(before, now()).await;
    let reply = site.get("/readyz").await;
    assert_eq!(reply.status(), 503);
    assert!(reply.headers().contains_key("retry-after"));
    assert_eq!(site.get("/healthz").await.status(), 200);
    site.end().await;
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    assert_eq!(site.get("/readyz").await.text().await.unwrap(), "ok\n");
    site.end().await;
}

#[tokio::test]
async fn what_is_not_there_is_said_on_a_page() {
    let site = Site::showing(snapshot(vec![verdict("hedge", State::Unknown)]), now()).await;
    for path in [
        "/nothing",
        "/garden/nowhere",
        "/garden/quarry/cut/nothing",
        "/garden/nowhere/plan",
        "/almanac/baobab",
    ] {
        let reply = site.get(path).await;
        assert_eq!(reply.status(), 404, "{path}");
        assert!(reply.headers().contains_key("content-security-policy"));
        let page = reply.text().await.unwrap();
        assert!(page.contains("<h1>There is no such page</h1>"), "{page}");
    }
    site.end().await;
}

#[tokio::test]
async fn a_page_that_is_still_the_same_is_not_sent_again() {
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    for path in ["/", "/style.css", "/almanac"] {
        let first = site.get(path).await;
        let tag = first.headers()["etag"].clone();
        let address = format!("http://{}{path}", site.address);
        let again = |tag: reqwest::header::HeaderValue| {
            let request = site.client.get(&address).header("if-none-match", tag);
            async { request.send().await.unwrap() }
        };
        let reply = again(tag).await;
        assert_eq!(reply.status(), 304);
        assert!(reply.headers().contains_key("etag"));
        assert_eq!(reply.text().await.unwrap(), "");
        let other = "\"other\"".parse().unwrap();
        assert_eq!(again(other).await.status(), 200);
    }
    site.end().await;
}

#[tokio::test]
async fn the_almanac_is_searched_by_a_plain_form() {
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    let found = site
        .get("/almanac?q=hydrangia%20smooth")
        .await
        .text()
        .await
        .unwrap();
    assert!(
        found.contains("1 kind.") && found.contains("/almanac/smooth-hydrangea"),
        "{found}"
    );
    let none = site
        .get("/almanac?q=%3Cscript%3E")
        .await
        .text()
        .await
        .unwrap();
    assert!(
        none.contains("No kind is called so") && !none.contains("<script"),
        "{none}"
    );
    assert_eq!(site.get("/almanac?q=a&q=b").await.status(), 200);
    let kind = site.get("/almanac/boxwood").await.text().await.unwrap();
    for part in ["Buxus", "Shear: ", "Tender class", "Source: "] {
        assert!(kind.contains(part), "{part} is missing in {kind}");
    }
    site.end().await;
}

#[tokio::test]
async fn half_a_request_does_not_hold_up_the_end() {
    let site = Site::showing(snapshot(Vec::new()), now()).await;
    let mut half = tokio::net::TcpStream::connect(&site.address).await.unwrap();
    half.write_all(b"GET / HT").await.unwrap();
    assert_eq!(site.get("/healthz").await.status(), 200);
    site.end().await;
    drop(half);
}

/// The program, ended with the test whatever happens.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        self.0.kill().ok();
        self.0.wait().ok();
    }
}

#[test]
fn the_program_serves_cycles_and_ends_cleanly_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let config = folder.path().join("garden.toml");
    let text = "[web]\nlisten = \"127.0.0.1:0\"\n\n[mail]\nfrom = \"budward@example.org\"\nfolder = \"mails\"\n\n\
                [[garden]]\nname = \"quarry\"\nlatitude = 40.63\nlongitude = -74.43\nmail_to = \"keeper@example.org\"\n\n\
                [garden.forecast]\nsource = \"files\"\nforecast = \"absent.json\"\n\n\
                [garden.history]\nsource = \"none\"\n\n\
                [[garden.plant]]\nname = \"box edging\"\nkind = \"boxwood\"\n";
    std::fs::write(&config, text).unwrap();
    let child = Command::new(env!("CARGO_BIN_EXE_budward"))
        .args(["run", "--log-json", "--config", config.to_str().unwrap()])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut running = Running(child);
    let mut log = BufReader::new(running.0.stderr.take().unwrap()).lines();
    let mut wait_for = |word: &str| {
        let line = log
            .by_ref()
            .map(Result::unwrap)
            .find(|line| line.contains(word));
        line.unwrap_or_else(|| panic!("the log ended without {word:?}"))
    };
    let serving: serde_json::Value = serde_json::from_str(&wait_for("serving the page")).unwrap();
    let address = serving["fields"]["address"].as_str().unwrap().to_owned();
    wait_for("the source is silent");
    wait_for("cycle done");

    let mut page = std::net::TcpStream::connect(&address).unwrap();
    std::io::Write::write_all(
        &mut page,
        b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
    )
    .unwrap();
    let mut reply = String::new();
    page.read_to_string(&mut reply).unwrap();
    assert!(
        reply.starts_with("HTTP/1.1 200") && reply.contains("Box edging"),
        "{reply}"
    );

    let pid = running.0.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-TERM", &pid])
            .status()
            .unwrap()
            .success()
    );
    wait_for("asked to end");
    wait_for("ended");
    assert!(running.0.wait().unwrap().success());
}
