//! Rows of the store, as its own calls read them.

use std::path::PathBuf;
use std::sync::{LazyLock, Mutex};

use budward::garden::Zone;
use budward::store::Store;
use chrono::{DateTime, NaiveDate, Utc};
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

/// The question under which an older program's runs of the garden stand.
const ASKED: &str = "of museum";

fn since() -> DateTime<Utc> {
    DateTime::UNIX_EPOCH
}

const DAY: NaiveDate = NaiveDate::MIN;

fn later() -> DateTime<Utc> {
    "2100-01-01T00:00:00Z".parse().unwrap_or_default()
}

const COLUMNS: &[Column] = columns! {
    run.forecast: |store| store.latest_run([ASKED, ASKED], "invented");
    run.days: |store| store.days_since(ASKED, since(), &Zone::utc());
    run.fetched_at: |store| (store.heard([ASKED, ASKED], "invented"), store.days_since(ASKED, since(), &Zone::utc()), store.runs_state(ASKED));
    run.data_at: |store| store.heard([ASKED, ASKED], "invented");
    footing.cuts: |store| store.footing(GARDEN);
    past.site: |store| store.record(GARDEN, "here");
    past.fetched_at: |store| store.record(GARDEN, "here");
    past_day.day: |store| store.record(GARDEN, "here");
    verdict.verdict: |store| store.verdicts(GARDEN);
    round.at: |store| store.last_round(GARDEN);
    round.skills: |store| store.skills(GARDEN);
    round.watches: |store| store.watches(GARDEN);
    round.prospect: |store| store.prospect(GARDEN);
    said.news: |store| (store.said(GARDEN, "box-edging-shear"), store.last_words(GARDEN));
    said.at: |store| store.last_words(GARDEN);
    said.wished: |store| store.last_words(GARDEN);
    said_after.alarm: |store| store.said_after(GARDEN, DAY);
    said_after.night: |store| store.before(GARDEN, &[], DAY);
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

/// The store of a test with one row in every table, and a second hand on its file that puts the bytes there.
struct Bench {
    store: Store,
    hand: Connection,
}

static BENCH: LazyLock<Mutex<Bench>> = LazyLock::new(|| Mutex::new(bench()));

fn bench() -> Bench {
    let path = file();
    for ending in ["", "-wal", "-shm"] {
        drop(std::fs::remove_file(format!("{}{ending}", path.display())));
    }
    let rows = project().join("tests/data/stores/format-13.sql");
    let rows = std::fs::read_to_string(rows).expect("a store of a test");
    let hand = Connection::open(&path).expect("a file in memory");
    hand.execute_batch(&rows).expect("a whole store");
    let store = Store::open(&path).expect("the store of a test");
    hand.execute_batch(
        "INSERT INTO verdict VALUES ('museum', 'box-edging-shear', 0, 'go', '{}');
         INSERT INTO footing VALUES ('museum', '[]');
         DROP TRIGGER deed_is_not_edited; DROP TRIGGER sighting_is_not_edited; DROP TRIGGER journal_is_not_edited;
         DROP TRIGGER journal_is_not_shortened;
         PRAGMA foreign_keys = OFF; PRAGMA synchronous = OFF;
         DELETE FROM past_day WHERE day > '2026-12-30'; DELETE FROM said WHERE wished IS NULL;
         DELETE FROM journal WHERE id > 1; DELETE FROM outbox WHERE next_try_at IS NULL;",
    )
    .expect("all rows may be changed");
    Bench { store, hand }
}

/// Where nothing has to wait for a disk.
fn file() -> PathBuf {
    let memory = PathBuf::from("/dev/shm");
    let folder = if memory.is_dir() {
        memory
    } else {
        std::env::temp_dir()
    };
    folder.join(format!("budward-fuzz-{}.sqlite3", std::process::id()))
}

/// Bytes that the store is to hold for text.
struct Text<'a>(&'a [u8]);

impl ToSql for Text<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(ValueRef::Text(self.0)))
    }
}

/// Some whole values of `seeds/store.txt`, and a moment, a day and a word for every column.
pub fn seeds() -> Vec<Vec<u8>> {
    let known = include_str!("../seeds/store.txt").lines();
    let of = |column: &Column| format!("{}.{}", column.table, column.name);
    let numbered = || (0_u8..).zip(COLUMNS);
    let seed = |number: u8, value: &str| [&[number], value.as_bytes()].concat();
    let whole = known
        .filter_map(|line| line.split_once('\t'))
        .flat_map(|(name, value)| {
            numbered()
                .filter(move |(_, column)| of(column) == name)
                .map(move |(number, _)| seed(number, value))
        });
    let plain = [
        "2027-01-02T03:04:05.000000000Z",
        "2027-01-02",
        "later",
        "[]",
    ];
    let short = plain
        .iter()
        .flat_map(|value| numbered().map(move |(number, _)| seed(number, value)));
    whole.chain(short).collect()
}

/// Puts the bytes into the column that the first one says, reads it, and puts back what was there.
pub fn read(bytes: &[u8]) {
    let Some((number, value)) = bytes.split_first() else {
        return;
    };
    let Some(column) = COLUMNS.get(usize::from(*number)) else {
        return;
    };
    let bench = BENCH.lock().expect("one thread");
    let (table, name) = (column.table, column.name);
    let mut put = bench
        .hand
        .prepare_cached(&format!("UPDATE {table} SET {name} = ?1"))
        .expect("a column of the store");
    let was: Option<String> = bench
        .hand
        .prepare_cached(&format!("SELECT {name} FROM {table}"))
        .and_then(|mut select| select.query_row([], |row| row.get(0)))
        .expect("a row in every table");
    // What the table itself refuses is not there to be read.
    if put.execute([Text(value)]).is_ok() {
        (column.read)(&bench.store);
        put.execute([was]).expect("what was there");
    }
}
