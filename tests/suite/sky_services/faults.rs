//! Everything that a service can do wrong: none of it gives a go, stops another garden or loses what was known, and
//! none makes the program knock more often than allowed.

use budward::verdict::State;
use chrono::TimeDelta;

use super::home::{Home, PATH, SUMMER, mild, nights_of, service};
use super::stand_in::{Answer, StandIn, closed_port, ok, whole};
use super::{Duration, payload};

/// What a fault may lead to.
struct Fault {
    name: &'static str,
    /// None when the address itself is bad.
    answer: Option<Answer>,
    /// How many requests one look may cost.
    requests: usize,
    /// How long, in minutes, until the loop may ask again; none where it waits for its schedule.
    again: Option<i64>,
    /// What stands in the journal.
    says: &'static str,
}

fn fault(
    name: &'static str,
    answer: Answer,
    (requests, again): (usize, Option<i64>),
    says: &'static str,
) -> Fault {
    Fault {
        name,
        answer: Some(answer),
        requests,
        again,
        says,
    }
}

/// A good body with something in it put in place of something else.
fn spoiled(what: &str, by: &str) -> Vec<u8> {
    let now = SUMMER.parse().unwrap();
    let body = nights_of(12.0, now);
    assert!(body.contains(what), "{what}");
    body.replace(what, by).into_bytes()
}

fn empty(status: &'static str, headers: &[&str]) -> Answer {
    whole(status, headers, b"")
}

/// Faults of the way there and of the words: connections, statuses, redirects.
fn refusals() -> Vec<Fault> {
    let html = payload("web_page.html");
    let retried = (3, Some(10));
    let scheduled = (1, None);
    vec![
        fault("drip-fed", Answer::Drip, retried, "no whole answer"),
        fault("breaks off", Answer::BreaksOff, retried, "cannot reach"),
        fault(
            "304 to nothing",
            empty("304 Not Modified", &[]),
            scheduled,
            "status 304",
        ),
        fault(
            "400",
            whole("400 Bad Request", &[], &payload("error_400.json")),
            scheduled,
            "forecast_days",
        ),
        fault("403", empty("403 Forbidden", &[]), scheduled, "status 403"),
        fault("404", empty("404 Not Found", &[]), scheduled, "status 404"),
        fault(
            "429 for two hours",
            empty("429 Too Many Requests", &["Retry-After: 7200"]),
            (1, Some(120)),
            "status 429",
        ),
        fault(
            "429 without more",
            empty("429 Too Many Requests", &[]),
            (1, Some(10)),
            "status 429",
        ),
        fault(
            "500",
            empty("500 Internal Server Error", &[]),
            retried,
            "status 500",
        ),
        fault(
            "503 for a while",
            empty("503 Service Unavailable", &["Retry-After: 1800"]),
            (1, Some(30)),
            "status 503",
        ),
        fault(
            "502 with a page",
            whole("502 Bad Gateway", &[], &html),
            retried,
            "status 502",
        ),
    ]
}

/// Ways that lead nowhere, or to somebody else.
fn redirects() -> Vec<Fault> {
    let scheduled = (1, None);
    let away = "Location: http://192.0.2.1/v1/forecast?apikey=quince";
    vec![
        fault(
            "a circle",
            empty("302 Found", &["Location: /v1/forecast"]),
            (4, None),
            "too many redirects",
        ),
        fault(
            "another host",
            empty("302 Found", &[away]),
            scheduled,
            "another host",
        ),
    ]
}

