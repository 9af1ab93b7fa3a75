//! The tables, as a list of steps; the number of a file is how many of them it has been through.
//!
//! A step that has been released is never edited: a change of the tables is a new step at the end. Instants are UTC
//! text of fixed width, so that they sort as text; days are ISO dates.

mod later;
mod server;

pub(super) use server::SERVER;

use later::{DAYS, FOOTING, LARGE, MAILS, PASTS, READERS, RUNS};

/// Marks a file as a store of this program (SQLite's application id; the letters "budw").
pub(super) const APPLICATION_ID: i32 = 0x6275_6477;

/// Every step, oldest first.
pub(super) const MIGRATIONS: [&str; 20] = [
    WEATHER, ROUNDS, OUTBOX, SKILLS, DEEDS, WATCHES, READINGS, SOURCES, PROSPECT, LETTERS, ANSWERS,
    RESTORED, LOOKED, MAILS, READERS, DAYS, PASTS, FOOTING, RUNS, LARGE,
];

/// The daily records and the forecast runs.
const WEATHER: &str = "
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
";

/// The verdicts of the last round, the last word on each cut, and the journal.
const ROUNDS: &str = "
CREATE TABLE round (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE verdict (
    garden TEXT NOT NULL REFERENCES round (garden) ON DELETE CASCADE,
    cut TEXT NOT NULL,
    place INTEGER NOT NULL,
    state TEXT NOT NULL,
    verdict TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;

CREATE TABLE said (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    at TEXT NOT NULL,
    wished TEXT,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;

CREATE TABLE journal (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    what TEXT NOT NULL,
    detail TEXT NOT NULL
) STRICT;
CREATE INDEX journal_by_garden ON journal (garden, id);
CREATE TRIGGER journal_is_not_edited BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal line is never edited'); END;
CREATE TRIGGER journal_is_not_shortened BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal line is never deleted'); END;
";

/// The mails; `next_try_at` is none for those with which nothing more will be done.
const OUTBOX: &str = "
CREATE TABLE outbox (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    key TEXT NOT NULL UNIQUE,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    recipient TEXT NOT NULL,
    subject TEXT NOT NULL,
    text TEXT NOT NULL,
    html TEXT NOT NULL,
    queued_at TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('queued', 'sending', 'sent', 'failed')),
    tries INTEGER NOT NULL DEFAULT 0,
    next_try_at TEXT,
    last_reply TEXT
) STRICT;
CREATE INDEX outbox_due ON outbox (next_try_at) WHERE next_try_at IS NOT NULL;
CREATE INDEX outbox_by_cut ON outbox (garden, cut);
";

/// How far each source's forecasts could be trusted in the last round.
const SKILLS: &str = "
ALTER TABLE round ADD COLUMN skills TEXT NOT NULL DEFAULT '[]';
";

/// What the keeper did and saw, and what was said after a cut. A row is never edited or deleted: it is taken back.
///
/// A mail has a topic, so that what is said of one night does not push out what is said of the cut, and may have an end.
const DEEDS: &str = "
CREATE TABLE deed (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    planting TEXT NOT NULL,
    day TEXT NOT NULL,
    share INTEGER CHECK (share BETWEEN 1 AND 100),
    note TEXT,
    told_at TEXT NOT NULL,
    undone_at TEXT
) STRICT;
CREATE INDEX deed_by_cut ON deed (garden, cut, day);
CREATE TRIGGER deed_is_not_edited
BEFORE UPDATE OF id, garden, cut, planting, day, share, note, told_at ON deed
BEGIN SELECT RAISE(ABORT, 'a deed is never edited'); END;
CREATE TRIGGER deed_is_not_deleted BEFORE DELETE ON deed
BEGIN SELECT RAISE(ABORT, 'a deed is never deleted'); END;

CREATE TABLE sighting (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    garden TEXT NOT NULL,
    planting TEXT NOT NULL,
    event TEXT NOT NULL,
    day TEXT NOT NULL,
    told_at TEXT NOT NULL,
    undone_at TEXT
) STRICT;
CREATE INDEX sighting_by_planting ON sighting (garden, planting, event, day);
CREATE TRIGGER sighting_is_not_edited
BEFORE UPDATE OF id, garden, planting, event, day, told_at ON sighting
BEGIN SELECT RAISE(ABORT, 'a sighting is never edited'); END;
CREATE TRIGGER sighting_is_not_deleted BEFORE DELETE ON sighting
BEGIN SELECT RAISE(ABORT, 'a sighting is never deleted'); END;

CREATE TABLE said_after (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    done_on TEXT NOT NULL,
    alarm TEXT NOT NULL,
    night TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, cut, done_on, alarm, night)
) STRICT, WITHOUT ROWID;

ALTER TABLE outbox ADD COLUMN topic TEXT NOT NULL DEFAULT 'cut';
ALTER TABLE outbox ADD COLUMN until TEXT;
";

/// The cuts that were under watch in the last round.
const WATCHES: &str = "
ALTER TABLE round ADD COLUMN watches TEXT NOT NULL DEFAULT '[]';
";

/// Since when a source is silent or out of step, and since when a garden is without weather; no row where all is well.
/// The official warnings as they were heard last. To which question a record answers, and for which site it stands.
const SOURCES: &str = "
CREATE TABLE source_trouble (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    trouble TEXT NOT NULL CHECK (trouble IN ('silent', 'odd')),
    since TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (garden, source, trouble)
) STRICT, WITHOUT ROWID;

CREATE TABLE lost_weather (
    garden TEXT PRIMARY KEY,
    since TEXT NOT NULL,
    told_at TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE warned (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    heard_at TEXT NOT NULL,
    warnings TEXT NOT NULL,
    PRIMARY KEY (garden, source)
) STRICT, WITHOUT ROWID;

ALTER TABLE record ADD COLUMN question TEXT;
ALTER TABLE record ADD COLUMN site TEXT;
";

/// What the garden's own thermometer showed, what of it was refused, how far its file was read, and how the nights were.
const READINGS: &str = "
CREATE TABLE reading (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    at TEXT NOT NULL,
    celsius REAL NOT NULL,
    PRIMARY KEY (garden, sensor, at)
) STRICT, WITHOUT ROWID;

CREATE TABLE reading_refused (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    why TEXT NOT NULL,
    times INTEGER NOT NULL,
    last_at TEXT NOT NULL,
    PRIMARY KEY (garden, sensor, why)
) STRICT, WITHOUT ROWID;

CREATE TABLE station_file (
    garden TEXT PRIMARY KEY,
    file TEXT NOT NULL,
    bytes INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE night (
    garden TEXT NOT NULL,
    morning TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('clear-still', 'other')),
    PRIMARY KEY (garden, morning)
) STRICT, WITHOUT ROWID;
";

/// What lay before a garden in the last round, in figures to draw.
const PROSPECT: &str = "
ALTER TABLE round ADD COLUMN prospect TEXT NOT NULL DEFAULT 'null';
";

/// What goes with a mail, what a letter says so that it can be taken back, and what waits for its letter.
const LETTERS: &str = "
ALTER TABLE outbox ADD COLUMN enclosed TEXT NOT NULL DEFAULT '{}';
ALTER TABLE outbox ADD COLUMN says TEXT NOT NULL DEFAULT '{}';

CREATE TABLE waiting (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    since TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;
";

/// What the keeper answered by a link, and the key that signs the links.
const ANSWERS: &str = "
CREATE TABLE answer (
    id INTEGER PRIMARY KEY,
    mark TEXT NOT NULL UNIQUE,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    answer TEXT NOT NULL,
    day TEXT NOT NULL,
    silent_until TEXT,
    told_at TEXT NOT NULL,
    undone_at TEXT
) STRICT;
CREATE INDEX answer_of_garden ON answer (garden, answer);

CREATE TABLE link_key (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    key BLOB NOT NULL
) STRICT;
";

/// What was put in place of the store, and whether the keeper of each garden knows. Lines of the journal go after three
/// years, counted from its newest line, and not before.
const RESTORED: &str = "
CREATE TABLE restored (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    known_until TEXT,
    why TEXT NOT NULL,
    kept_as TEXT,
    told_at TEXT
) STRICT, WITHOUT ROWID;

CREATE INDEX journal_by_time ON journal (at);
DROP TRIGGER journal_is_not_shortened;
CREATE TRIGGER journal_is_not_shortened BEFORE DELETE ON journal
WHEN julianday(OLD.at) > (SELECT julianday(max(at)) FROM journal) - 1096
BEGIN SELECT RAISE(ABORT, 'a journal line is never deleted before its time'); END;
";

/// The looks of the schedule that were made, each once.
const LOOKED: &str = "
CREATE TABLE looked (
    garden TEXT NOT NULL,
    day TEXT NOT NULL,
    slot TEXT NOT NULL,
    schedule TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, day, slot, schedule)
) STRICT, WITHOUT ROWID;
";
