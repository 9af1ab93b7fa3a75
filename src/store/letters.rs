//! Letters: what was said before a round as if those that have not gone out were never written, what waits for its
//! letter, and how a letter that has not gone out is taken back.
//!
//! A letter that waits for the end of the night or for a mail server may be overtaken: by the next round some of it is no
//! longer true, or there is more to say. Then it is taken back, what it said counts as unsaid, and the round says in one
//! letter what holds now. A letter on its way counts as said: it may arrive.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;
use serde::{Deserialize, Serialize};

use super::columns::{At, Day, Json, Word, execute};
use super::engine::{self, Connection, Transaction};
use super::outbox::{self, GIVE_UP, NEVER, OutboxItem, TRIED_FOR};
use super::readers::{Wait, groups, unsent};
use super::round::{Round, line};
use super::{Store, StoreError, journal};
use crate::notice::{News, Said, SaidAfter, Spell, Waiting};

/// The topic of letters in the outbox.
pub(super) const TOPIC: &str = "letter";

/// So many of the last letters are looked at.
const LETTERS_MAX: i64 = 30;

/// What a letter says, with what was said before, so that it can be taken back.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Says {
    /// The cuts and the last word on each before the letter.
    pub cuts: Vec<(String, News, Option<Said>)>,
    /// What is said after cuts.
    pub after: Vec<SaidAfter>,
    /// What is said of the weather as a whole and its spell before, by the name of the news and since when.
    pub weather: Option<(String, DateTime<Utc>, Option<Spell>)>,
    /// Whether the other readers had it before, so that to take it back does not unsay it.
    pub is_behind: bool,
}

/// A letter that has not gone out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unsent {
    /// The numbers of its mails that wait.
    pub ids: Vec<i64>,
    /// What it says.
    pub says: Says,
    /// Whether it stays and does not go.
    pub is_held: bool,
}

/// What was said in a garden before a round, as if the letters that have not gone out were never written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Before {
    /// The letters that have not gone out, oldest first.
    pub unsent: Vec<Unsent>,
    /// The last word on each cut.
    pub said: BTreeMap<String, Said>,
    /// What was said of cuts after they were made.
    pub after: Vec<SaidAfter>,
    /// Since when there is no weather.
    pub spell: Option<Spell>,
    /// What waits for its letter.
    pub waiting: Vec<Waiting>,
    /// When the last letters were written that went out, newest first.
    pub letters: Vec<DateTime<Utc>>,
}

impl Says {
    /// Whether both say the same, whatever was said before.
    pub fn is_same(&self, other: &Self) -> bool {
        let cuts = |says: &Self| {
            let mut cuts: Vec<(String, News)> = says
                .cuts
                .iter()
                .map(|(cut, news, _)| (cut.clone(), *news))
                .collect();
            cuts.sort();
            cuts
        };
        let weather = |says: &Self| {
            let weather = says.weather.as_ref();
            weather.map(|(name, since, _)| (name.clone(), *since))
        };
        let has =
            |one: &Self, other: &Self| one.after.iter().all(|said| other.after.contains(said));
        cuts(self) == cuts(other)
            && weather(self) == weather(other)
            && has(self, other)
            && has(other, self)
    }

    /// Whether it warns of something: that a cut is put off, or of what frost did or may do to one that was made.
    pub fn warns(&self) -> bool {
        let is_put_off = |(_, news, _): &(String, News, Option<Said>)| *news == News::PutOff;
        !self.after.is_empty() || self.cuts.iter().any(is_put_off)
    }

    /// What of it another one does not say, to readers who are behind.
    #[must_use]
    pub fn without(&self, other: &Self) -> Self {
        let is_told = |cut: &str| other.cuts.iter().any(|(told, _, _)| told == cut);
        let cuts = self.cuts.iter().filter(|(cut, _, _)| !is_told(cut));
        let after = self.after.iter().filter(|said| !other.after.contains(said));
        Self {
            cuts: cuts.cloned().collect(),
            after: after.cloned().collect(),
            weather: None,
            is_behind: true,
        }
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.cuts.is_empty() && self.after.is_empty() && self.weather.is_none()
    }
}

impl Store {
    /// The last word on each cut of a garden.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn last_words(&self, garden: &str) -> Result<BTreeMap<String, Said>, StoreError> {
        self.read("the last words", |conn| said(conn, garden))
    }

    /// What was said to the readers of a garden's letters; of cuts that were made on `since` or later. Readers for whom
    /// the same letters wait are together, those first for whom the fewest do; without readers there is one group of none.
    ///
    /// # Errors
    /// When the store cannot be read, or what it holds cannot be understood by this program.
    pub fn before(
        &self,
        garden: &str,
        readers: &[String],
        since: NaiveDate,
    ) -> Result<Vec<(Vec<String>, Before)>, StoreError> {
        let after = self.said_after(garden, since)?;
        let spell = self.spell(garden)?;
        self.read("what was said", |conn| {
            let all = Before {
                unsent: Vec::new(),
                said: said(conn, garden)?,
                after,
                spell,
                waiting: waiting(conn, garden)?,
                letters: letters(conn, garden)?,
            };
            let unsent = unsent(conn, garden)?;
            let groups = groups(&unsent, readers).into_iter();
            let before = |(readers, unsent)| {
                let before = Before {
                    unsent,
                    ..all.clone()
                };
                (readers, before.taken_back())
            };
            Ok(groups.map(before).collect())
        })
    }
}

