//! What the program promises whatever happens, held against what its mail server saw and its store says.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use budward::config::GardenSettings;
use budward::daemon::{Told, Word};
use budward::forecast::FRESH_FOR;
use budward::notice::News;
use budward::store::StoreAt;
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use rusqlite::{Connection, OptionalExtension};
use serde_json::Value;

use super::relay::Taken;
use crate::database::on;

/// The most mails a day to one reader of a garden.
const MOST_A_DAY: u32 = 6;

/// How long a put-off may stand while the cut is go: the weather may be lost for nine days, and a letter waits a day.
const RELEASED_WITHIN: TimeDelta = TimeDelta::days(11);

/// How long a mail may wait: it is tried for five days, and the clock may be off by some.
const WAITS_FOR: TimeDelta = TimeDelta::days(8);

/// A row of the outbox.
struct Row {
    garden: String,
    warns: bool,
    /// Each cut of which it speaks and what it says.
    cuts: Vec<(String, String)>,
}

#[derive(Debug, Default)]
pub(super) struct Promises {
    /// When the newest good forecast of each garden was made.
    good_at: BTreeMap<usize, DateTime<Utc>>,
    /// The last decision on each cut.
    last: BTreeMap<(usize, String), News>,
    /// The gos that a reader has had and that nothing else has followed.
    goes: BTreeSet<(usize, String, String)>,
    copies: BTreeMap<(String, String), u32>,
    a_day: BTreeMap<(usize, String, NaiveDate), u32>,
    put_off: BTreeMap<(String, String), DateTime<Utc>>,
    made: BTreeSet<(String, String)>,
    broken: Vec<String>,
    /// Whether they are held against the file; of a database only the log is compared.
    is_watching: bool,
}

impl Promises {
    /// Those of a store.
    pub(super) fn of(store: &StoreAt) -> Self {
        Self {
            is_watching: store.file().is_some(),
            ..Self::default()
        }
    }

    fn broken(&mut self, at: DateTime<Utc>, what: &str) {
        self.broken.push(format!("{at}: {what}"));
    }

    pub(super) fn weather(&mut self, garden: usize, now: DateTime<Utc>) {
        self.good_at.insert(garden, now);
    }

    /// A decision: a go needs weather that is fresh by the clock, and a letter that says it.
    pub(super) fn told(
        &mut self,
        folder: &Path,
        (garden, told): (usize, &Told),
        shown: DateTime<Utc>,
    ) {
        let Word::News(news) = told.news else { return };
        if !self.is_watching {
            return;
        }
        if news == News::NowGo {
            let age = self.good_at.get(&garden).map(|at| shown - *at);
            let is_fresh = age.is_some_and(|age| age <= FRESH_FOR + TimeDelta::hours(1));
            if !is_fresh {
                self.broken(
                    shown,
                    &format!("a go for {} on weather of age {age:?}", told.cut),
                );
            }
        } else {
            if news == News::PutOff {
                self.put_off_to_all(folder, (garden, &told.cut), shown);
            }
            self.goes
                .retain(|(of, cut, _)| (*of, cut) != (garden, &told.cut));
        }
        self.last.insert((garden, told.cut.clone()), news);
        let query =
            "SELECT count(*) FROM outbox WHERE garden = ?1 AND topic = 'letter' AND says LIKE ?2
             AND state IN ('queued', 'sending')";
        let name = format!("g{garden}");
        let letters: i64 = open(folder)
            .query_row(query, [&name, &format!("%\"{}\"%", told.cut)], |row| {
                row.get(0)
            })
            .unwrap();
        if letters <= 0 {
            self.broken(
                shown,
                &format!("{} was decided and no letter says it", told.cut),
            );
        }
    }

    /// Whoever has had the go has a letter that puts it off.
    fn put_off_to_all(
        &mut self,
        folder: &Path,
        (garden, cut): (usize, &String),
        shown: DateTime<Utc>,
    ) {
        let conn = open(folder);
        let query = "SELECT count(*) FROM outbox
                     WHERE garden = ?1 AND recipient = ?2 AND says LIKE ?3 AND queued_at >= ?4";
        let since = shown.format("%Y-%m-%dT%H:%M:%S").to_string();
        let (name, says) = (format!("g{garden}"), format!("%[\"{cut}\",\"put-off\"%"));
        let had = self
            .goes
            .iter()
            .filter(|(of, go, _)| (*of, go) == (garden, cut));
        let without: Vec<String> = had
            .map(|(_, _, reader)| reader.clone())
            .filter(|reader| {
                let letters: i64 = conn
                    .query_row(query, [&name, reader, &says, &since], |row| row.get(0))
                    .unwrap();
                letters == 0
            })
            .collect();
        for reader in without {
            self.broken(
                shown,
                &format!("{cut} is put off and {reader}, who has had the go, gets no letter"),
            );
        }
    }

