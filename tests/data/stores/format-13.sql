-- A store of format 13, with a row in each table, as the program of that time made it; it stays as it is.
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

ALTER TABLE round ADD COLUMN skills TEXT NOT NULL DEFAULT '[]';

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

ALTER TABLE round ADD COLUMN watches TEXT NOT NULL DEFAULT '[]';

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

ALTER TABLE round ADD COLUMN prospect TEXT NOT NULL DEFAULT 'null';

ALTER TABLE outbox ADD COLUMN enclosed TEXT NOT NULL DEFAULT '{}';
ALTER TABLE outbox ADD COLUMN says TEXT NOT NULL DEFAULT '{}';

CREATE TABLE waiting (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    since TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;

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

CREATE TABLE looked (
    garden TEXT NOT NULL,
    day TEXT NOT NULL,
    slot TEXT NOT NULL,
    schedule TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, day, slot, schedule)
) STRICT, WITHOUT ROWID;

INSERT INTO record (id, garden, origin, fetched_at, question, site) VALUES (7, 'museum', 'an invented station', '2027-01-02T03:04:05.000000000Z', 'here', NULL);
INSERT INTO record_day (record, day, min_c, max_c) VALUES (7, '2026-12-30', -3.5, 2.0);
INSERT INTO record_day (record, day, min_c, max_c) VALUES (7, '2026-12-31', NULL, 4.25);
INSERT INTO run (id, garden, slot, fetched_at, data_at, source, forecast) VALUES (3, 'museum', '2027-01-02/0 invented', '2027-01-02T03:04:05.000000000Z', '2027-01-02T03:04:05.000000000Z', 'invented', '{"source": "invented", "attribution": "invented weather", "data_at": "2027-01-02T03:00:00Z", "elevation": null, "run": {"start": "2027-01-02T03:00:00Z", "temperature": [1.5, null]}, "members": []}');
INSERT INTO round (garden, at, skills, watches, prospect) VALUES ('museum', '2027-01-02T03:04:05.000000000Z', '[]', '[]', 'null');
INSERT INTO said (garden, cut, news, at, wished) VALUES ('museum', 'box-edging-shear', 'now-go', '2027-01-02T03:04:05.000000000Z', '2027-04-22');
INSERT INTO said (garden, cut, news, at, wished) VALUES ('museum', 'röschen; DROP TABLE said', 'put-off', '2027-01-02T03:04:05.000000000Z', NULL);
INSERT INTO journal (id, at, garden, cut, what, detail) VALUES (1, '2027-01-02T03:04:05.000000000Z', 'museum', 'box-edging-shear', 'now-go', 'Box edging: go');
INSERT INTO journal (id, at, garden, cut, what, detail) VALUES (2, '2027-01-02T03:04:05.000000000Z', 'museum', '', 'mail-sent', '250 it''s taken');
INSERT INTO outbox (id, key, garden, cut, recipient, subject, text, html, queued_at, state, tries, next_try_at, last_reply, topic, until, enclosed, says) VALUES (5, 'museum.2027-01-02.box.now-go', 'museum', 'box-edging-shear', 'keeper@example.org', 'Box edging: go', 'Go.', '<p>Go.</p>', '2027-01-02T03:04:05.000000000Z', 'sent', 1, NULL, '250 taken', 'cut', NULL, '{}', '{}');
INSERT INTO outbox (id, key, garden, cut, recipient, subject, text, html, queued_at, state, tries, next_try_at, last_reply, topic, until, enclosed, says) VALUES (6, 'museum.2027-01-02.hedge.put-off', 'museum', 'hedge-shear', 'keeper@example.org', 'Hedge: wait', 'Wait.', '<p>Wait.</p>', '2027-01-02T03:04:05.000000000Z', 'queued', 0, '2027-01-02T03:04:05.000000000Z', NULL, 'cut', NULL, '{}', '{}');
INSERT INTO deed (id, garden, cut, planting, day, share, note, told_at, undone_at) VALUES (1, 'museum', 'hedge-shear', 'the hedge', '2026-09-01', 30, 'with the new shears', '2027-01-02T03:04:05.000000000Z', NULL);
INSERT INTO sighting (id, garden, planting, event, day, told_at, undone_at) VALUES (1, 'museum', 'old lilac', 'bloom-begin', '2026-05-02', '2027-01-02T03:04:05.000000000Z', NULL);
INSERT INTO said_after (garden, cut, done_on, alarm, night, at) VALUES ('museum', 'hedge-shear', '2026-09-01', 'cover-tonight', '2026-09-20', '2027-01-02T03:04:05.000000000Z');
INSERT INTO reading (garden, sensor, at, celsius) VALUES ('museum', 'thermometer', '2027-01-02T03:04:05.000000000Z', -1.25);
INSERT INTO reading_refused (garden, sensor, why, times, last_at) VALUES ('museum', 'thermometer', 'jump', 2, '2027-01-02T03:04:05.000000000Z');
INSERT INTO station_file (garden, file, bytes) VALUES ('museum', 'station.csv', 4096);
INSERT INTO night (garden, morning, kind) VALUES ('museum', '2027-01-02', 'clear-still');
INSERT INTO source_trouble (garden, source, trouble, since, told_at) VALUES ('museum', 'invented', 'silent', '2027-01-02T03:04:05.000000000Z', NULL);
INSERT INTO lost_weather (garden, since, told_at) VALUES ('museum', '2027-01-02T03:04:05.000000000Z', '2027-01-02T03:04:05.000000000Z');
INSERT INTO warned (garden, source, heard_at, warnings) VALUES ('museum', 'invented', '2027-01-02T03:04:05.000000000Z', '[]');
INSERT INTO waiting (garden, cut, news, since) VALUES ('museum', 'hedge-shear', 'closing', '2027-01-02T03:04:05.000000000Z');
INSERT INTO answer (id, mark, garden, cut, answer, day, silent_until, told_at, undone_at) VALUES (1, 'a-mark', 'museum', 'hedge-shear', 'later', '2027-01-01', '2027-02-01', '2027-01-02T03:04:05.000000000Z', NULL);
INSERT INTO link_key (id, key) VALUES (1, x'000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f');
INSERT INTO restored (garden, at, known_until, why, kept_as, told_at) VALUES ('museum', '2027-01-02T03:04:05.000000000Z', NULL, 'by hand', NULL, '2027-01-02T03:04:05.000000000Z');
INSERT INTO looked (garden, day, slot, schedule, at) VALUES ('museum', '2027-01-01', '05:30:00', '30 5,14 * * *', '2027-01-01T10:30:00.000000000Z');
PRAGMA application_id = 1651860599;
PRAGMA user_version = 13;
