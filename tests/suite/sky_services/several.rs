//! Several sources of one garden: the most careful rules, one that is out of step is left out, one that is down is
//! done without, and gardens in one grid cell share what a service says.

use budward::rules::{Facts, SourcesFacts};
use budward::store::Store;
use budward::verdict::State;
use chrono::TimeDelta;

use super::home::{Home, PATH, file, mild, nights_of, nights_since, service};
use super::stand_in::{StandIn, ok, whole};

impl Home {
    fn write(&self, name: &str, degrees: f64) {
        // A file was made at its first hour.
        let body = nights_since(degrees, self.now(), 0);
        std::fs::write(self.folder.path().join(name), body).unwrap();
    }

    /// What is said of sources that differ.
    async fn differ(&self) -> Option<SourcesFacts> {
        let work = |store: &mut Store| store.verdicts("quarry");
        let verdicts = self.house.keeper.with(work).await.unwrap();
        let mut findings = verdicts[0].findings.iter();
        findings.find_map(|finding| {
            if let Facts::Sources(facts) = &finding.facts {
                Some(facts.clone())
            } else {
                None
            }
        })
    }
}

/// A garden with a service, then the forecast of a file.
async fn two() -> (StandIn, Home) {
    let peer = StandIn::start(Vec::new()).await;
    let sources = service(&peer.url) + &file("second.json");
    let home = Home::new(&[("quarry", sources)], "30 5,14 * * *");
    (peer, home)
}

#[tokio::test]
async fn where_all_agree_nothing_is_said_of_it() {
    let (peer, home) = two().await;
    peer.say(PATH, mild(home.now()));
    home.write("second.json", 13.0);
    assert_eq!(home.look(0).await, State::Go);
    assert_eq!(home.differ().await, None);
}

#[tokio::test]
async fn the_most_careful_source_rules_and_the_others_are_named() {
    let (peer, home) = two().await;
    peer.say(PATH, ok(nights_of(3.0, home.now()).as_bytes()));
    home.write("second.json", -4.0);
    assert!(!home.look(0).await.allows());
    let facts = home.differ().await.unwrap();
    assert_eq!(facts.rules.as_deref(), Some("files: second.json"));
    assert_eq!(facts.go, ["open-meteo"]);
    assert_eq!(facts.not_go, ["files: second.json"]);
}

#[tokio::test]
async fn a_source_out_of_step_is_left_out_and_named() {
    let (peer, home) = two().await;
    peer.say(PATH, ok(nights_of(24.0, home.now()).as_bytes()));
    home.write("second.json", 12.0);
    assert_eq!(home.look(0).await, State::Go);
    let facts = home.differ().await.unwrap();
    assert_eq!(facts.odd[0].source, "open-meteo");
    assert!((facts.odd[0].lowest.degrees() - facts.odd[0].others.degrees()) > 8.0);
}

#[tokio::test]
async fn one_that_is_down_is_done_without_and_both_turns_are_told_once() {
    let (peer, home) = two().await;
    for day in 0..8 {
        let answer = if (2..6).contains(&day) {
            whole("503 Service Unavailable", &[], b"")
        } else {
            mild(home.now())
        };
        peer.say(PATH, answer);
        home.write("second.json", 12.0);
        assert_eq!(home.look(0).await, State::Go, "day {day}");
        home.pass(TimeDelta::days(1));
    }
    let turns: Vec<String> = home
        .journal("quarry", "source-")
        .await
        .into_iter()
        .map(|line| line.what)
        .collect();
    assert_eq!(turns, ["source-silent", "source-back"]);
    assert!(home.journal("quarry", "weather-").await.is_empty());
}

#[tokio::test]
async fn gardens_in_one_grid_cell_share_one_answer() {
    let peer = StandIn::start(Vec::new()).await;
    let gardens = ["quarry", "museum", "abbey"].map(|name| (name, service(&peer.url)));
    let home = Home::new(&gardens, "30 5,14 * * *");
    peer.say(PATH, mild(home.now()));
    for garden in 0..3 {
        assert_eq!(home.look(garden).await, State::Go);
    }
    assert_eq!(peer.asked().len(), 1);
}

#[tokio::test]
async fn gardens_of_a_service_that_failed_do_not_knock_one_after_another() {
    let peer = StandIn::start(Vec::new()).await;
    let gardens = ["quarry", "museum", "abbey"].map(|name| (name, service(&peer.url)));
    let home = Home::new(&gardens, "30 5,14 * * *");
    peer.say(PATH, whole("403 Forbidden", &[], b""));
    for garden in 0..3 {
        assert_eq!(home.look(garden).await, State::Unknown);
    }
    assert_eq!(peer.asked().len(), 1);
}
