//! Every kind of mail that the program writes, by the program's own way from weather, deeds and readings to the relay: no
//! strict reader finds a defect, both forms say the same in the same order, and to follow its links changes nothing.
//!
//! Each mail is left in the folder of the tests, where the pictures of them are taken from (`tests/pages`).

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use budward::daemon::{Clock, House};
use budward::web::{self, Door, Parts};
use chrono::TimeDelta;
use tokio::sync::{mpsc, watch};
use tokio_util::sync::CancellationToken;

use super::at;
use super::peer::{Read, read_letter};
use super::scene::{ADDRESS, BOX, Scene, steady, two_days_before};

/// A mail larger than this is cut off or kept back by some programs (the limit that the project sets itself).
const BYTES_MAX: usize = 150_000;

/// Where the mails are left.
fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters");
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// The words of a letter in their order, without the marks that only plain text has and without its links.
fn words_of(text: &str) -> Vec<&str> {
    let is_mark = |word: &&str| {
        !["-", "--", "Picture:"].contains(word)
            && !word.starts_with("==")
            && !word.starts_with("http")
    };
    let words = text.split_whitespace().filter(is_mark);
    words.map(|word| word.trim_end_matches(':')).collect()
}

/// The numbers of a text, days, temperatures and chances among them, in their order.
fn figures(text: &str) -> Vec<String> {
    let words = words_of(text).join(" ");
    let numbers = words.split(|sign: char| !(sign.is_ascii_digit() || ".-\u{2212}".contains(sign)));
    let numbers = numbers.map(|number| number.trim_matches('.').to_owned());
    numbers
        .filter(|number| number.contains(|sign: char| sign.is_ascii_digit()))
        .collect()
}

/// The addresses in a plain text.
fn addresses(text: &str) -> Vec<&str> {
    text.split_whitespace()
        .filter(|word| word.starts_with("http"))
        .collect()
}

/// Whether both forms of a letter say the same.
fn says_the_same(kind: &str, read: &Read) {
    let numbers = figures(&read.text);
    assert!(
        !numbers.is_empty() || kind == "test",
        "{kind}: {}",
        read.text
    );
    assert_eq!(numbers, figures(&read.visible), "{kind}");
    assert_eq!(words_of(&read.text), words_of(&read.visible), "{kind}");
    let links: Vec<&str> = read.links.iter().map(|(_, link)| link.as_str()).collect();
    assert_eq!(addresses(&read.text), links, "{kind}");
}

/// Follows every link of a letter as scanners do; none may hand an answer on.
async fn is_harmless(kind: &str, read: &Read, house: &House) {
    let (ask, mut asked) = mpsc::channel(1);
    let (_, newest) = watch::channel(house.snapshot().await.unwrap());
    // On the day of the letter: links do not hold for ever.
    let now = Clock::standing(at(&read.date)).teller();
    let site = web::site(Parts {
        snapshot: newest,
        almanac: house.almanac(),
        answers: Some((Arc::clone(&house.links), ask)),
        readings: None,
        door: Door::open("127.0.0.1:0".parse().unwrap()),
        now,
    });
    let listener = web::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
    let home = format!("http://{}", listener.local_addr().unwrap());
    let stop = CancellationToken::new();
    let server = tokio::spawn(web::serve(listener, site, stop.clone()));
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    let end = read.values.get("List-Unsubscribe");
    let end = end.map(|end| end.trim_matches(['<', '>']).to_owned());
    let links = read.links.iter().map(|(_, link)| link.clone()).chain(end);
    for link in links {
        let here = link.replace(ADDRESS, &home);
        assert_ne!(here, link, "{kind}");
        let page = client.get(&here).send().await.unwrap();
        assert!(page.status().is_success(), "{kind}: {link}");
        assert!(page.text().await.unwrap().contains("<form"), "{kind}");
        let head = client.head(&here).send().await.unwrap();
        assert!(head.status().is_success(), "{kind}: {link}");
    }
    assert!(asked.try_recv().is_err(), "{kind}: something was noted");
    stop.cancel();
    server.await.unwrap();
}