    pub(super) fn made(&mut self, garden: usize, cut: &str) {
        self.made.insert((format!("g{garden}"), cut.to_owned()));
        self.goes
            .retain(|(of, other, _)| (*of, other.as_str()) != (garden, cut));
    }

    /// The mails that came.
    pub(super) fn mails(
        &mut self,
        folder: &Path,
        taken: &[Taken],
        (_, shown): (DateTime<Utc>, DateTime<Utc>),
        gardens: &[Arc<GardenSettings>],
    ) {
        if taken.is_empty() || !self.is_watching {
            return;
        }
        let conn = open(folder);
        for mail in taken {
            let copies = self
                .copies
                .entry((mail.id.clone(), mail.to.clone()))
                .or_default();
            *copies += 1;
            let copies = *copies;
            let Some(row) = row(&conn, &mail.id.replace("=40", "@"), &mail.to) else {
                self.broken(shown, &format!("{} came and is in no outbox", mail.id));
                continue;
            };
            if copies > 2 {
                self.broken(shown, &format!("{} came {copies} times", mail.id));
            }
            if copies > 1 {
                if !row.warns {
                    self.broken(
                        shown,
                        &format!("{} warns of nothing and came twice", mail.id),
                    );
                }
                continue;
            }
            let garden: usize = row.garden.trim_start_matches('g').parse().unwrap();
            let zone = &gardens[garden].garden.place.zone;
            let day = self
                .a_day
                .entry((garden, mail.to.clone(), zone.date(shown)))
                .or_default();
            *day += 1;
            let day = *day;
            if day > MOST_A_DAY {
                self.broken(shown, &format!("{} is mail {day} of a day", mail.id));
            }
            self.news(garden, mail, &row, shown);
        }
    }

    /// What a mail says: a go comes once, is the last word, and does not come late.
    fn news(&mut self, garden: usize, mail: &Taken, row: &Row, shown: DateTime<Utc>) {
        for (cut, news) in &row.cuts {
            let go = (garden, cut.clone(), mail.to.clone());
            if news != "now-go" {
                self.goes.remove(&go);
                continue;
            }
            let age = self.good_at.get(&garden).map(|at| shown - *at);
            // The look before was made on fresh weather, and the next one would have taken it back.
            let is_fresh = age.is_some_and(|age| age <= FRESH_FOR + TimeDelta::hours(31));
            if !is_fresh {
                self.broken(
                    shown,
                    &format!("{} says go on weather of age {age:?}", mail.id),
                );
            }
            let last = self.last.get(&(garden, cut.clone())).copied();
            if last != Some(News::NowGo) {
                self.broken(
                    shown,
                    &format!("{} says go, the last word is {last:?}", mail.id),
                );
            }
            let is_first = self.goes.insert(go);
            if !is_first {
                self.broken(
                    shown,
                    &format!("{} says go for {cut} to {} again", mail.id, mail.to),
                );
            }
        }
    }

    /// How all stands after a moment: no mail waits for ever, and no put-off outlives its reason.
    pub(super) fn stand(&mut self, folder: &Path, now: DateTime<Utc>) {
        if !self.is_watching {
            return;
        }
        let conn = open(folder);
        let query = "SELECT count(*) FROM outbox WHERE next_try_at IS NOT NULL AND queued_at < ?1";
        let old = (now - WAITS_FOR).format("%Y-%m-%dT%H:%M:%SZ").to_string();
        let stuck: i64 = conn.query_row(query, [old], |row| row.get(0)).unwrap();
        if stuck != 0 {
            self.broken(now, &format!("{stuck} mails wait for ever"));
        }
        let mut open = conn
            .prepare(
                "SELECT garden, cut FROM verdict JOIN said USING (garden, cut)
                 WHERE state = 'go' AND news = 'put-off'",
            )
            .unwrap();
        let found = open
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap();
        let found: BTreeSet<(String, String)> = found.map(Result::unwrap).collect();
        self.put_off.retain(|cut, _| found.contains(cut));
        for cut in found {
            let since = *self.put_off.entry(cut.clone()).or_insert(now);
            let is_released = now - since <= RELEASED_WITHIN || self.made.contains(&cut);
            if !is_released {
                self.broken(
                    now,
                    &format!("{cut:?} is go since {since} and still said to be put off"),
                );
            }
        }
        self.ends(&conn, now);
    }