/// Answers with a good status that are no good.
fn nonsense() -> Vec<Fault> {
    let retried = (3, Some(10));
    let scheduled = (1, None);
    let bomb = payload("nine_mebibytes_of_blanks.gz");
    vec![
        fault("a page", ok(&payload("web_page.html")), retried, "web page"),
        fault(
            "truncated",
            ok(&payload("forecast_truncated.json")),
            retried,
            "breaks off",
        ),
        fault("empty", ok(b""), retried, "breaks off"),
        fault(
            "bare nan",
            ok(&spoiled("12.2", "nan")),
            scheduled,
            "no data for this place",
        ),
        fault(
            "absurd",
            ok(&spoiled("12.2", "4312.2")),
            scheduled,
            "temperature_2m",
        ),
        fault(
            "no layer",
            ok(&spoiled("temperature_2m", "soil_moisture")),
            scheduled,
            "temperature_2m",
        ),
        fault(
            "another unit",
            ok(&spoiled("°C", "K")),
            scheduled,
            "temperature_2m",
        ),
        fault("not JSON", ok(b"[sunny]"), scheduled, "not JSON"),
        fault(
            "a bomb",
            whole("200 OK", &["Content-Encoding: gzip"], &bomb),
            scheduled,
            "larger than",
        ),
    ]
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn no_fault_of_a_service_gives_a_go_or_stops_another_garden_or_loses_what_was_known() {
    let all = [refusals(), redirects(), nonsense()];
    for fault in all.into_iter().flatten() {
        goes_wrong(&fault, None).await;
    }
    let closed = closed_port().await.replace(PATH, "");
    let bare = |name, says| Fault {
        name,
        answer: None,
        requests: 0,
        again: Some(10),
        says,
    };
    goes_wrong(&bare("refused", "refused"), Some(&closed)).await;
    // A name that nobody has (RFC 6761).
    let nowhere = "https://sky.invalid";
    goes_wrong(&bare("no such name", "sky.invalid"), Some(nowhere)).await;
    let (full, _guests) = full_house().await;
    goes_wrong(
        &bare("no connection in time", "no whole answer"),
        Some(&full),
    )
    .await;
}

/// A port that takes no more connections, with those that fill it.
async fn full_house() -> (String, impl Sized) {
    let socket = tokio::net::TcpSocket::new_v4().unwrap();
    socket.bind("127.0.0.1:0".parse().unwrap()).unwrap();
    let listener = socket.listen(1).unwrap();
    let at = listener.local_addr().unwrap();
    let mut guests = Vec::new();
    for _ in 0..8 {
        let guest = tokio::net::TcpStream::connect(at);
        let guest = tokio::time::timeout(Duration::from_millis(100), guest).await;
        guests.push(guest);
    }
    (format!("http://{at}"), (listener, guests))
}

/// Two gardens, one on a service with a fault and one on a good one: from the start, and after a good answer that has
/// grown old meanwhile; then the fault is mended.
async fn goes_wrong(fault: &Fault, address: Option<&str>) {
    let name = fault.name;
    let peer = StandIn::start(Vec::new()).await;
    let good = StandIn::start(Vec::new()).await;
    let url = address.unwrap_or(&peer.url);
    let gardens = [("quarry", service(url)), ("museum", service(&good.url))];
    let home = Home::new(&gardens, "30 5,14 * * *");
    let garden = &home.house.gardens()[0].garden.name;

    // At the first look of all.
    good.say(PATH, mild(home.now()));
    if let Some(answer) = &fault.answer {
        peer.say(PATH, answer.clone());
    }
    assert_eq!(home.look(0).await, State::Unknown, "{name}");
    assert_eq!(home.look(1).await, State::Go, "{name}: the other garden");
    assert_eq!(peer.asked().len(), fault.requests, "{name}");
    let again = home.house.silence.again_at(garden);
    let wait = again.map(|at| (at - home.now()).num_minutes());
    match (fault.again, wait) {
        (None, None) => {}
        (Some(least), Some(wait)) => assert!(
            (least..=least * 13 / 10).contains(&wait),
            "{name}: {wait} min"
        ),
        other => panic!("{name}: {other:?}"),
    }
    let silent = home.journal("quarry", "source-silent").await;
    assert_eq!(silent.len(), 1, "{name}");
    assert!(
        silent[0].detail.contains(fault.says),
        "{name}: {}",
        silent[0].detail
    );
    assert!(!silent[0].detail.contains("quince"), "{name}");

    // A service that is to be left alone is not asked by a look in between.
    if fault.again.is_some() {
        home.pass(TimeDelta::minutes(1));
        assert!(!home.look(0).await.allows(), "{name}");
        assert_eq!(peer.asked().len(), fault.requests, "{name}: left alone");
    }
    if address.is_some() {
        return;
    }

    // Mended; then it goes wrong again for two days.
    home.pass(TimeDelta::hours(30));
    peer.say(PATH, mild(home.now()));
    // A release needs two looks that agree.
    home.look(0).await;
    home.pass(TimeDelta::hours(13));
    peer.say(PATH, mild(home.now()));
    assert_eq!(home.look(0).await, State::Go, "{name}: mended");
    assert_eq!(
        home.journal("quarry", "source-back").await.len(),
        1,
        "{name}"
    );
    peer.say(PATH, fault.answer.clone().unwrap());
    home.pass(TimeDelta::hours(48));
    assert!(!home.look(0).await.allows(), "{name}: old data");
    assert!(home.keeps_a_run("quarry").await, "{name}: nothing is lost");
}

#[tokio::test]
async fn a_version_that_will_be_gone_soon_is_still_used() {
    let peer = StandIn::start(Vec::new()).await;
    let home = Home::new(&[("quarry", service(&peer.url))], "0 * * * *");
    let body = nights_of(12.0, home.now());
    peer.say(
        PATH,
        whole("203 Non-Authoritative Information", &[], body.as_bytes()),
    );
    assert_eq!(home.look(0).await, State::Go);
}

#[tokio::test]
async fn gaps_stay_gaps_and_give_no_go() {
    let peer = StandIn::start(Vec::new()).await;
    let home = Home::new(&[("quarry", service(&peer.url))], "0 * * * *");
    peer.say(PATH, ok(&spoiled("12.2", "null")));
    assert!(!home.look(0).await.allows());
}

#[tokio::test]
async fn a_frozen_run_grows_old_however_often_it_is_sent() {
    let peer = StandIn::start(Vec::new()).await;
    let home = Home::new(&[("quarry", service(&peer.url))], "0 * * * *");
    peer.say(PATH, mild(home.now()));
    let mut states = Vec::new();
    for _ in 0..12 {
        states.push(home.look(0).await);
        home.pass(TimeDelta::hours(12));
    }
    // Fresh for 36 hours; from then on whatever is sent is no news.
    assert_eq!(states[..4], [State::Go; 4]);
    assert_eq!(states[4..], [State::Unknown; 8]);
    assert_eq!(peer.asked().len(), 12);
    // A day after it went stale the keeper is told, once.
    let told = home.journal("quarry", "weather-").await;
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].what, "weather-lost");
}

