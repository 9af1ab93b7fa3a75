//! `done`, `seen` and `plan` as a keeper types them.

use std::path::Path;
use std::process::{Command, Output};

use budward::almanac::{self, Event};
use budward::climate::{Climate, DailyRecord, read_record};
use budward::config::Settings;
use budward::forecast::{Condition, Conditions, Forecast, Hours};
use budward::garden::Deed;
use budward::garden::Zone;
use budward::locale::Locale;
use budward::message::{Detail, plan_page};
use budward::plan::{Check, Frost, Known, STORM_GUST, Storm, storms, year_plan};
use budward::rules::Stage;
use budward::store::Store;
use budward::units::{MetresPerSecond, UnitSystem};
use chrono::{DateTime, Datelike, Days, NaiveDate, Utc};
use serde_json::Value;
use tempfile::TempDir;

use crate::support::project;

const GARDEN: &str = r#"
[mail]
from = "garden@example.org"
folder = "mails"

[[garden]]
name = "quarry"
title = "Quarry garden"
latitude = 40.63
longitude = -74.43
time_zone = "America/New_York"
forecast = { source = "files", forecast = "forecast.json" }
history = { source = "none" }
plant = [
    { name = "box edging", kind = "boxwood" },
    { name = "Old ash", kind = "crape-myrtle", marks = ["standing-dead-trunk"], cut = [{ cut = "thinning-cut" }] },
    { name = "Old lilac", kind = "common-lilac", skip = ["deadhead", "thinning-cut"] },
]
"#;

/// A folder with a garden file, where no forecast has come yet.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("garden.toml"), GARDEN).unwrap();
    folder
}

fn budward(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_budward"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("RUST_LOG")
        .output()
        .unwrap()
}

/// What a command printed that went well.
fn printed(folder: &Path, arguments: &[&str]) -> String {
    let run = budward(folder, arguments);
    let said = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{arguments:?}: {said}");
    String::from_utf8(run.stdout).unwrap()
}

/// What a command complained of that was used the wrong way.
fn complained(folder: &Path, arguments: &[&str]) -> String {
    let run = budward(folder, arguments);
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert_eq!(run.status.code(), Some(64), "{arguments:?}: {said}");
    said
}

fn store(folder: &Path) -> Store {
    Store::open(&folder.join("budward.sqlite3")).unwrap()
}

#[test]
fn a_cut_is_noted_while_another_has_the_store_open_and_taken_back() {
    let folder = folder();
    let folder = folder.path();
    // As the daemon has it.
    let open = store(folder);
    let noted = printed(
        folder,
        &[
            "done",
            "box-edging-shear",
            "--on",
            "yesterday",
            "--share",
            "20%",
            "--note",
            "lightly",
        ],
    );
    assert!(
        noted.contains("Noted: box edging, shearing") && noted.contains("20 % taken"),
        "{noted}"
    );
    assert!(noted.contains("Watched till it is firm"), "{noted}");
    let deeds = open.deeds("quarry").unwrap();
    assert_eq!(
        (deeds[0].share, deeds[0].note.as_deref()),
        (Some(20), Some("lightly"))
    );
    // The planting's name is enough where it has a single cut, and the garden may stand before it.
    for name in [
        "Old lilac",
        "old-lilac",
        "quarry/old lilac",
        "quarry/old-lilac-renewal",
    ] {
        let told: Value =
            serde_json::from_str(&printed(folder, &["done", name, "--on", "today", "--json"]))
                .unwrap();
        assert_eq!(
            (&told["deed"]["cut"], &told["undone"]),
            (&"old-lilac-renewal".into(), &false.into()),
            "{name}"
        );
    }
    let deeds = open.deeds("quarry").unwrap();
    assert_eq!(deeds.len(), 2);
    let back = printed(folder, &["done", "box-edging-shear", "--undo"]);
    assert!(back.contains("Taken back: box edging, shearing"), "{back}");
    assert_eq!(open.deeds("quarry").unwrap(), deeds[1..]);
    let again = complained(folder, &["done", "box-edging-shear", "--undo"]);
    assert!(again.contains("nothing is noted of it"), "{again}");
    let elsewhere = complained(
        folder,
        &["done", "old-lilac", "--undo", "--on", "2020-04-01"],
    );
    assert!(
        elsewhere.contains("noted are: ") || elsewhere.contains("years ago"),
        "{elsewhere}"
    );
}