impl Before {
    /// As if the letters that have not gone out were never written.
    fn taken_back(mut self) -> Self {
        for letter in self.unsent.iter().rev() {
            for (cut, _, before) in &letter.says.cuts {
                match before {
                    Some(said) => self.said.insert(cut.clone(), *said),
                    None => self.said.remove(cut),
                };
            }
            self.after.retain(|said| !letter.says.after.contains(said));
            if let Some((_, since, before)) = &letter.says.weather {
                let is_of_it = |spell: Spell| spell.since == *since;
                if self.spell.is_none_or(is_of_it) {
                    self.spell = *before;
                }
            }
        }
        self
    }
}

fn said(conn: &Connection, garden: &str) -> engine::Result<BTreeMap<String, Said>> {
    conn.prepare_cached("SELECT cut, news, at, wished FROM said WHERE garden = ?1")?
        .query_map([garden], |row| {
            let (Word(news), At(at)) = (row.get("news")?, row.get("at")?);
            let wished: Option<Day> = row.get("wished")?;
            let wished = wished.map(|Day(date)| date);
            Ok((row.get("cut")?, Said { news, at, wished }))
        })?
        .collect()
}

fn waiting(conn: &Connection, garden: &str) -> engine::Result<Vec<Waiting>> {
    conn.prepare_cached("SELECT cut, news, since FROM waiting WHERE garden = ?1 ORDER BY cut")?
        .query_map([garden], |row| {
            let (Word(news), At(since)) = (row.get("news")?, row.get("since")?);
            let cut = row.get("cut")?;
            Ok(Waiting { cut, news, since })
        })?
        .collect()
}

/// Whether mails still wait, all of them.
pub(super) fn all_wait(conn: &Connection, garden: &str, ids: &[i64]) -> engine::Result<bool> {
    let open = unsent(conn, garden)?;
    let waits = |id: &i64| {
        open.iter()
            .any(|letter| letter.waits.iter().any(|wait| wait.id == *id))
    };
    Ok(ids.iter().all(waits))
}

/// Gives up the mails of unknown fate that were to be sent once more and say something of a cut on which newer news is
/// told. The other warnings in such a letter count as unsaid: they are told again in a letter that is true.
pub(super) fn drop_overtaken(
    change: &Transaction<'_>,
    garden: &str,
    round: &Round,
) -> engine::Result<()> {
    let doubtful: Vec<OutboxItem> = change
        .prepare_cached(
            "SELECT * FROM outbox
             WHERE garden = ?1 AND topic = ?2 AND state = 'unknown' AND next_try_at IS NOT NULL ORDER BY id",
        )?
        .query_map([garden, TOPIC], outbox::item)?
        .collect::<engine::Result<_>>()?;
    let is_told = |cut: &str| round.told.iter().any(|told| told.cut == cut);
    for mail in doubtful {
        let find = "SELECT says FROM outbox WHERE id = ?1";
        let Json(says): Json<Says> = change.query_row(find, [mail.id], |row| row.get(0))?;
        if !says.cuts.iter().any(|(cut, _, _)| is_told(cut)) {
            continue;
        }
        execute(change, &format!("{GIVE_UP} WHERE id = ?1"), [mail.id])?;
        outbox::note(
            change,
            &mail,
            round.at,
            "mail-replaced",
            &mail.message.subject,
        )?;
        let is_lost =
            |(cut, news, _): &(String, News, Option<Said>)| *news == News::PutOff && !is_told(cut);
        let warnings = Says {
            cuts: says.cuts.into_iter().filter(is_lost).collect(),
            after: says.after,
            ..Says::default()
        };
        unsay(change, garden, &warnings)?;
    }
    Ok(())
}

/// When letters were written that went out or may have.
fn letters(conn: &Connection, garden: &str) -> engine::Result<Vec<DateTime<Utc>>> {
    conn.prepare_cached(
        "SELECT max(queued_at) FROM outbox
         WHERE garden = ?1 AND topic = ?2 AND state IN ('sent', 'sending', 'unknown')
         GROUP BY letter ORDER BY max(id) DESC LIMIT ?3",
    )?
    .query_map(params![garden, TOPIC, LETTERS_MAX], |row| {
        row.get(0).map(|At(at)| at)
    })?
    .collect()
}

