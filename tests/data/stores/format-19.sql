-- A store of format 19, with a row in each table, as the program of that time made it, those of verdict and footing by hand;
-- it stays as it is.
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
, reader TEXT NOT NULL DEFAULT '') STRICT;
INSERT INTO "answer" VALUES(1,'a-mark','museum','hedge-shear','later','2027-01-01','2027-02-01','2027-01-02T03:04:05.000000000Z',NULL,'');
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
INSERT INTO "deed" VALUES(1,'museum','hedge-shear','the hedge','2026-09-01',30,'with the new shears','2027-01-02T03:04:05.000000000Z',NULL);
CREATE TABLE journal (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    at TEXT NOT NULL,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    what TEXT NOT NULL,
    detail TEXT NOT NULL
) STRICT;
INSERT INTO "journal" VALUES(1,'2027-01-02T03:04:05.000000000Z','museum','box-edging-shear','now-go','Box edging: go');
INSERT INTO "journal" VALUES(2,'2027-01-02T03:04:05.000000000Z','museum','','mail-sent','250 it''s taken');
CREATE TABLE link_key (
    id INTEGER PRIMARY KEY CHECK (id = 1),
    key BLOB NOT NULL
) STRICT;
INSERT INTO "link_key" VALUES(1,X'000102030405060708090A0B0C0D0E0F101112131415161718191A1B1C1D1E1F');
CREATE TABLE looked (
    garden TEXT NOT NULL,
    day TEXT NOT NULL,
    slot TEXT NOT NULL,
    schedule TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, day, slot, schedule)
) STRICT, WITHOUT ROWID;
INSERT INTO "looked" VALUES('museum','2027-01-01','05:30:00','30 5,14 * * *','2027-01-01T10:30:00.000000000Z');
CREATE TABLE lost_weather (
    garden TEXT PRIMARY KEY,
    since TEXT NOT NULL,
    told_at TEXT
) STRICT, WITHOUT ROWID;
INSERT INTO "lost_weather" VALUES('museum','2027-01-02T03:04:05.000000000Z','2027-01-02T03:04:05.000000000Z');
CREATE TABLE night (
    garden TEXT NOT NULL,
    morning TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('clear-still', 'other')),
    PRIMARY KEY (garden, morning)
) STRICT, WITHOUT ROWID;
INSERT INTO "night" VALUES('museum','2027-01-02','clear-still');
CREATE TABLE "outbox" (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    key TEXT NOT NULL UNIQUE,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    topic TEXT NOT NULL,
    recipient TEXT NOT NULL,
    subject TEXT NOT NULL,
    text TEXT NOT NULL,
    html TEXT NOT NULL,
    enclosed TEXT NOT NULL DEFAULT '{}',
    says TEXT NOT NULL DEFAULT '{}',
    queued_at TEXT NOT NULL,
    until TEXT,
    state TEXT NOT NULL
        CHECK (state IN ('queued', 'sending', 'sent', 'deferred', 'refused', 'unknown', 'cancelled')),
    stage TEXT CHECK (stage IN ('talk', 'content')),
    tries INTEGER NOT NULL DEFAULT 0,
    doubts INTEGER NOT NULL DEFAULT 0,
    next_try_at TEXT,
    last_reply TEXT
, letter TEXT NOT NULL DEFAULT '') STRICT;
INSERT INTO "outbox" VALUES(5,'museum.2027-01-02.box.now-go','museum','box-edging-shear','cut','keeper@example.org','Box edging: go','Go.','<p>Go.</p>','{}','{}','2027-01-02T03:04:05.000000000Z',NULL,'sent',NULL,1,0,NULL,'250 taken','museum.2027-01-02.box.now-go');
INSERT INTO "outbox" VALUES(6,'museum.2027-01-02.hedge.put-off','museum','hedge-shear','cut','keeper@example.org','Hedge: wait','Wait.','<p>Wait.</p>','{}','{}','2027-01-02T03:04:05.000000000Z',NULL,'queued',NULL,0,0,'2027-01-02T03:04:05.000000000Z',NULL,'museum.2027-01-02.hedge.put-off');
CREATE TABLE reading (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    at TEXT NOT NULL,
    celsius REAL NOT NULL,
    PRIMARY KEY (garden, sensor, at)
) STRICT, WITHOUT ROWID;
INSERT INTO "reading" VALUES('museum','thermometer','2027-01-02T03:04:05.000000000Z',-1.25);
CREATE TABLE reading_refused (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    why TEXT NOT NULL,
    times INTEGER NOT NULL,
    last_at TEXT NOT NULL,
    PRIMARY KEY (garden, sensor, why)
) STRICT, WITHOUT ROWID;
INSERT INTO "reading_refused" VALUES('museum','thermometer','jump',2,'2027-01-02T03:04:05.000000000Z');
CREATE TABLE refusal (
    recipient TEXT NOT NULL,
    day TEXT NOT NULL,
    reply TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (recipient, day)
) STRICT, WITHOUT ROWID;
INSERT INTO "refusal" VALUES('keeper@example.org','2027-01-02','550 5.1.1 no such mailbox',NULL);
CREATE TABLE restored (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    known_until TEXT,
    why TEXT NOT NULL,
    kept_as TEXT,
    told_at TEXT
) STRICT, WITHOUT ROWID;
INSERT INTO "restored" VALUES('museum','2027-01-02T03:04:05.000000000Z',NULL,'by hand',NULL,'2027-01-02T03:04:05.000000000Z');
CREATE TABLE round (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL
, skills TEXT NOT NULL DEFAULT '[]', watches TEXT NOT NULL DEFAULT '[]', prospect TEXT NOT NULL DEFAULT 'null') STRICT, WITHOUT ROWID;
INSERT INTO "round" VALUES('museum','2027-01-02T03:04:05.000000000Z','[]','[]','null');
CREATE TABLE said (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    at TEXT NOT NULL,
    wished TEXT,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;
INSERT INTO "said" VALUES('museum','box-edging-shear','now-go','2027-01-02T03:04:05.000000000Z','2027-04-22');
INSERT INTO "said" VALUES('museum','röschen; DROP TABLE said','put-off','2027-01-02T03:04:05.000000000Z',NULL);
CREATE TABLE said_after (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    done_on TEXT NOT NULL,
    alarm TEXT NOT NULL,
    night TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, cut, done_on, alarm, night)
) STRICT, WITHOUT ROWID;
INSERT INTO "said_after" VALUES('museum','hedge-shear','2026-09-01','cover-tonight','2026-09-20','2027-01-02T03:04:05.000000000Z');
CREATE TABLE sighting (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    garden TEXT NOT NULL,
    planting TEXT NOT NULL,
    event TEXT NOT NULL,
    day TEXT NOT NULL,
    told_at TEXT NOT NULL,
    undone_at TEXT
) STRICT;
INSERT INTO "sighting" VALUES(1,'museum','old lilac','bloom-begin','2026-05-02','2027-01-02T03:04:05.000000000Z',NULL);
CREATE TABLE source_trouble (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    trouble TEXT NOT NULL CHECK (trouble IN ('silent', 'odd')),
    since TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (garden, source, trouble)
) STRICT, WITHOUT ROWID;
INSERT INTO "source_trouble" VALUES('museum','invented','silent','2027-01-02T03:04:05.000000000Z',NULL);
CREATE TABLE station_file (
    garden TEXT PRIMARY KEY,
    file TEXT NOT NULL,
    bytes INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO "station_file" VALUES('museum','station.csv',4096);
CREATE TABLE waiting (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    since TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;
INSERT INTO "waiting" VALUES('museum','hedge-shear','closing','2027-01-02T03:04:05.000000000Z');
CREATE TABLE warned (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    heard_at TEXT NOT NULL,
    warnings TEXT NOT NULL,
    PRIMARY KEY (garden, source)
) STRICT, WITHOUT ROWID;
INSERT INTO "warned" VALUES('museum','invented','2027-01-02T03:04:05.000000000Z','[]');
CREATE TABLE past (
    id INTEGER PRIMARY KEY,
    question TEXT NOT NULL UNIQUE,
    origin TEXT NOT NULL,
    site TEXT,
    fetched_at TEXT NOT NULL
) STRICT;
INSERT INTO "past" VALUES(7,'here','an invented station',NULL,'2027-01-02T03:04:05.000000000Z');
CREATE TABLE "run" (
    id INTEGER PRIMARY KEY,
    question TEXT NOT NULL,
    slot TEXT NOT NULL,
    fetched_at TEXT NOT NULL,
    data_at TEXT NOT NULL,
    source TEXT NOT NULL,
    forecast TEXT NOT NULL,
    days TEXT,
    UNIQUE (question, slot)
) STRICT;
INSERT INTO "run" VALUES(3,'of museum','2027-01-02/0 invented','2027-01-02T03:04:05.000000000Z','2027-01-02T03:04:05.000000000Z','invented','{"source": "invented", "attribution": "invented weather", "data_at": "2027-01-02T03:00:00Z", "elevation": null, "run": {"start": "2027-01-02T03:00:00Z", "temperature": [1.5, null]}, "members": []}',NULL);
CREATE TABLE verdict (
    garden TEXT NOT NULL REFERENCES round (garden) ON DELETE CASCADE,
    cut TEXT NOT NULL,
    place INTEGER NOT NULL,
    state TEXT NOT NULL,
    verdict TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT, WITHOUT ROWID;
INSERT INTO "verdict" VALUES('museum','box-edging-shear',0,'go','{}');
CREATE TABLE past_day (
    past INTEGER NOT NULL REFERENCES past (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    min_c REAL,
    max_c REAL,
    PRIMARY KEY (past, day)
) STRICT, WITHOUT ROWID;
INSERT INTO "past_day" VALUES(7,'2026-12-30',-3.5,2.0);
INSERT INTO "past_day" VALUES(7,'2026-12-31',NULL,4.25);
CREATE TABLE footing (
    garden TEXT PRIMARY KEY REFERENCES round (garden) ON DELETE CASCADE,
    cuts TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO "footing" VALUES('museum','[]');
CREATE INDEX journal_by_garden ON journal (garden, id);
CREATE TRIGGER journal_is_not_edited BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'a journal line is never edited'); END;
CREATE INDEX deed_by_cut ON deed (garden, cut, day);
CREATE TRIGGER deed_is_not_edited
BEFORE UPDATE OF id, garden, cut, planting, day, share, note, told_at ON deed
BEGIN SELECT RAISE(ABORT, 'a deed is never edited'); END;
CREATE TRIGGER deed_is_not_deleted BEFORE DELETE ON deed
BEGIN SELECT RAISE(ABORT, 'a deed is never deleted'); END;
CREATE INDEX sighting_by_planting ON sighting (garden, planting, event, day);
CREATE TRIGGER sighting_is_not_edited
BEFORE UPDATE OF id, garden, planting, event, day, told_at ON sighting
BEGIN SELECT RAISE(ABORT, 'a sighting is never edited'); END;
CREATE TRIGGER sighting_is_not_deleted BEFORE DELETE ON sighting
BEGIN SELECT RAISE(ABORT, 'a sighting is never deleted'); END;
CREATE INDEX answer_of_garden ON answer (garden, answer);
CREATE INDEX journal_by_time ON journal (at);
CREATE TRIGGER journal_is_not_shortened BEFORE DELETE ON journal
WHEN julianday(OLD.at) > (SELECT julianday(max(at)) FROM journal) - 1096
BEGIN SELECT RAISE(ABORT, 'a journal line is never deleted before its time'); END;
CREATE INDEX outbox_due ON outbox (next_try_at) WHERE next_try_at IS NOT NULL;
CREATE INDEX outbox_by_cut ON outbox (garden, cut);
CREATE INDEX outbox_by_letter ON outbox (letter);
CREATE INDEX run_by_age ON run (question, fetched_at);
PRAGMA application_id = 1651860599;
PRAGMA user_version = 19;
