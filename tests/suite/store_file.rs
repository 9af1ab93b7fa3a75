//! The store as a file: it keeps everything over a stop, and refuses what it cannot trust.

mod deeds;
pub(crate) mod given;
mod lasting;
mod mails;
mod readers;
mod readings;
mod rounds;

use std::cell::RefCell;
use std::fs;
use std::path::Path;

use budward::climate::{DailyRecord, DayExtremes};
use budward::garden::Zone;
use budward::outlook::RunDays;
use budward::store::{NextStep, Store, StoreError};
use budward::units::Celsius;
use chrono::{DateTime, NaiveDate, Utc};
use proptest::prelude::*;
use rusqlite::Connection;
use tempfile::TempDir;

use super::database::new_store;
use super::support;
use given::{AWKWARD_NAMES, at, forecast, record, round, told};

/// The tables as the first step made them, with one record in them. A copy and not a reference: it stays as it is.
const VERSION_1: &str = "
CREATE TABLE record (
    id INTEGER PRIMARY KEY,
    garden TEXT NOT NULL UNIQUE,
    origin TEXT NOT NULL,
    fetched_at TEXT NOT NULL
) STRICT;
CREATE TABLE record_day (
    record INTEGER NOT NULL REFERENCES record (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    min_c REAL,
    max_c REAL,
    PRIMARY KEY (record, day)
) STRICT, WITHOUT ROWID;
CREATE TABLE run (
    id INTEGER PRIMARY KEY,
    garden TEXT NOT NULL,
    slot TEXT NOT NULL,
    fetched_at TEXT NOT NULL,
    data_at TEXT NOT NULL,
    source TEXT NOT NULL,
    forecast TEXT NOT NULL,
    UNIQUE (garden, slot)
) STRICT;
CREATE INDEX run_by_age ON run (garden, fetched_at);
INSERT INTO record VALUES (7, 'museum', 'an invented station', '2027-01-02T03:04:05.000000000Z');
INSERT INTO record_day VALUES (7, '2026-12-30', -3.5, 2.0), (7, '2026-12-31', NULL, 4.25);
PRAGMA application_id = 1651860599;
PRAGMA user_version = 1;
";

fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

fn refusal(path: &Path) -> StoreError {
    Store::open(path).map(|_| ()).unwrap_err()
}

#[test]
fn a_store_keeps_everything_over_a_stop() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let (record, forecast) = (record(), forecast());
    let days = RunDays::of(&forecast, &Zone::utc());
    let closed = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    {
        let mut store = Store::open(&path).unwrap();
        store
            .save_record("museum", ("here", &record), at("2027-04-22T05:00:00Z"))
            .unwrap();
        store
            .save_run("museum", (&forecast, &days), at("2027-04-22T05:30:00Z"))
            .unwrap();
        store.close_round("museum", &closed).unwrap();
    }
    let store = Store::open(&path).unwrap();
    assert_eq!(
        store.record("museum", "here").unwrap(),
        Some((record, at("2027-04-22T05:00:00Z")))
    );
    let source = &forecast.source;
    assert_eq!(
        store.latest_run(["museum", ""], source).unwrap().as_ref(),
        Some(&forecast)
    );
    assert_eq!(store.verdicts("museum").unwrap(), closed.verdicts);
    assert_eq!(store.last_round("museum").unwrap(), Some(closed.at));
    assert_eq!(
        store.said("museum", "box").unwrap(),
        Some(closed.told[0].said)
    );
    let due = store.due(closed.at).unwrap();
    assert_eq!(due.len(), 1);
    assert_eq!(due[0].message, closed.letter.unwrap().message);
    assert_eq!(store.journal("museum", 1).unwrap()[0].what, "now-go");
}

#[test]
fn nothing_is_known_of_a_garden_that_was_never_seen() {
    let store = new_store();
    assert_eq!(store.record("museum", "here").unwrap(), None);
    assert_eq!(store.latest_run(["museum", ""], "invented").unwrap(), None);
    assert_eq!(store.verdicts("museum").unwrap(), []);
    assert_eq!(store.last_round("museum").unwrap(), None);
    assert_eq!(store.said("museum", "box").unwrap(), None);
    assert_eq!(store.journal("museum", 10).unwrap(), []);
    assert_eq!(store.due(at("2099-01-01T00:00:00Z")).unwrap(), []);
}

#[test]
fn an_older_store_is_brought_up_to_date_and_keeps_what_it_has() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    Connection::open(&path)
        .unwrap()
        .execute_batch(VERSION_1)
        .unwrap();
    let mut store = Store::open(&path).unwrap();
    let (record, fetched_at) = store.record("museum", "here").unwrap().unwrap();
    let day = |min, max| DayExtremes { min, max };
    let days: Vec<_> = record.days().map(|(_, day)| day).collect();
    assert_eq!(
        days,
        [
            day(Some(Celsius::new(-3.5)), Some(Celsius::new(2.0))),
            day(None, Some(Celsius::new(4.25)))
        ]
    );
    assert_eq!(fetched_at, at("2027-01-02T03:04:05Z"));
    let closed = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    store.close_round("museum", &closed).unwrap();
    drop(store);
    assert_eq!(
        Store::open(&path).unwrap().verdicts("museum").unwrap(),
        closed.verdicts
    );
}

