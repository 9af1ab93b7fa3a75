//! Rows of the store, as its own calls read them.

use std::path::PathBuf;
use std::sync::{LazyLock, Mutex};

use budward::store::Store;
use chrono::{DateTime, NaiveDate, NaiveTime, Utc};
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, ToSql};

use crate::seeds::project;

/// A column of a table, and what reads it.
struct Column {
    table: &'static str,
    name: &'static str,
    read: fn(&Store),
}

macro_rules! columns {
    ($($table:ident.$column:ident: |$store:ident| $read:expr;)*) => {
        &[$(Column {
            table: stringify!($table),
            name: stringify!($column),
            read: |$store| drop($read),
        }),*]
    };
}

const GARDEN: &str = "museum";

fn since() -> DateTime<Utc> {
    DateTime::UNIX_EPOCH
}

const DAY: NaiveDate = NaiveDate::MIN;

fn later() -> DateTime<Utc> {
    "2100-01-01T00:00:00Z".parse().unwrap_or_default()
}

const COLUMNS: &[Column] = columns! {
    run.forecast: |store| (store.latest_run(GARDEN, "invented"), store.runs_since(GARDEN, since()));
    run.fetched_at: |store| (store.heard(GARDEN, "invented"), store.runs_since(GARDEN, since()));
    run.data_at: |store| store.heard(GARDEN, "invented");
    record.site: |store| store.record(GARDEN, "here");
    record.fetched_at: |store| store.record(GARDEN, "here");
    record_day.day: |store| store.record(GARDEN, "here");
    verdict.verdict: |store| store.verdicts(GARDEN);
    round.at: |store| store.last_round(GARDEN);
    round.skills: |store| store.skills(GARDEN);
    round.watches: |store| store.watches(GARDEN);
    round.prospect: |store| store.prospect(GARDEN);
    said.news: |store| (store.said(GARDEN, "cut"), store.last_words(GARDEN));
    said.at: |store| store.last_words(GARDEN);
    said.wished: |store| store.last_words(GARDEN);
    said_after.alarm: |store| store.said_after(GARDEN, DAY);
    said_after.night: |store| store.before(GARDEN, DAY);
    outbox.enclosed: |store| store.due(later());
    outbox.says: |store| store.due(later());
    outbox.queued_at: |store| store.due(later());
    outbox.next_try_at: |store| (store.due(later()), store.has_waiting_mail());
    deed.day: |store| store.deeds(GARDEN);
    sighting.event: |store| store.sightings(GARDEN);
    sighting.day: |store| store.sightings(GARDEN);
    reading.at: |store| (store.readings(GARDEN, since()), store.last_reading(GARDEN));
    reading_refused.why: |store| store.refused_readings(GARDEN);
    night.morning: |store| store.nights(GARDEN, DAY);
    lost_weather.since: |store| store.spell(GARDEN);
    warned.warnings: |store| store.warnings(GARDEN, later());
    answer.answer: |store| store.quiet(GARDEN, DAY);
    answer.silent_until: |store| store.quiet(GARDEN, DAY);
    restored.known_until: |store| store.restored(GARDEN);
    journal.at: |store| store.journal(GARDEN, 10);
};