    /// A mail is noted as sent only if it came, and if it came it is noted as sent, or as one of unknown fate.
    fn ends(&mut self, conn: &Connection, now: DateTime<Utc>) {
        let mut rows = conn
            .prepare("SELECT key, recipient, state, doubts FROM outbox")
            .unwrap();
        let rows: Vec<(String, String, String, u32)> = rows
            .query_map([], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })
            .unwrap()
            .map(Result::unwrap)
            .collect();
        for (key, to, state, doubts) in rows {
            let came = self
                .copies
                .get(&(key.replace('@', "=40"), to))
                .copied()
                .unwrap_or_default();
            let fits = match state.as_str() {
                "sent" => came > 0,
                "queued" | "deferred" | "refused" | "cancelled" => came == 0 || doubts > 0,
                _ => true,
            };
            if !fits {
                self.broken(now, &format!("{key} is {state} and came {came} times"));
            }
        }
    }

    /// What was broken, and how many mails came twice.
    pub(super) fn end(mut self, folder: &Path) -> (Vec<String>, u64) {
        if !self.is_watching {
            return (Vec::new(), 0);
        }
        let sound: String = open(folder)
            .query_row("PRAGMA integrity_check", [], |row| row.get(0))
            .unwrap();
        if sound != "ok" {
            self.broken(DateTime::UNIX_EPOCH, &sound);
        }
        let twice = self.copies.values().filter(|copies| **copies > 1).count();
        (self.broken, u64::try_from(twice).unwrap())
    }
}

fn open(folder: &Path) -> Connection {
    Connection::open(folder.join("store.sqlite3")).unwrap()
}

fn row(conn: &Connection, key: &str, to: &str) -> Option<Row> {
    conn.prepare_cached("SELECT garden, says, topic FROM outbox WHERE key = ?1 AND recipient = ?2")
        .unwrap()
        .query_row([key, to], |row| {
            let (says, topic): (String, String) = (row.get("says")?, row.get("topic")?);
            let says: Value = serde_json::from_str(&says).unwrap();
            let list = |name: &str| says[name].as_array().cloned().unwrap_or_default();
            let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
            let cuts: Vec<(String, String)> = list("cuts")
                .iter()
                .map(|one| (text(&one[0]), text(&one[1])))
                .collect();
            let warns = !list("after").is_empty()
                || cuts.iter().any(|(_, news)| news == "put-off")
                || ["cover-tonight", "frost-seen", "below-now"].contains(&topic.as_str());
            Ok(Row {
                garden: row.get("garden")?,
                warns,
                cuts,
            })
        })
        .optional()
        .unwrap()
}

/// The journal, for the log of a seed, without the name of its folder.
pub(super) fn journal(store: &StoreAt, folder: &Path) -> Vec<String> {
    let lines = match store {
        StoreAt::Database(database) => on(&database.server, |client| async move {
            let find = "SELECT at, garden, cut, what, detail FROM journal ORDER BY id";
            let rows = client.query(find, &[]).await.unwrap();
            let line = |row: &tokio_postgres::Row| line(|place| row.get(place));
            rows.iter().map(line).collect::<Vec<_>>()
        }),
        StoreAt::File(_) | StoreAt::Memory => {
            let conn = open(folder);
            let mut lines = conn
                .prepare("SELECT at, garden, cut, what, detail FROM journal ORDER BY rowid")
                .unwrap();
            let line = |row: &rusqlite::Row<'_>| Ok(line(|place| row.get(place).unwrap()));
            let lines = lines.query_map([], line).unwrap();
            lines.map(Result::unwrap).collect()
        }
    };
    let own = folder.display().to_string();
    lines.iter().map(|line| line.replace(&own, "")).collect()
}

fn line(text: impl Fn(usize) -> String) -> String {
    let texts: Vec<String> = (0..5).map(text).collect();
    texts.join(" ")
}
