//! Thirty days under a clock that is set by hand: how often services are asked, and never before they allow.

use budward::config::GardenSettings;
use budward::daemon::{LastLooks, Reach};
use budward::store::{Round, Store};
use chrono::{DateTime, TimeDelta, Utc};

use super::home::{Home, PATH, mild, service};
use super::paused::paused;
use super::services::Product;
use super::stand_in::{Answer, StandIn, whole};

/// What a service says on a day of the month and at a moment.
type Service = fn(i64, DateTime<Utc>) -> Answer;

impl Home {
    /// What a cycle does without judging what came.
    async fn only_ask(&self, garden: &GardenSettings) {
        let now = self.now();
        let asked = self.house.gather(garden, now, Reach::Everywhere).await;
        asked.unwrap();
        let round = Round::at(now);
        let name = garden.garden.name.clone();
        let close = move |store: &mut Store| store.close_round(&name, &round);
        self.house.keeper.with(close).await.unwrap();
    }
}

/// So many days of the loop; gives the moments of all requests.
async fn days(days: i64, gardens: usize, cycle: &str, service_says: Service) -> Vec<DateTime<Utc>> {
    let peer = StandIn::start(Vec::new()).await;
    let names = ["quarry", "museum", "abbey"];
    let gardens: Vec<_> = names[..gardens]
        .iter()
        .map(|name| (*name, service(&peer.url)))
        .collect();
    let home = Home::new(&gardens, cycle);
    let start = home.now();
    let mut requests = Vec::new();
    while home.now() - start < TimeDelta::days(days) {
        for garden in home.house.gardens() {
            if !home.house.is_due(garden).await.unwrap() {
                continue;
            }
            let before = peer.asked().len();
            let day = (home.now() - start).num_days();
            peer.say(PATH, service_says(day, home.now()));
            home.only_ask(garden).await;
            let asked = peer.asked().len() - before;
            requests.extend(std::iter::repeat_n(home.now(), asked));
        }
        home.pass(TimeDelta::minutes(5));
    }
    requests
}

/// The shortest time between two requests, in minutes.
fn closest(requests: &[DateTime<Utc>]) -> i64 {
    let gaps = requests
        .windows(2)
        .map(|two| (two[1] - two[0]).num_minutes());
    gaps.min().unwrap()
}

fn good_for_two_hours(_: i64, now: DateTime<Utc>) -> Answer {
    with_headers(now, &["Cache-Control: max-age=7200"])
}

fn good_for_half_an_hour(_: i64, now: DateTime<Utc>) -> Answer {
    let date = format!("Date: {}", now.format("%a, %d %b %Y %H:%M:%S GMT"));
    let until = now + TimeDelta::minutes(31);
    let until = format!("Expires: {}", until.format("%a, %d %b %Y %H:%M:%S GMT"));
    with_headers(now, &[&date, &until])
}

fn silent_on_limits(_: i64, now: DateTime<Utc>) -> Answer {
    mild(now)
}

fn down_for_three_days(day: i64, now: DateTime<Utc>) -> Answer {
    if (10..13).contains(&day) {
        whole("503 Service Unavailable", &[], b"")
    } else {
        mild(now)
    }
}

fn with_headers(now: DateTime<Utc>, headers: &[&str]) -> Answer {
    let Answer::Whole(status, _, body) = mild(now) else {
        unreachable!()
    };
    whole(status, headers, &body)
}

#[tokio::test]
async fn at_two_looks_a_day_a_service_is_asked_twice_a_day() {
    for says in [good_for_half_an_hour as Service, silent_on_limits] {
        let requests = days(30, 1, "30 5,14 * * *", says).await;
        // One at the start, and two on each day.
        assert_eq!(requests.len(), 61);
        assert!(closest(&requests) >= 8 * 60);
    }
}

#[tokio::test]
async fn three_gardens_in_one_cell_ask_as_often_as_one() {
    let requests = days(30, 3, "30 5,14 * * *", silent_on_limits).await;
    assert!(requests.len() <= 62, "{}", requests.len());
}

#[tokio::test]
async fn gardens_in_one_cell_learn_from_the_same_runs() {
    let peer = StandIn::start(Vec::new()).await;
    let gardens = ["quarry", "abbey"].map(|name| (name, service(&peer.url)));
    let home = Home::new(&gardens, "30 5 * * *");
    let start = home.now();
    for day in 0..3 {
        for garden in home.house.gardens() {
            peer.say(PATH, good_for_two_hours(day, home.now()));
            home.only_ask(garden).await;
        }
        home.pass(TimeDelta::days(1));
    }
    assert_eq!((home.now() - start).num_days(), 3);
    let runs = async |place: usize| {
        let garden = &home.house.gardens()[place];
        let weather = home.house.gather(garden, home.now(), Reach::Here).await;
        weather.unwrap().runs
    };
    let (one, other) = (runs(0).await, runs(1).await);
    assert_eq!(one.len(), 3, "one a day");
    let are_same = |(one, other)| std::sync::Arc::ptr_eq(one, other);
    assert!(one.iter().zip(&other).all(are_same));
    assert_eq!(other.len(), 3);
}