#[tokio::test]
async fn nothing_new_is_no_younger_and_its_condition_is_sent_back_byte_for_byte() {
    let peer = StandIn::start(Vec::new()).await;
    let home = Home::new(&[("quarry", service(&peer.url))], "0 * * * *");
    let body = nights_of(12.0, home.now());
    // Later than any clock here, and as it must not be read.
    let modified = "Last-Modified: Wed, 17 Jun 2026 20:00:01 GMT";
    let headers = [modified, "ETag: \"run-7\"", "Cache-Control: max-age=1800"];
    peer.say(PATH, whole("200 OK", &headers, body.as_bytes()));
    assert_eq!(home.look(0).await, State::Go);
    peer.say(
        PATH,
        empty("304 Not Modified", &["Cache-Control: max-age=1800"]),
    );
    let mut states = Vec::new();
    for _ in 0..4 {
        home.pass(TimeDelta::hours(12));
        states.push(home.look(0).await);
    }
    assert_eq!(states, [State::Go, State::Go, State::Go, State::Unknown]);
    let asked = peer.asked();
    assert_eq!(asked.len(), 5);
    for head in &asked[1..] {
        assert!(
            head.contains("if-modified-since: Wed, 17 Jun 2026 20:00:01 GMT\r\n"),
            "{head}"
        );
        assert!(head.contains("if-none-match: \"run-7\"\r\n"), "{head}");
    }
}

#[tokio::test]
async fn a_day_without_weather_is_told_once_and_so_is_its_return() {
    let peer = StandIn::start(Vec::new()).await;
    let home = Home::new(&[("quarry", service(&peer.url))], "0 * * * *");
    peer.say(PATH, mild(home.now()));
    home.look(0).await;
    home.deliver().await;
    peer.say(PATH, empty("503 Service Unavailable", &[]));
    for _ in 0..40 {
        home.pass(TimeDelta::hours(2));
        home.look(0).await;
    }
    let mut waiting = home.mails().await;
    assert_eq!(waiting.len(), 1);
    let lost = waiting.pop().unwrap();
    let subject = lost.message.subject.as_str();
    assert!(subject.starts_with("No weather for quarry since "), "{subject}");
    home.deliver().await;
    assert!(lost.message.text.contains("status 503") || lost.message.text.contains("left alone"));
    peer.say(PATH, mild(home.now()));
    for _ in 0..4 {
        home.pass(TimeDelta::hours(12));
        peer.say(PATH, mild(home.now()));
        home.look(0).await;
    }
    let told: Vec<String> = home
        .journal("quarry", "weather-")
        .await
        .into_iter()
        .map(|line| line.what)
        .collect();
    assert_eq!(told, ["weather-lost", "weather-back"]);
    let kinds = |what: &'static str| home.journal("quarry", what);
    assert_eq!(kinds("source-silent").await.len(), 1);
    assert_eq!(kinds("source-back").await.len(), 1);
}