#[test]
fn what_cannot_be_noted_is_said_with_what_is_allowed() {
    let folder = folder();
    let folder = folder.path();
    for (arguments, parts) in [
        (
            vec!["done", "box edging"],
            vec![
                "say which",
                "quarry/box-edging-shear",
                "quarry/box-edging-renewal",
            ],
        ),
        (
            vec!["done", "box-edgin-shear"],
            vec!["nearest: box-edging-shear", "old-lilac-renewal"],
        ),
        (
            vec!["done", "old-lilac", "--on", "2027-02-30"],
            vec!["is not a day", "yesterday"],
        ),
        (
            vec!["done", "old-lilac", "--on", "2199-01-01"],
            vec!["still to come"],
        ),
        (
            vec!["done", "old-lilac", "--on", "1999-01-01"],
            vec!["more than 10 years ago"],
        ),
        (
            vec!["done", "old-lilac", "--share", "0"],
            vec!["1 to 100 percent"],
        ),
        (
            vec!["done", "old-lilac", "--share", "a third"],
            vec!["1 to 100 percent"],
        ),
        (
            vec!["seen", "old lilak", "bloom-end"],
            vec!["no planting", "nearest: Old lilac"],
        ),
        (
            vec!["seen", "old lilac", "blom-end"],
            vec!["nearest: bloom-end", "allowed: bud-break"],
        ),
        (vec!["seen", "old lilac", "mid-winter"], vec!["no event"]),
        (
            vec!["seen", "old lilac", "bloom-end", "--undo"],
            vec!["to take back", "none"],
        ),
        (vec!["plan", "--year", "12"], vec!["1900 to 2199"]),
        (vec!["plan", "--garden", "quary"], vec!["nearest: quarry"]),
    ] {
        let said = complained(folder, &arguments);
        for part in parts {
            assert!(said.contains(part), "{arguments:?}: no {part:?} in {said}");
        }
    }
    assert_eq!(store(folder).deeds("quarry").unwrap(), []);
    assert_eq!(store(folder).sightings("quarry").unwrap(), []);
}

#[test]
fn an_event_is_noted_and_taken_back() {
    let folder = folder();
    let folder = folder.path();
    let noted = printed(
        folder,
        &["seen", "old-lilac", "Bloom End", "--on", "yesterday"],
    );
    assert!(noted.contains("Noted: Old lilac, bloom-end"), "{noted}");
    let seen = store(folder).sightings("quarry").unwrap();
    assert_eq!(
        (seen[0].planting.as_str(), seen[0].event),
        ("Old lilac", Event::BloomEnd)
    );
    let back: Value = serde_json::from_str(&printed(
        folder,
        &["seen", "old-lilac", "bloom-end", "--undo", "--json"],
    ))
    .unwrap();
    assert_eq!(back["undone"], true);
    assert_eq!(store(folder).sightings("quarry").unwrap(), []);
}

#[test]
fn a_plan_says_what_when_why_and_how_in_eighty_columns() {
    let folder = folder();
    let folder = folder.path();
    let plan = printed(folder, &["plan", "--year", "2026"]);
    for part in [
        "Quarry garden: the garden year 2026",
        "hardiness zone 7, since no record tells",
        "Old lilac",
        "renewal cut",
        "Why and how",
        "5 weeks before bud break",
        "Source: ",
        "licensed",
    ] {
        assert!(plan.contains(part), "no {part:?} in\n{plan}");
    }
    assert!(!plan.contains("deadhead"), "it is skipped:\n{plan}");
    let wide: Vec<&str> = plan
        .lines()
        .filter(|line| line.chars().count() > 80)
        .collect();
    assert!(wide.is_empty(), "{wide:?}");
    let brief = printed(folder, &["plan", "--year", "2026", "--brief"]);
    assert!(plan.starts_with(&brief) && !brief.contains("Why and how"));
    let json: Value = serde_json::from_str(&printed(folder, &["plan", "--json"])).unwrap();
    let tasks = json[0]["tasks"].as_array().unwrap();
    let cuts: Vec<&str> = tasks
        .iter()
        .map(|task| task["cut"].as_str().unwrap())
        .collect();
    assert!(
        cuts.contains(&"box-edging-shear") && cuts.contains(&"old-lilac-renewal"),
        "{cuts:?}"
    );
}