#[tokio::test]
async fn however_often_the_weather_is_looked_at_no_request_comes_before_its_time() {
    let requests = days(7, 1, "*/20 * * * *", good_for_two_hours).await;
    assert!(closest(&requests) >= 120, "{}", closest(&requests));
    assert!((70..=84).contains(&requests.len()), "{}", requests.len());
    let requests = days(7, 1, "*/10 * * * *", good_for_half_an_hour).await;
    assert!(closest(&requests) >= 31, "{}", closest(&requests));
}

#[tokio::test]
async fn a_service_that_is_down_for_days_is_asked_once_an_hour_or_less() {
    let requests = days(30, 1, "30 5,14 * * *", down_for_three_days).await;
    // Two a day when it is well; three tries in each look while it is down, the looks an hour or more apart but for
    // the first ones.
    let looks: std::collections::BTreeSet<_> = requests.iter().collect();
    let down = looks.len() - 54;
    assert!((40..=76).contains(&down), "{down}");
    assert!(requests.len() <= 54 + 3 * 76, "{}", requests.len());
}

/// How the services speak of their answers, as far as they were seen to: MET Norway and the NWS say until when they are
/// good, Open-Meteo does not.
fn headers(product: Product, now: DateTime<Utc>) -> Vec<String> {
    let stamp = |at: DateTime<Utc>| at.format("%a, %d %b %Y %H:%M:%S GMT").to_string();
    let good_for = |seconds: i64| format!("Cache-Control: public, max-age={seconds}");
    let modified = format!("Last-Modified: {}", stamp(now));
    match product {
        Product::MetNorway => {
            let until = now + TimeDelta::minutes(31);
            vec![
                format!("Date: {}", stamp(now)),
                format!("Expires: {}", stamp(until)),
                modified,
            ]
        }
        Product::Grid => vec![good_for(749), modified],
        Product::Point => vec![good_for(21_600)],
        Product::Alerts => vec![good_for(30)],
        Product::Forecast | Product::Ensemble | Product::Freshness | Product::Archive => Vec::new(),
    }
}

/// Three gardens, one on each service, the first with everything that Open-Meteo has.
fn three_gardens(url: &str) -> [(&'static str, String); 3] {
    let open_meteo = format!(
        "{}ensemble_model = \"icon_seamless\"\nensemble_url = \"{url}{}\"\nfreshness_url = \"{url}{}\"\n\
         [garden.history]\nsource = \"open-meteo\"\nyears = 10\nurl = \"{url}{}\"\n",
        service(url),
        Product::Ensemble.path(),
        Product::Freshness.path(),
        Product::Archive.path(),
    );
    let met_norway = Product::MetNorway.table(url, url);
    let nws = Product::Grid.table(url, url);
    [
        ("quarry", open_meteo),
        ("museum", met_norway),
        ("abbey", nws),
    ]
}

#[test]
fn one_garden_on_each_service_asks_so_often_in_thirty_days() {
    const DAYS: i64 = 30;
    let mut asked: Vec<(Product, Vec<DateTime<Utc>>)> =
        Product::ALL.map(|product| (product, Vec::new())).to_vec();
    paused(async {
        let peer = StandIn::start(Vec::new()).await;
        let home = Home::patient(&three_gardens(&peer.url), "30 5,14 * * *");
        let start = home.now();
        let mut looks = LastLooks::new();
        while home.now() - start < TimeDelta::days(DAYS) {
            let now = home.now();
            for product in Product::ALL {
                let headers = headers(product, now);
                let headers: Vec<&str> = headers.iter().map(String::as_str).collect();
                peer.say(
                    product.path(),
                    whole("200 OK", &headers, &product.good(now)),
                );
            }
            for garden in home.house.gardens() {
                let is_warned = home.house.watch_warnings(garden, &mut looks).await.unwrap();
                if is_warned || home.house.is_due(garden).await.unwrap() {
                    home.only_ask(garden).await;
                }
            }
            for (product, times) in &mut asked {
                let new = peer.times(product.path()).len() - times.len();
                times.extend(std::iter::repeat_n(now, new));
            }
            home.pass(TimeDelta::minutes(5));
        }
    });
    eprintln!("requests of one garden a day, over {DAYS} days");
    for (product, times) in &asked {
        let a_day = times.len() as f64 / DAYS as f64;
        let closest = closest(times);
        eprintln!(
            "{product:?}: {a_day:.2} ({} in all), {closest} min apart or more",
            times.len()
        );
        // Two looks a day and one at the start; warnings every half hour.
        let (most, least_apart) = match product {
            Product::Forecast
            | Product::Ensemble
            | Product::Freshness
            | Product::MetNorway
            | Product::Grid => (61, 8 * 60),
            Product::Point => (5, 7 * 24 * 60),
            Product::Alerts => (48 * 30, 30),
            // The first two in the first look; then one a day.
            Product::Archive => (2 + 30, 0),
        };
        assert!(times.len() <= most, "{product:?}: {}", times.len());
        assert!(
            times.len() >= DAYS as usize || *product == Product::Point,
            "{product:?}"
        );
        assert!(closest >= least_apart, "{product:?}: {closest} min");
    }
}
