//! The tables on a database server, as a list of steps; of the same columns as those of a file after all of its steps.
//!
//! A step that has been released is never edited. Every text sorts by its bytes, as in a file. Two functions of SQLite
//! that statements use stand beside the tables.

/// Every step, oldest first.
pub(in crate::store) const SERVER: [&str; 1] = [TABLES];

const TABLES: &str = "
CREATE FUNCTION julianday(day text) RETURNS double precision LANGUAGE sql STABLE STRICT AS
    $$ SELECT CAST(EXTRACT(julian FROM CAST(day AS timestamptz) AT TIME ZONE 'UTC') - 0.5 AS double precision) $$;
CREATE FUNCTION json_extract(json text, path text) RETURNS text LANGUAGE sql IMMUTABLE STRICT AS
    $$ SELECT CAST(json AS json) ->> substr(path, 3) $$;
CREATE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS
    $$ BEGIN RAISE EXCEPTION '%', TG_ARGV[0]; END $$;

CREATE SEQUENCE changes;
SELECT nextval('changes');

CREATE TABLE daemon (
    holder TEXT PRIMARY KEY,
    until timestamptz NOT NULL
);

CREATE TABLE lease (
    garden TEXT PRIMARY KEY,
    holder TEXT NOT NULL DEFAULT '',
    until timestamptz NOT NULL DEFAULT '-infinity',
    asked BOOLEAN NOT NULL DEFAULT FALSE
);
CREATE INDEX lease_by_holder ON lease (holder);
CREATE INDEX lease_by_end ON lease (until);

CREATE TABLE round (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    skills TEXT NOT NULL DEFAULT '[]',
    watches TEXT NOT NULL DEFAULT '[]',
    prospect TEXT NOT NULL DEFAULT 'null'
);

CREATE TABLE verdict (
    garden TEXT NOT NULL REFERENCES round (garden) ON DELETE CASCADE,
    cut TEXT NOT NULL,
    place BIGINT NOT NULL,
    state TEXT NOT NULL,
    verdict TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
);

CREATE TABLE footing (
    garden TEXT PRIMARY KEY REFERENCES round (garden) ON DELETE CASCADE,
    cuts TEXT NOT NULL
);

CREATE TABLE said (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    at TEXT NOT NULL,
    wished TEXT,
    PRIMARY KEY (garden, cut)
);

CREATE TABLE said_after (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    done_on TEXT NOT NULL,
    alarm TEXT NOT NULL,
    night TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, cut, done_on, alarm, night)
);

CREATE TABLE waiting (
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    news TEXT NOT NULL,
    since TEXT NOT NULL,
    PRIMARY KEY (garden, cut)
);

CREATE TABLE looked (
    garden TEXT NOT NULL,
    day TEXT NOT NULL,
    slot TEXT NOT NULL,
    schedule TEXT NOT NULL,
    at TEXT NOT NULL,
    PRIMARY KEY (garden, day, slot, schedule)
);

CREATE TABLE journal (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    at TEXT NOT NULL,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    what TEXT NOT NULL,
    detail TEXT NOT NULL
);
CREATE INDEX journal_by_garden ON journal (garden, id);
CREATE INDEX journal_by_time ON journal (at);
CREATE TRIGGER journal_is_not_edited BEFORE UPDATE ON journal
FOR EACH ROW EXECUTE FUNCTION refuse('a journal line is never edited');
CREATE FUNCTION refuse_to_shorten() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF julianday(OLD.at) > (SELECT julianday(max(at)) FROM journal) - 1096 THEN
        RAISE EXCEPTION 'a journal line is never deleted before its time';
    END IF;
    RETURN OLD;
END $$;
CREATE TRIGGER journal_is_not_shortened BEFORE DELETE ON journal
FOR EACH ROW EXECUTE FUNCTION refuse_to_shorten();

CREATE TABLE outbox (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
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
    tries BIGINT NOT NULL DEFAULT 0,
    doubts BIGINT NOT NULL DEFAULT 0,
    next_try_at TEXT,
    last_reply TEXT,
    letter TEXT NOT NULL DEFAULT ''
);
CREATE INDEX outbox_due ON outbox (next_try_at) WHERE next_try_at IS NOT NULL;
CREATE INDEX outbox_by_cut ON outbox (garden, cut);
CREATE INDEX outbox_by_letter ON outbox (letter);
CREATE INDEX outbox_on_its_way ON outbox (garden) WHERE state = 'sending';

CREATE TABLE refusal (
    recipient TEXT NOT NULL,
    day TEXT NOT NULL,
    reply TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (recipient, day)
);