/// Checks the mails of a scene and leaves them, each under its kind; `kinds` are the kinds with what their subjects say.
async fn are_whole(mut scene: Scene, house: House, kinds: &[(&str, &str)]) {
    let mails = scene.mails();
    let read: Vec<Read> = mails
        .iter()
        .map(|mail| read_letter(mail, ADDRESS).unwrap())
        .collect();
    let subjects: Vec<&str> = read.iter().map(|read| read.subject.as_str()).collect();
    assert_eq!(subjects.len(), kinds.len(), "{subjects:#?}");
    for ((mail, read), (kind, subject)) in mails.iter().zip(&read).zip(kinds) {
        assert!(read.subject.contains(subject), "{kind}: {subjects:#?}");
        assert!(mail.len() < BYTES_MAX, "{kind}: {} bytes", mail.len());
        assert_eq!(read.values["Auto-Submitted"], "auto-generated", "{kind}");
        assert_eq!(read.to, ["keeper@example.org"], "{kind}");
        assert_eq!(
            read.values.get("References"),
            read.values.get("In-Reply-To")
        );
        let end = read.values.get("List-Unsubscribe").map(String::as_str);
        assert!(
            end.unwrap_or_default().starts_with(&format!("<{ADDRESS}/")),
            "{kind}: {end:?}"
        );
        says_the_same(kind, read);
        is_harmless(kind, read, &house).await;
        let name = format!("{kind}.eml");
        let mut file = fs::File::create(folder().join(name)).unwrap();
        file.write_all(mail).unwrap();
    }
}

#[tokio::test]
async fn news_of_cuts_and_of_the_weather() {
    let lines = BOX.replace("cut = \"shear\"", "cut = \"shear\", wished = 2025-12-30");
    let Some(scene) = Scene::new(&lines) else {
        return;
    };
    for (now, night, day) in [
        ("2025-12-29T20:00:00Z", -8.0, 1.0),
        ("2026-06-15T20:00:00Z", 16.0, 27.0),
        ("2026-09-10T20:00:00Z", 14.0, 27.0),
    ] {
        scene.weather("forecast.json", &two_days_before(now), steady(night, day));
        scene.look(now).await;
    }
    fs::remove_file(scene.path("forecast.json")).unwrap();
    scene.look("2026-09-11T20:00:00Z").await;
    scene.look("2026-09-12T20:30:00Z").await;
    let now = "2026-09-13T20:00:00Z";
    scene.weather("forecast.json", &two_days_before(now), steady(14.0, 27.0));
    let house = scene.look(now).await;
    let kinds = [
        ("put-off", "put the shearing off"),
        ("now-go", "shear from today"),
        ("closing", "last days for the shearing"),
        ("weather-lost", "no usable forecast since"),
        ("weather-back", "forecasts come again"),
    ];
    are_whole(scene, house, &kinds).await;
}

#[tokio::test]
async fn after_a_cut() {
    let Some(scene) = Scene::new(BOX) else { return };
    scene.sheared("2026-04-12");
    // Mild, but for the night to the 21st.
    scene.weather("forecast.json", "2026-04-17", |hour| {
        if hour / 24 == 4 && (6..12).contains(&(hour % 24)) {
            -5.0
        } else {
            steady(7.0, 14.0)(hour)
        }
    });
    scene.look("2026-04-20T18:30:00Z").await;
    let house = scene.look("2026-04-22T12:30:00Z").await;
    let kinds = [
        (
            "cover-tonight",
            "Cover tonight (night to Tue 21 April): box <edging>",
        ),
        ("frost-seen", "Frost after the cut: box <edging>"),
    ];
    are_whole(scene, house, &kinds).await;
}

#[tokio::test]
async fn a_night_that_is_already_too_cold() {
    let station = "[garden.thermometer]\nfile = \"station.csv\"\ntime = [\"when\"]\n\
                   time_format = \"%Y-%m-%d %H:%M\"\ntemperature = \"celsius\"\nunit = \"C\"\n";
    let Some(scene) = Scene::new(&format!("{BOX}{station}")) else {
        return;
    };
    scene.sheared("2026-04-12");
    scene.weather("forecast.json", "2026-04-19", steady(4.0, 14.0));
    let start = at("2026-04-18T00:00:00Z");
    let reading = |minutes: i64| {
        let time = start + TimeDelta::minutes(minutes);
        let is_cold = time >= at("2026-04-21T08:00:00Z");
        let flicker = (minutes / 10 % 7) as f64 * 0.05;
        let celsius = steady(4.0, 14.0)(minutes / 60) + flicker - if is_cold { 7.0 } else { 0.0 };
        // The station goes by a clock of New York.
        let local = time - TimeDelta::hours(4);
        format!("{},{celsius:.2}\n", local.format("%Y-%m-%d %H:%M"))
    };
    let readings: String = (0..81 * 60).step_by(10).map(reading).collect();
    fs::write(
        scene.path("station.csv"),
        format!("when,celsius\n{readings}"),
    )
    .unwrap();
    let house = scene.look("2026-04-21T09:00:00Z").await;
    are_whole(
        scene,
        house,
        &[("below-now", "Already below: box <edging>")],
    )
    .await;
}