#[test]
fn a_standing_dead_trunk_is_to_be_checked_every_year_and_a_check_is_noted() {
    let folder = folder();
    let folder = folder.path();
    let plan = printed(folder, &["plan", "--brief"]);
    assert!(plan.contains("Once a year: Old ash"), "{plan}");
    assert!(
        plan.contains("nothing is noted yet") && plan.contains("done old-ash-check"),
        "{plan}"
    );
    let noted = printed(folder, &["done", "old-ash-check", "--on", "today"]);
    assert!(noted.contains("Noted: Old ash, check"), "{noted}");
    assert_eq!(
        store(folder).deeds("quarry").unwrap()[0].cut,
        "old-ash-check"
    );
    let plan = printed(folder, &["plan", "--brief"]);
    assert!(plan.contains("last on"), "{plan}");
    let back = printed(folder, &["done", "old-ash-check", "--undo"]);
    assert!(back.contains("Taken back: Old ash, check"), "{back}");
}

#[test]
fn a_storm_that_came_asks_for_a_look_and_one_that_is_forecast_does_not() {
    let at = |text: &str| -> DateTime<Utc> { text.parse().unwrap() };
    let hour = |gust: f64| Condition {
        gust: Some(MetresPerSecond(gust)),
        ..Condition::default()
    };
    let start = at("2026-03-12T03:00:00Z");
    let run = |made: &str, gusts: &[f64]| Forecast {
        spans: Vec::new(),
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: at(made),
        elevation: None,
        run: Hours {
            start,
            temperature: Vec::new(),
        },
        members: Vec::new(),
        conditions: Some(Conditions {
            start,
            hours: gusts.iter().map(|gust| hour(*gust)).collect(),
        }),
    };
    let zone = Zone::named("America/New_York").unwrap();
    // Eleven at night on the 11th, then midnight and one in the morning; the last hour is still to come.
    let runs = [
        run("2026-03-12T06:00:00Z", &[26.0, 31.0, 25.9, 40.0]),
        run("2026-03-12T06:30:00Z", &[28.0, 30.0]),
    ];
    let seen = storms(&runs, &zone);
    let storm = |on: &str, gust| Storm {
        on: on.parse().unwrap(),
        gust: MetresPerSecond(gust),
    };
    assert_eq!(seen, [storm("2026-03-11", 28.0), storm("2026-03-12", 31.0)]);
    assert!((STORM_GUST.0 / 0.44704 - 58.0).abs() < 0.001);

    let almanac = almanac::embedded().unwrap();
    let settings = Settings::parse(GARDEN, Path::new("garden.toml"), &almanac, &|_| None).unwrap();
    let known = Known {
        storms: &seen,
        shared: None,
        ..Known::default()
    };
    let checks = |year| year_plan(&settings.gardens[0].garden, &known, year).checks;
    let of_storms = |checks: &[Check]| {
        let is_storm = |check: &&Check| matches!(check, Check::AfterStorm(_));
        checks.iter().filter(is_storm).count()
    };
    assert_eq!((of_storms(&checks(2026)), of_storms(&checks(2025))), (2, 0));
    let plan = year_plan(&settings.gardens[0].garden, &known, 2026);
    let page = plan_page(&plan, Locale::english(UnitSystem::Us), Detail::Table);
    assert!(
        page.contains("After the storm of 12 March (gusts to 69 mph)"),
        "{page}"
    );
}

