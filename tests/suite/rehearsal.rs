//! Years rehearsed: a short walk in full, the five gardens' plans, and what a walk must never say.
//!
//! The five whole years are walked by `tests/gardens/rehearse` with the release binary.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use budward::backtest::Source;
use budward::climate::{Climate, DailyRecord, read_record};
use budward::config::Settings;
use budward::garden::Garden;
use budward::message::{Detail, plan_page};
use budward::notice::News;
use budward::plan::{Known, year_plan};
use budward::rehearsal::{Plan, Rehearsal, RehearsalError, rehearse};
use budward::risk::DateRange;
use chrono::NaiveDate;

use crate::support::project;

/// Each garden with its record and the year of its plan.
const GARDENS: [(&str, &str, i32); 5] = [
    ("zone-6", "ghcn/CA006158350_1969-2003.dly", 2002),
    ("zone-7", "daily/jena_1987-2018.csv", 2018),
    ("zone-9", "daily/cordoba_1991-2021.csv", 2021),
    ("oceanic", "daily/north_yorks_1991-2021.csv", 2021),
    ("south", "daily/adelaide_1947-1978.csv", 1978),
];

fn gardens() -> PathBuf {
    project().join("tests/gardens")
}

fn garden(name: &str) -> Garden {
    let file = gardens().join(format!("{name}.toml"));
    Settings::read(&file).unwrap().gardens[0].garden.clone()
}

fn record(file: &str) -> DailyRecord {
    let text = fs::read_to_string(project().join("tests/data").join(file)).unwrap();
    read_record(&text, file).unwrap()
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn range(from: &str, to: &str) -> DateRange {
    DateRange {
        from: day(from),
        to: day(to),
    }
}

/// A few years of Toronto and what was walked in them: some plantings of the garden of zone 6.
fn walked(plantings: &[&str], days: DateRange, forecasts: &Source) -> (DailyRecord, Rehearsal) {
    let mut garden = garden("zone-6");
    garden
        .cuts
        .retain(|cut| plantings.contains(&cut.planting.as_str()));
    let record = record(GARDENS[0].1);
    let record = record.between(day("1996-01-01"), record.last()).unwrap();
    let plan = Plan {
        garden: &garden,
        fresh_for: budward::forecast::FRESH_FOR,
        record: &record,
        days,
        forecasts,
        seed: 1,
    };
    let rehearsal = rehearse(&plan, &mut |_, _| {}).unwrap();
    (record, rehearsal)
}

#[test]
fn three_spring_weeks_are_walked_and_no_release_comes_before_a_frost_that_was_forecast() {
    let spring = range("2002-04-20", "2002-05-09");
    let plantings = ["Box edging along the drive", "Old lilac", "Catmint edge"];
    let (record, rehearsal) = walked(&plantings, spring, &Source::Perfect { days: 7 });
    for cut in &rehearsal.cuts {
        assert_eq!(cut.days.values().sum::<u32>(), 20, "{}", cut.cut);
        assert!(cut.flips() <= 2, "{}: {:?}", cut.cut, cut.changes);
    }
    let released: Vec<_> = rehearsal
        .told
        .iter()
        .filter(|told| told.planting == plantings[0] && told.news != News::PutOff)
        .collect();
    assert!(!released.is_empty(), "{:?}", rehearsal.told);
    for told in released.iter().filter(|told| told.work.name() == "shear") {
        // Soft growth of a sheared evergreen takes no more than 28 °F (config/almanac/tender.toml).
        for night in told.date.iter_days().skip(1).take(2) {
            let lowest = record.day(night).min.unwrap().degrees();
            assert!(
                lowest > -2.2,
                "released on {} and {lowest} °C on {night}",
                told.date
            );
        }
    }
}

#[test]
fn the_same_seed_walks_the_same_year() {
    let days = range("2002-05-01", "2002-05-03");
    let walk = || {
        let errors = budward::backtest::USUAL_ERRORS.to_vec();
        walked(
            &["Box edging along the drive"],
            days,
            &Source::Noise { errors },
        )
        .1
    };
    assert_eq!(walk(), walk());
}

#[test]
fn a_year_that_is_not_on_record_or_has_no_past_is_refused() {
    let garden = garden("zone-6");
    let record = record(GARDENS[0].1);
    let forecasts = Source::Perfect { days: 7 };
    let refused = |from: &str, to: &str| {
        let plan = Plan {
            garden: &garden,
            fresh_for: budward::forecast::FRESH_FOR,
            record: &record,
            days: range(from, to),
            forecasts: &forecasts,
            seed: 1,
        };
        rehearse(&plan, &mut |_, _| {}).unwrap_err()
    };
    let late = refused("2003-01-01", "2003-12-31");
    assert!(matches!(late, RehearsalError::NotOnRecord { .. }), "{late}");
    let early = refused("1971-01-01", "1971-12-31");
    assert_eq!(early, RehearsalError::TooFewYears(1971));
}

#[test]
fn each_garden_has_forty_plantings_of_many_habits() {
    for (name, _, _) in GARDENS {
        let garden = garden(name);
        let plantings: BTreeSet<&str> = garden
            .cuts
            .iter()
            .map(|cut| cut.planting.as_str())
            .collect();
        assert_eq!(plantings.len(), 40, "{name}");
        let habits: BTreeSet<String> = garden
            .cuts
            .iter()
            .map(|cut| format!("{:?}", cut.kind.habit))
            .collect();
        assert!(habits.len() >= 7, "{name}: {habits:?}");
    }
}

/// The plan of a garden as `budward plan --brief --record` prints it, and whether the file beside it says the same.
fn is_as_reviewed(name: &str, file: &str, year: i32) -> Result<(), String> {
    let climate = Climate::of(&record(file));
    let known = Known {
        climate: climate.as_ref(),
        ..Known::default()
    };
    let garden = garden(name);
    let page = plan_page(
        &year_plan(&garden, &known, year),
        garden.locale,
        Detail::Table,
    );
    let reviewed = gardens().join("plans").join(format!("{name}.txt"));
    if std::env::var("UPDATE").is_ok_and(|value| value == "1") {
        fs::write(&reviewed, &page).unwrap();
    }
    let kept = fs::read_to_string(&reviewed).unwrap_or_default();
    if kept == page {
        return Ok(());
    }
    Err(format!("{}:\n{page}", shown(&reviewed)))
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}

#[test]
fn the_plans_are_as_they_were_reviewed() {
    let differ: Vec<String> = GARDENS
        .iter()
        .filter_map(|(name, file, year)| is_as_reviewed(name, file, *year).err())
        .collect();
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}