#[test]
fn a_store_of_a_newer_program_is_refused_and_left_as_it_is() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    drop(Store::open(&path).unwrap());
    let raise = Connection::open(&path).unwrap();
    raise
        .execute_batch("PRAGMA journal_mode = DELETE; PRAGMA user_version = 99")
        .unwrap();
    drop(raise);
    let before = fs::read(&path).unwrap();
    let error = refusal(&path);
    assert!(
        matches!(error, StoreError::Newer { found: 99, .. }),
        "{error}"
    );
    assert!(
        error.to_string().contains("use the newer program"),
        "{error}"
    );
    assert_eq!(error.next_step(), NextStep::Stop);
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_newer_format_that_is_only_in_the_log_is_refused_too() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let _open = Store::open(&path).unwrap();
    let raise = Connection::open(&path).unwrap();
    raise.execute_batch("PRAGMA user_version = 99").unwrap();
    assert!(matches!(
        refusal(&path),
        StoreError::Newer { found: 99, .. }
    ));
}

#[test]
fn a_file_that_is_not_ours_is_refused_and_left_as_it_is() {
    let folder = folder();
    let foreign = folder.path().join("photos.db");
    let tables = "CREATE TABLE photo (name TEXT); INSERT INTO photo VALUES ('rose.jpg')";
    Connection::open(&foreign)
        .unwrap()
        .execute_batch(tables)
        .unwrap();
    let note = folder.path().join("note.txt");
    fs::write(&note, "Buy twine.\n".repeat(50)).unwrap();
    let short = folder.path().join("short.txt");
    fs::write(&short, "SQLite format 3\0").unwrap();
    for path in [foreign, note, short] {
        let before = fs::read(&path).unwrap();
        let error = refusal(&path);
        assert!(matches!(error, StoreError::Foreign { .. }), "{error}");
        assert!(
            error.to_string().contains(path.to_str().unwrap()),
            "{error}"
        );
        assert_eq!(error.next_step(), NextStep::Stop);
        assert_eq!(fs::read(&path).unwrap(), before);
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

#[test]
fn a_damaged_store_is_refused() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    store
        .save_record("museum", ("here", &record()), at("2027-04-22T05:00:00Z"))
        .unwrap();
    drop(store);
    let mut bytes = fs::read(&path).unwrap();
    for byte in &mut bytes[4096..] {
        *byte = 0x5a;
    }
    fs::write(&path, bytes).unwrap();
    let error = refusal(&path);
    assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
    assert_eq!(error.next_step(), NextStep::Stop);
}

#[test]
fn a_place_where_no_file_can_be_is_an_error_that_names_it() {
    let folder = folder();
    let missing = folder.path().join("no such folder").join("store.sqlite3");
    for path in [folder.path(), missing.as_path()] {
        let error = refusal(path);
        assert_eq!(error.next_step(), NextStep::Stop);
        assert!(
            error.to_string().contains(path.to_str().unwrap()),
            "{error}"
        );
    }
}

#[test]
fn a_file_name_is_a_name_and_no_address() {
    let folder = folder();
    for name in ["file:a?mode=memory", "b?c#d%20e", "Gärten \u{1f33f}"] {
        let path = folder.path().join(name);
        drop(Store::open(&path).unwrap());
        assert!(path.exists(), "{name}");
    }
}

#[test]
fn the_file_is_set_up_to_survive_a_power_cut() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let _open = Store::open(&path).unwrap();
    let other = Connection::open(&path).unwrap();
    let mode: String = other
        .pragma_query_value(None, "journal_mode", |row| row.get(0))
        .unwrap();
    assert_eq!(mode, "wal");
    let loose: i64 = other
        .query_row(
            "SELECT count(*) FROM pragma_table_list
             WHERE type = 'table' AND name NOT LIKE 'sqlite%' AND NOT strict",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(loose, 0);
}

#[test]
fn a_record_replaces_the_one_before() {
    let mut store = new_store();
    let date = |day| NaiveDate::from_ymd_opt(2027, 1, day).unwrap();
    let day = |degrees| DayExtremes {
        min: Some(Celsius::new(degrees)),
        max: None,
    };
    let of = |origin: &str, days: Vec<(NaiveDate, DayExtremes)>| {
        DailyRecord::from_days(origin, days).unwrap()
    };
    let first = of(
        "one",
        vec![
            (date(1), day(1.0)),
            (date(2), day(2.0)),
            (date(9), day(9.0)),
        ],
    );
    // Later at both ends, one day changed, one day become a gap.
    let second = of(
        "two",
        vec![
            (date(1), day(1.5)),
            (date(3), day(3.0)),
            (date(8), day(8.0)),
        ],
    );
    for (record, hour) in [(&first, 1), (&second, 2), (&first, 3)] {
        let fetched_at = at(&format!("2027-02-01T0{hour}:00:00Z"));
        store
            .save_record("museum", ("here", record), fetched_at)
            .unwrap();
        assert_eq!(
            store.record("museum", "here").unwrap(),
            Some((record.clone(), fetched_at))
        );
    }
}

#[test]
fn a_real_record_of_two_years_comes_back_as_it_was() {
    let Some(file) =
        support::sample("weather-samples/openmeteo/archive_daily_50.09_14.48_2023-2024.json")
    else {
        return;
    };
    let archive: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap();
    let column = |name: &str| archive["daily"][name].as_array().unwrap().clone();
    let extreme = |value: &serde_json::Value| value.as_f64().map(Celsius::new);
    let days = column("time")
        .into_iter()
        .zip(column("temperature_2m_min"))
        .zip(column("temperature_2m_max"))
        .map(|((date, min), max)| {
            let extremes = DayExtremes {
                min: extreme(&min),
                max: extreme(&max),
            };
            (date.as_str().unwrap().parse().unwrap(), extremes)
        })
        .collect::<Vec<_>>();
    let record = DailyRecord::from_days("an archive", days).unwrap();
    let mut store = new_store();
    store
        .save_record("museum", ("here", &record), at("2027-01-01T00:00:00Z"))
        .unwrap();
    assert_eq!(store.record("museum", "here").unwrap().unwrap().0, record);
}

#[test]
fn gardens_that_ask_the_same_question_share_the_answer() {
    let mut store = new_store();
    let first = at("2027-04-22T05:00:00Z");
    store
        .save_record("museum", ("here", &record()), first)
        .unwrap();
    let known = Some((record(), first));
    assert_eq!(store.record("abbey", "here").unwrap(), known);
    assert_eq!(store.record_added_at("abbey", "here").unwrap(), Some(first));
    assert_eq!(store.record("abbey", "there").unwrap(), None);
    let later = first + chrono::TimeDelta::days(1);
    store
        .save_record("abbey", ("here", &record()), later)
        .unwrap();
    assert_eq!(
        store.record_added_at("museum", "here").unwrap(),
        Some(later)
    );
}

#[test]
fn awkward_names_are_names_like_any_other() {
    let mut store = new_store();
    let days = RunDays::of(&forecast(), &Zone::utc());
    for name in AWKWARD_NAMES {
        store
            .save_record(name, ("here", &record()), at("2027-04-22T05:00:00Z"))
            .unwrap();
        store
            .save_run(name, (&forecast(), &days), at("2027-04-22T05:00:00Z"))
            .unwrap();
        let news = told(name, "2027-04-22");
        store
            .close_round(name, &round(name, "2027-04-22T06:00:00Z", vec![news]))
            .unwrap();
    }
    for name in AWKWARD_NAMES {
        assert!(store.record(name, "here").unwrap().is_some());
        assert!(store.latest_run([name, ""], "invented").unwrap().is_some());
        assert!(
            store
                .verdicts(name)
                .unwrap()
                .iter()
                .all(|verdict| verdict.garden == name)
        );
        assert!(store.said(name, name).unwrap().is_some());
        assert_eq!(store.journal(name, 1).unwrap()[0].garden, name);
    }
    assert_eq!(
        store.due(at("2027-04-22T06:00:00Z")).unwrap().len(),
        AWKWARD_NAMES.len()
    );
}

thread_local! {
    /// One store for all records: each takes the place of the one before, with none of its days left.
    static KEPT: RefCell<Store> = RefCell::new(new_store());
}

proptest! {
    #[test]
    fn any_record_with_any_gaps_comes_back_to_the_last_bit(
        start in -200_000_i64..200_000,
        days in prop::collection::vec(
            (prop::option::of(-90.0..60.0_f64), prop::option::of(-90.0..60.0_f64)), 1..60),
        nanos in 0_i64..4_000_000_000_000_000_000,
    ) {
        let first = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap() + chrono::TimeDelta::days(start);
        let given = first.iter_days().zip(days).map(|(date, (min, max))| {
            (date, DayExtremes { min: min.map(Celsius::new), max: max.map(Celsius::new) })
        });
        let Ok(record) = DailyRecord::from_days("invented", given) else { return Ok(()) };
        let fetched_at: DateTime<Utc> = DateTime::from_timestamp_nanos(nanos);
        let kept = KEPT.with_borrow_mut(|store| {
            store.save_record("museum", ("here", &record), fetched_at).unwrap();
            store.record("museum", "here").unwrap()
        });
        prop_assert_eq!(kept, Some((record, fetched_at)));
    }
}