/// The garden of these tests at a latitude, with the climate of the station in the folder of the tests.
fn planned(latitude: &str, deeds: &[Deed], year: i32) -> budward::plan::YearPlan {
    let text = GARDEN.replace("latitude = 40.63", &format!("latitude = {latitude}"));
    let almanac = almanac::embedded().unwrap();
    let settings = Settings::parse(&text, Path::new("garden.toml"), &almanac, &|_| None).unwrap();
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let record = read_record(&std::fs::read_to_string(file).unwrap(), "Toronto").unwrap();
    // In the south the same weather comes half a year later.
    let later = Days::new(if latitude.starts_with('-') { 184 } else { 0 });
    let days = record.days().map(|(date, day)| (date + later, day));
    let record = DailyRecord::from_days("Toronto", days).unwrap();
    let climate = Climate::of(&record).unwrap();
    let known = Known {
        climate: Some(&climate),
        deeds,
        ..Known::default()
    };
    year_plan(&settings.gardens[0].garden, &known, year)
}

#[test]
fn a_plan_is_in_order_of_time_and_lies_in_its_year() {
    for latitude in ["40.63", "-40.63"] {
        let plan = planned(latitude, &[], 2026);
        let windows: Vec<_> = plan.tasks.iter().filter_map(|task| task.window).collect();
        assert!(
            windows.is_sorted_by_key(|window| window.from),
            "{windows:?}"
        );
        for window in &windows {
            assert!(window.from <= window.to, "{window:?}");
            assert!(
                window.from.year() <= 2026 && window.to.year() >= 2026,
                "{window:?}"
            );
        }
        assert_eq!(plan.south, latitude.starts_with('-'));
    }
}

#[test]
fn half_a_year_lies_between_the_seasons_of_north_and_south() {
    let lilac = |latitude| {
        let plan = planned(latitude, &[], 2026);
        let task = plan
            .tasks
            .into_iter()
            .find(|task| task.cut == "old-lilac-renewal")
            .unwrap();
        task.window.unwrap().from
    };
    assert!(
        (2..=4).contains(&lilac("40.63").month()),
        "{}",
        lilac("40.63")
    );
    assert!(
        (8..=10).contains(&lilac("-40.63").month()),
        "{}",
        lilac("-40.63")
    );
}

#[test]
fn the_shears_wait_for_the_frost_to_be_over_and_rest_before_the_next() {
    let plan = planned("40.63", &[], 2026);
    let shear: Vec<_> = plan
        .tasks
        .iter()
        .filter(|task| task.cut == "box-edging-shear")
        .collect();
    let [shear] = shear.as_slice() else {
        panic!("one window: {shear:?}");
    };
    assert!(matches!(shear.frost, Frost::Within { .. }));
    let window = shear.window.unwrap();
    // At this station half of the last nights of 28 °F come by mid April, of the first by the end of October.
    assert!((4..=5).contains(&window.from.month()), "{window:?}");
    assert!((8..=9).contains(&window.to.month()), "{window:?}");
}

#[test]
fn a_cut_that_was_made_is_marked_and_a_renewal_goes_on_where_it_was() {
    let deed = |cut: &str, on: &str| Deed {
        cut: cut.to_owned(),
        planting: "box edging".to_owned(),
        on: on.parse().unwrap(),
        share: None,
        note: None,
    };
    let deeds = [
        deed("box-edging-shear", "2026-05-20"),
        deed("box-edging-shear", "2025-05-20"),
        deed("box-edging-renewal", "2025-05-02"),
    ];
    let plan = planned("40.63", &deeds, 2026);
    let task = |cut: &str| plan.tasks.iter().find(|task| task.cut == cut).unwrap();
    let day: NaiveDate = "2026-05-20".parse().unwrap();
    assert_eq!(task("box-edging-shear").done, [day]);
    let page = plan_page(&plan, Locale::english(UnitSystem::Us), Detail::Table);
    assert!(page.contains("done 20 May"), "{page}");
    if let Some(stage) = task("box-edging-renewal").stage {
        assert_eq!(stage, Stage::Third { year: 2, of: 3 });
        assert!(page.contains("year 2 of 3"), "{page}");
    }
}
