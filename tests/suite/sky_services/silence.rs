//! Old data, gaps and silence over days: none gives a go, and the keeper is told once.

use budward::verdict::State;
use chrono::TimeDelta;

use super::home::{Home, PATH, SUMMER, mild, nights_of, service};
use super::paused::Log;
use super::services::Product;
use super::stand_in::{Answer, StandIn, ok, whole};

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

/// A garden on a product, all of whose products are well.
async fn garden_on(product: Product) -> (StandIn, Home) {
    let peer = StandIn::start(Vec::new()).await;
    let table = product.table(&peer.url, &peer.url);
    let home = Home::new(&[("quarry", table)], "0 * * * *");
    peer.say(PATH, mild(home.now()));
    for product in product.together() {
        peer.say(product.path(), ok(&product.good(home.now())));
    }
    (peer, home)
}

#[tokio::test]
async fn a_version_that_will_be_gone_soon_is_still_used_and_the_log_warns() {
    let (log, _guard) = Log::of_this_thread();
    for product in Product::ALL {
        let (peer, home) = garden_on(product).await;
        let status = "203 Non-Authoritative Information";
        let body = product.good(home.now());
        peer.say(product.path(), whole(status, &[], &body));
        assert_eq!(home.look(0).await, State::Go, "{product:?}");
        let log = log.take();
        assert!(log.contains("status=203"), "{product:?}: {log}");
    }
}

#[tokio::test]
async fn a_service_that_tells_the_age_of_its_data_is_taken_at_its_word() {
    for product in [Product::MetNorway, Product::Grid, Product::Freshness] {
        let (peer, home) = garden_on(product).await;
        let frozen = product.good(home.now());
        let mut states = Vec::new();
        for _ in 0..6 {
            for other in product.together() {
                peer.say(other.path(), ok(&other.good(home.now())));
            }
            peer.say(product.path(), ok(&frozen));
            states.push(home.look(0).await);
            home.pass(TimeDelta::hours(12));
        }
        // Fresh for 36 hours, and for 18 where the service says how old its data are.
        let fresh = if product == Product::Freshness { 4 } else { 2 };
        let (young, old) = states.split_at(fresh);
        assert!(
            young.iter().all(|state| *state == State::Go),
            "{product:?}: {states:?}"
        );
        assert!(
            !old.iter().any(|state| state.allows()),
            "{product:?}: {states:?}"
        );
    }
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
    assert_eq!(
        lost.message.subject,
        "quarry: no usable forecast since Monday, so no go is given"
    );
    assert!(lost.message.text.contains("status 503") || lost.message.text.contains("left alone"));
    home.deliver().await;
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
