//! The later steps, from the mails that tell their end on.

/// Mails whose end is told more exactly: how far the talk with the mail server had come, and how often nobody could tell
/// whether the mail arrived. Of older mails that failed, an answer of the mail server tells the refused ones.
pub(super) const MAILS: &str = "
CREATE TABLE mail (
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
) STRICT;
INSERT INTO mail (id, key, garden, cut, topic, recipient, subject, text, html, enclosed, says, queued_at, until,
    state, stage, tries, next_try_at, last_reply)
SELECT id, key, garden, cut, topic, recipient, subject, text, html, enclosed, says, queued_at, until,
    CASE state
        WHEN 'queued' THEN iif(tries = 0, 'queued', 'deferred')
        WHEN 'failed' THEN iif(last_reply IS NULL, 'cancelled', 'refused')
        ELSE state
    END,
    iif(state = 'sending', 'content', NULL), tries, next_try_at, last_reply
FROM outbox;
DROP TABLE outbox;
ALTER TABLE mail RENAME TO outbox;
CREATE INDEX outbox_due ON outbox (next_try_at) WHERE next_try_at IS NOT NULL;
CREATE INDEX outbox_by_cut ON outbox (garden, cut);
";

/// A mail of its own for each reader of a letter; addresses that the mail server refuses, day by day; a no to letters that
/// holds for one reader.
pub(super) const READERS: &str = "
ALTER TABLE outbox ADD COLUMN letter TEXT NOT NULL DEFAULT '';
UPDATE outbox SET letter = key;
CREATE INDEX outbox_by_letter ON outbox (letter);
ALTER TABLE answer ADD COLUMN reader TEXT NOT NULL DEFAULT '';
CREATE TABLE refusal (
    recipient TEXT NOT NULL,
    day TEXT NOT NULL,
    reply TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (recipient, day)
) STRICT, WITHOUT ROWID;
";

/// What each run says day by day. Of a run that is not the last of its source these are all that is kept; runs of an older
/// program have none and stay whole.
pub(super) const DAYS: &str = "
ALTER TABLE run ADD COLUMN days TEXT;
";

/// Past years by the question that they answer, for all gardens that ask it. What an older program kept of a garden without
/// its question is that garden's alone.
pub(super) const PASTS: &str = "
CREATE TABLE past (
    id INTEGER PRIMARY KEY,
    question TEXT NOT NULL UNIQUE,
    origin TEXT NOT NULL,
    site TEXT,
    fetched_at TEXT NOT NULL
) STRICT;

CREATE TABLE past_day (
    past INTEGER NOT NULL REFERENCES past (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    min_c REAL,
    max_c REAL,
    PRIMARY KEY (past, day)
) STRICT, WITHOUT ROWID;

INSERT INTO past (id, question, origin, site, fetched_at)
SELECT id, coalesce(question, 'of ' || garden) AS asked, origin, site, max(fetched_at) FROM record GROUP BY asked;
INSERT INTO past_day SELECT record, day, min_c, max_c FROM record_day WHERE record IN (SELECT id FROM past);
DROP TABLE record_day;
DROP TABLE record;
";

/// What each look leaves for the next one to stand on, beside the verdicts: it is read at every look, they when somebody
/// wants to see them.
pub(super) const FOOTING: &str = "
CREATE TABLE footing (
    garden TEXT PRIMARY KEY REFERENCES round (garden) ON DELETE CASCADE,
    cuts TEXT NOT NULL
) STRICT, WITHOUT ROWID;
";

/// Forecast runs by the question that they answer, as past years are.
pub(super) const RUNS: &str = "
CREATE TABLE answer_run (
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
INSERT INTO answer_run (id, question, slot, fetched_at, data_at, source, forecast, days)
SELECT id, 'of ' || garden, slot, fetched_at, data_at, source, forecast, days FROM run;
DROP TABLE run;
ALTER TABLE answer_run RENAME TO run;
CREATE INDEX run_by_age ON run (question, fetched_at);
";

/// Rows of many kilobytes stand in tables that are found by row: in a tree by key a search reads whole rows on its way
/// (SQLite, WITHOUT ROWID: rows beyond a twentieth of a page).
pub(super) const LARGE: &str = "
CREATE TABLE large_round (
    garden TEXT PRIMARY KEY NOT NULL,
    at TEXT NOT NULL,
    skills TEXT NOT NULL DEFAULT '[]',
    watches TEXT NOT NULL DEFAULT '[]',
    prospect TEXT NOT NULL DEFAULT 'null'
) STRICT;
INSERT INTO large_round (garden, at, skills, watches, prospect) SELECT garden, at, skills, watches, prospect FROM round;

CREATE TABLE large_verdict (
    garden TEXT NOT NULL REFERENCES large_round (garden) ON DELETE CASCADE,
    cut TEXT NOT NULL,
    place INTEGER NOT NULL,
    state TEXT NOT NULL,
    verdict TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
) STRICT;
INSERT INTO large_verdict (garden, cut, place, state, verdict) SELECT garden, cut, place, state, verdict FROM verdict;

CREATE TABLE large_footing (
    garden TEXT PRIMARY KEY NOT NULL REFERENCES large_round (garden) ON DELETE CASCADE,
    cuts TEXT NOT NULL
) STRICT;
INSERT INTO large_footing (garden, cuts) SELECT garden, cuts FROM footing;

DROP TABLE footing;
DROP TABLE verdict;
DROP TABLE round;
ALTER TABLE large_round RENAME TO round;
ALTER TABLE large_verdict RENAME TO verdict;
ALTER TABLE large_footing RENAME TO footing;
";