#[tokio::test]
async fn one_source_of_two_is_silent() {
    let source = |file: &str| {
        format!("[[garden.forecast]]\nsource = \"files\"\nforecast = \"{file}\"\ndata_at = NOW\n")
    };
    // A go that is known, so that there is nothing else to say.
    let lines = format!("{BOX}{}{}", source("one.json"), source("two.json"));
    let Some(scene) = Scene::of(&lines) else {
        return;
    };
    let mild =
        |file: &str, now: &str| scene.weather(file, &two_days_before(now), steady(16.0, 27.0));
    let now = "2026-06-15T14:00:00Z";
    mild("one.json", now);
    mild("two.json", now);
    scene.look(now).await;
    fs::remove_file(scene.path("two.json")).unwrap();
    for now in ["2026-06-15T20:00:00Z", "2026-06-16T21:00:00Z"] {
        mild("one.json", now);
        scene.look(now).await;
    }
    let now = "2026-06-17T14:00:00Z";
    mild("one.json", now);
    mild("two.json", now);
    let house = scene.look(now).await;
    let kinds = [
        ("now-go-of-two", "shear from today"),
        ("source-silent", "no word from"),
        ("source-back", "is back"),
    ];
    are_whole(scene, house, &kinds).await;
}

/// A garden of some size: each of these kinds with all cuts that are usual for it.
const LARGE: &str = "plant = [
    { name = \"box edging\", kind = \"boxwood\" },
    { name = \"old lilac\", kind = \"common-lilac\" },
    { name = \"catmint border\", kind = \"catmint\" },
    { name = \"hydrangea walk\", kind = \"smooth-hydrangea\" },
    { name = \"roses at the gate\", kind = \"bush-rose\" },
    { name = \"cherry laurel hedge\", kind = \"cherry-laurel\" },
    { name = \"oak on the lawn\", kind = \"oak\" },
    { name = \"bee balm by the pond\", kind = \"bee-balm\" },
]
";

#[tokio::test]
async fn a_letter_of_many_matters() {
    let Some(scene) = Scene::new(LARGE) else {
        return;
    };
    let now = "2026-06-15T14:00:00Z";
    scene.weather("forecast.json", &two_days_before(now), steady(16.0, 27.0));
    let house = scene.look(now).await;
    are_whole(scene, house, &[("many", " more")]).await;
}

#[tokio::test]
async fn a_letter_on_its_day_with_nothing_new() {
    let letters = "[garden.letters]\nround_up = true\n";
    let Some(scene) = Scene::new(&format!("{BOX}{letters}")) else {
        return;
    };
    scene.sheared("2026-06-12");
    let now = "2026-06-18T14:00:00Z";
    scene.weather("forecast.json", &two_days_before(now), steady(16.0, 27.0));
    let house = scene.look(now).await;
    are_whole(scene, house, &[("round-up", "nothing new (Thu 18 June)")]).await;
}

#[tokio::test]
async fn the_plan_of_a_year_comes_once_a_winter() {
    let Some(scene) = Scene::new(&format!("{LARGE}[garden.letters]\nyear_plan = true\n")) else {
        return;
    };
    // A Wednesday, a Thursday, and two days after it; nothing else is new in January.
    for now in [
        "2027-01-06T20:00:00Z",
        "2027-01-07T20:00:00Z",
        "2027-01-09T20:00:00Z",
    ] {
        scene.weather("forecast.json", &two_days_before(now), steady(-8.0, 1.0));
        scene.look(now).await;
    }
    let now = "2027-01-14T20:00:00Z";
    scene.weather("forecast.json", &two_days_before(now), steady(-8.0, 1.0));
    let house = scene.look(now).await;
    are_whole(
        scene,
        house,
        &[("winter", ""), ("plan", "the garden year 2027")],
    )
    .await;
}