/// Takes back mails that have not gone out, as a part of the round; gives what the letters said of cuts that went to nobody
/// and now wait for nobody any more: that is unsaid.
pub(super) fn take_back(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
    ids: &[i64],
) -> engine::Result<Vec<(String, News)>> {
    let mut unsaid = Vec::new();
    for letter in unsent(change, garden)?.into_iter().rev() {
        let is_meant = |wait: &&Wait| ids.contains(&wait.id);
        for wait in letter.waits.iter().filter(is_meant) {
            if let Some(old) = outbox::find(change, wait.id)? {
                execute(change, &format!("{GIVE_UP} WHERE id = ?1"), [wait.id])?;
                outbox::note(change, &old, at, "mail-replaced", &old.message.subject)?;
            }
        }
        if !letter.has_gone && letter.waits.iter().all(|wait| is_meant(&wait)) {
            unsay(change, garden, &letter.says)?;
            let cuts = letter.says.cuts.into_iter();
            unsaid.extend(cuts.map(|(cut, news, _)| (cut, news)));
        }
    }
    Ok(unsaid)
}

/// Keeps mails from going that say what is not told now. Their readers are behind the others: while the mails stay it is
/// known what these readers have not been told. They stay as long as a mail is tried.
pub(super) fn hold(change: &Transaction<'_>, held: &[(i64, Says)]) -> engine::Result<()> {
    for (id, untold) in held {
        let Some(mail) = outbox::find(change, *id)? else {
            continue;
        };
        execute(
            change,
            "UPDATE outbox SET next_try_at = ?2, until = coalesce(until, ?3), says = ?4
             WHERE id = ?1 AND next_try_at IS NOT NULL AND state IN ('queued', 'deferred')",
            params![id, At(NEVER), At(mail.queued_at + TRIED_FOR), Json(untold)],
        )?;
    }
    Ok(())
}

fn unsay(change: &Transaction<'_>, garden: &str, says: &Says) -> engine::Result<()> {
    for (cut, _, before) in &says.cuts {
        match before {
            Some(said) => keep_said(change, garden, cut, said)?,
            None => {
                execute(
                    change,
                    "DELETE FROM said WHERE garden = ?1 AND cut = ?2",
                    [garden, cut],
                )?;
            }
        }
    }
    for said in &says.after {
        execute(
            change,
            "DELETE FROM said_after WHERE garden = ?1 AND cut = ?2 AND done_on = ?3 AND alarm = ?4 AND night = ?5",
            params![
                garden,
                said.cut,
                Day(said.done_on),
                said.alarm.name(),
                Day(said.night)
            ],
        )?;
    }
    Ok(())
}

/// Remembers the last word on a cut.
pub(super) fn keep_said(
    change: &Transaction<'_>,
    garden: &str,
    cut: &str,
    said: &Said,
) -> engine::Result<()> {
    execute(
        change,
        "INSERT INTO said (garden, cut, news, at, wished) VALUES (?1, ?2, ?3, ?4, ?5)
         ON CONFLICT (garden, cut) DO UPDATE
         SET news = excluded.news, at = excluded.at, wished = excluded.wished",
        params![
            garden,
            cut,
            Word(said.news),
            At(said.at),
            said.wished.map(Day)
        ],
    )?;
    Ok(())
}

/// Remembers what waits; what begins to wait, and what is dropped since it is no longer true, stands in the journal.
///
/// `unsaid` is what the letters said that were taken back.
pub(super) fn keep_waiting(
    change: &Transaction<'_>,
    garden: &str,
    round: &Round,
    unsaid: &[(String, News)],
) -> engine::Result<()> {
    let before = waiting(change, garden)?;
    let is_in =
        |all: &[Waiting], cut: &str, news| all.iter().any(|one| one.cut == cut && one.news == news);
    execute(change, "DELETE FROM waiting WHERE garden = ?1", [garden])?;
    for Waiting { cut, news, since } in &round.waiting {
        execute(
            change,
            "INSERT INTO waiting (garden, cut, news, since) VALUES (?1, ?2, ?3, ?4)",
            params![garden, cut, Word(*news), At(*since)],
        )?;
        if !is_in(&before, cut, *news) {
            let what = line(garden, round.at, cut, "waits");
            journal::add(change, &what.with(news.name()))?;
        }
    }
    let was_there = before.iter().map(|one| (&one.cut, one.news));
    for (cut, news) in was_there.chain(unsaid.iter().map(|(cut, news)| (cut, *news))) {
        let is_told = |told: &super::Told| told.cut == *cut && told.said.news == news;
        if !is_in(&round.waiting, cut, news) && !round.told.iter().any(is_told) {
            let what = line(garden, round.at, cut, "dropped");
            journal::add(change, &what.with(news.name()))?;
        }
    }
    Ok(())
}
