//! Several sources of one garden: the most careful rules, one that is out of step is left out, one that is down is
//! done without, and gardens in one grid cell share what a service says.

use budward::daemon::LastLooks;
use budward::rules::{Facts, SourcesFacts};
use budward::store::Store;
use budward::verdict::State;
use chrono::TimeDelta;

use super::home::{Home, PATH, file, mild, nights_of, nights_since, service};
use super::services::{Product, freeze_warning};
use super::stand_in::{StandIn, ok, whole};

impl Home {
    fn write(&self, name: &str, degrees: f64) {
        // A file was made at its first hour.
        let body = nights_since(degrees, self.now(), 0);
        std::fs::write(self.folder.path().join(name), body).unwrap();
    }

    /// Whether an official warning holds the cut.
    async fn is_warned(&self) -> bool {
        let work = |store: &mut Store| store.verdicts("quarry");
        let verdicts = self.house.keeper.with(work).await.unwrap();
        let mut findings = verdicts[0].findings.iter();
        findings.any(|finding| matches!(finding.facts, Facts::OfficialWarning(_)))
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
    // The journal says it once, and once when it is over.
    peer.say(PATH, ok(nights_of(25.0, home.now()).as_bytes()));
    home.pass(TimeDelta::hours(9));
    home.look(0).await;
    home.pass(TimeDelta::hours(15));
    peer.say(PATH, mild(home.now()));
    home.write("second.json", 12.0);
    home.look(0).await;
    let lines = home.journal("quarry", "source-").await;
    let what: Vec<&str> = lines.iter().map(|line| line.what.as_str()).collect();
    assert_eq!(what, ["source-odd", "source-in-step"]);
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
    // The keeper hears of it after a day, and of the end.
    let told: Vec<String> = home
        .journal("quarry", "told-source-")
        .await
        .into_iter()
        .map(|line| line.what)
        .collect();
    assert_eq!(told, ["told-source-silent", "told-source-back"]);
    // What waited is given up for what is newer on the same source.
    let subjects: Vec<String> = home
        .mails()
        .await
        .into_iter()
        .map(|mail| mail.message.subject)
        .filter(|subject| subject.contains("Open-Meteo"))
        .collect();
    assert_eq!(subjects, ["quarry: Open-Meteo is back"]);
}

#[tokio::test]
async fn one_that_is_down_for_a_night_is_told_to_nobody() {
    let (peer, home) = two().await;
    for look in 0..5 {
        let answer = if look == 2 {
            whole("503 Service Unavailable", &[], b"")
        } else {
            mild(home.now())
        };
        peer.say(PATH, answer);
        home.write("second.json", 12.0);
        home.look(0).await;
        home.pass(TimeDelta::hours(12));
    }
    assert_eq!(home.journal("quarry", "source-").await.len(), 2);
    assert!(home.journal("quarry", "told-source-").await.is_empty());
}

#[tokio::test]
async fn a_warning_of_the_nws_holds_whichever_source_rules_and_for_as_long_as_its_cold() {
    let peer = StandIn::start(Vec::new()).await;
    let sources = service(&peer.url) + &Product::Grid.table(&peer.url, &peer.url);
    let home = Home::new(&[("quarry", sources)], "30 5,14 * * *");
    let well = |degrees| {
        for product in Product::Grid.together() {
            peer.say(product.path(), ok(&product.good(home.now())));
        }
        peer.say(PATH, ok(nights_of(degrees, home.now()).as_bytes()));
    };
    // Open-Meteo is the colder of the two, and both would give go.
    well(10.0);
    assert_eq!(home.look(0).await, State::Go);
    home.pass(TimeDelta::hours(9));
    well(10.0);
    peer.say(Product::Alerts.path(), ok(&freeze_warning(home.now())));
    assert_eq!(home.look(0).await, State::Wait);
    assert!(home.is_warned().await);
    // The grid of the NWS fails, and is long out of date: the warning stands.
    home.pass(TimeDelta::hours(50));
    well(10.0);
    let down = whole("503 Service Unavailable", &[], b"");
    peer.say(Product::Grid.path(), down.clone());
    peer.say(Product::Alerts.path(), down);
    assert_eq!(home.look(0).await, State::Wait);
    assert!(home.is_warned().await);
    home.pass(TimeDelta::hours(15));
    well(10.0);
    home.look(0).await;
    assert!(!home.is_warned().await);
}

#[tokio::test]
async fn a_warning_that_is_given_between_the_looks_is_heard_within_half_an_hour() {
    let peer = StandIn::start(Vec::new()).await;
    let table = Product::Grid.table(&peer.url, &peer.url);
    let home = Home::new(&[("quarry", table)], "30 5,14 * * *");
    for product in Product::Grid.together() {
        peer.say(product.path(), ok(&product.good(home.now())));
    }
    let garden = &home.house.gardens()[0];
    let mut looks = LastLooks::new();
    assert_eq!(home.look(0).await, State::Go);
    assert!(!home.house.watch_warnings(garden, &mut looks).await.unwrap());
    peer.say(Product::Alerts.path(), ok(&freeze_warning(home.now())));
    let mut heard = Vec::new();
    for minute in 0..90 {
        if home.house.watch_warnings(garden, &mut looks).await.unwrap() {
            heard.push(minute);
        }
        home.pass(TimeDelta::minutes(1));
    }
    assert_eq!(heard, [30]);
    // What it leads to is a look without another question for the forecast.
    let asked = peer.times(Product::Grid.path()).len();
    assert_eq!(home.look(0).await, State::Wait);
    assert_eq!(peer.times(Product::Grid.path()).len(), asked);
}

#[tokio::test]
async fn the_page_shows_of_each_source_when_it_was_heard_how_old_its_data_are_and_whom_to_thank() {
    let (peer, home) = two().await;
    peer.say(PATH, mild(home.now()));
    home.write("second.json", 12.0);
    home.look(0).await;
    home.pass(TimeDelta::hours(14));
    peer.say(PATH, whole("503 Service Unavailable", &[], b""));
    home.look(0).await;
    let snapshot = home.house.snapshot().await.unwrap();
    let words: Vec<&str> = snapshot.gardens[0]
        .sources
        .iter()
        .map(|source| source.words.as_str())
        .collect();
    assert_eq!(
        words,
        [
            "Open-Meteo: fetched 14 hours before, its data 14 hours old; fresh for 36 hours; silent \
             since Tue 16 June, 06:00. Weather data by Open-Meteo.com (CC BY 4.0)",
            "The file second.json: fetched less than an hour before, its data 34 hours old; fresh for \
             36 hours. Weather data by Open-Meteo.com (CC BY 4.0)",
        ]
    );
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