CREATE TABLE deed (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    planting TEXT NOT NULL,
    day TEXT NOT NULL,
    share BIGINT CHECK (share BETWEEN 1 AND 100),
    note TEXT,
    told_at TEXT NOT NULL,
    undone_at TEXT
);
CREATE INDEX deed_by_cut ON deed (garden, cut, day);
CREATE TRIGGER deed_is_not_edited
BEFORE UPDATE OF id, garden, cut, planting, day, share, note, told_at ON deed
FOR EACH ROW EXECUTE FUNCTION refuse('a deed is never edited');
CREATE TRIGGER deed_is_not_deleted BEFORE DELETE ON deed
FOR EACH ROW EXECUTE FUNCTION refuse('a deed is never deleted');

CREATE TABLE sighting (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    garden TEXT NOT NULL,
    planting TEXT NOT NULL,
    event TEXT NOT NULL,
    day TEXT NOT NULL,
    told_at TEXT NOT NULL,
    undone_at TEXT
);
CREATE INDEX sighting_by_planting ON sighting (garden, planting, event, day);
CREATE TRIGGER sighting_is_not_edited
BEFORE UPDATE OF id, garden, planting, event, day, told_at ON sighting
FOR EACH ROW EXECUTE FUNCTION refuse('a sighting is never edited');
CREATE TRIGGER sighting_is_not_deleted BEFORE DELETE ON sighting
FOR EACH ROW EXECUTE FUNCTION refuse('a sighting is never deleted');

CREATE TABLE answer (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    mark TEXT NOT NULL UNIQUE,
    garden TEXT NOT NULL,
    cut TEXT NOT NULL,
    answer TEXT NOT NULL,
    day TEXT NOT NULL,
    silent_until TEXT,
    told_at TEXT NOT NULL,
    undone_at TEXT,
    reader TEXT NOT NULL DEFAULT ''
);
CREATE INDEX answer_of_garden ON answer (garden, answer);

CREATE TABLE link_key (
    id BIGINT PRIMARY KEY CHECK (id = 1),
    key BYTEA NOT NULL
);

CREATE TABLE restored (
    garden TEXT PRIMARY KEY,
    at TEXT NOT NULL,
    known_until TEXT,
    why TEXT NOT NULL,
    kept_as TEXT,
    told_at TEXT
);

CREATE TABLE source_trouble (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    trouble TEXT NOT NULL CHECK (trouble IN ('silent', 'odd')),
    since TEXT NOT NULL,
    told_at TEXT,
    PRIMARY KEY (garden, source, trouble)
);

CREATE TABLE lost_weather (
    garden TEXT PRIMARY KEY,
    since TEXT NOT NULL,
    told_at TEXT
);

CREATE TABLE warned (
    garden TEXT NOT NULL,
    source TEXT NOT NULL,
    heard_at TEXT NOT NULL,
    warnings TEXT NOT NULL,
    PRIMARY KEY (garden, source)
);

CREATE TABLE reading (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    at TEXT NOT NULL,
    celsius double precision NOT NULL,
    PRIMARY KEY (garden, sensor, at)
);

CREATE TABLE reading_refused (
    garden TEXT NOT NULL,
    sensor TEXT NOT NULL,
    why TEXT NOT NULL,
    times BIGINT NOT NULL,
    last_at TEXT NOT NULL,
    PRIMARY KEY (garden, sensor, why)
);

CREATE TABLE station_file (
    garden TEXT PRIMARY KEY,
    file TEXT NOT NULL,
    bytes BIGINT NOT NULL
);

CREATE TABLE night (
    garden TEXT NOT NULL,
    morning TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('clear-still', 'other')),
    PRIMARY KEY (garden, morning)
);

CREATE TABLE past (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    question TEXT NOT NULL UNIQUE,
    origin TEXT NOT NULL,
    site TEXT,
    fetched_at TEXT NOT NULL
);

CREATE TABLE past_day (
    past BIGINT NOT NULL REFERENCES past (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    min_c double precision,
    max_c double precision,
    PRIMARY KEY (past, day)
);

CREATE TABLE run (
    id BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    question TEXT NOT NULL,
    slot TEXT NOT NULL,
    fetched_at TEXT NOT NULL,
    data_at TEXT NOT NULL,
    source TEXT NOT NULL,
    forecast TEXT NOT NULL,
    days TEXT,
    UNIQUE (question, slot)
);
CREATE INDEX run_by_age ON run (question, fetched_at);
";
