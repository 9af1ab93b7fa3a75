//! What the keeper answered by a link: each link counts once, and what it did can be taken back.

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ValueRef};

use super::columns::{At, Day, execute};
use super::deeds::{add_deed, add_sighting, drop_deed, drop_sighting, tell};
use super::engine::{self, Optional as _, Row, Transaction};
use super::{Store, StoreError, queue};
use crate::almanac::Event;
use crate::garden::{Answer, Deed, Sighting};
use crate::link::KEY_BYTES;

/// An answer that was given by a link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GivenAnswer {
    /// What tells this link from all others, without being of use to whoever reads the store.
    pub mark: String,
    /// The garden's short name.
    pub garden: String,
    /// The cut's name in that garden; empty for an answer about the whole garden.
    pub cut: String,
    /// The reader for whom alone it holds; empty where it holds for all.
    pub reader: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// The answer.
    pub answer: Answer,
    /// The local day of which it is told.
    pub on: NaiveDate,
    /// How much of the plant's live growth was taken, in percent, where the keeper told.
    pub share: Option<u8>,
    /// The first day on which the cut is spoken of again.
    pub silent_until: Option<NaiveDate>,
}

/// What became of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noted {
    /// It is noted.
    New,
    /// The link was used before; nothing is noted twice.
    Before,
}

/// A cut, or the whole garden, of which nothing is to be said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quiet {
    /// The cut; empty for the whole garden.
    pub cut: String,
    /// The answer that asked for it.
    pub answer: Answer,
    /// The first day on which it is spoken of again; none for good.
    pub until: Option<NaiveDate>,
}

impl Store {
    /// The key that signs links: the one that is kept, else `fresh`, which is kept from now on.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn link_key(&mut self, fresh: &[u8; KEY_BYTES]) -> Result<[u8; KEY_BYTES], StoreError> {
        self.write("the key of the links", |change| {
            execute(
                change,
                "INSERT INTO link_key (id, key) VALUES (1, ?1) ON CONFLICT (id) DO NOTHING",
                [fresh],
            )?;
            change.query_row("SELECT key FROM link_key WHERE id = 1", params![], |row| {
                row.get(0)
            })
        })
    }

    /// Notes an answer and what it tells, unless its link was used before.
    ///
    /// # Errors
    /// When the store cannot be written; nothing of it is kept then.
    pub fn take_answer(
        &mut self,
        given: &GivenAnswer,
        at: DateTime<Utc>,
    ) -> Result<Noted, StoreError> {
        self.write("an answer", |change| {
            let is_new = execute(
                change,
                "INSERT INTO answer (mark, garden, cut, answer, day, silent_until, told_at, reader)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) ON CONFLICT (mark) DO NOTHING",
                params![
                    given.mark,
                    given.garden,
                    given.cut,
                    given.answer.name(),
                    Day(given.on),
                    given.silent_until.map(Day),
                    At(at),
                    given.reader
                ],
            )? > 0;
            if is_new {
                note(change, given, at)?;
            }
            Ok(if is_new { Noted::New } else { Noted::Before })
        })
    }

    /// Takes back what was noted by a link; gives whether there was anything to take back.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn take_back_answer(
        &mut self,
        given: &GivenAnswer,
        at: DateTime<Utc>,
    ) -> Result<bool, StoreError> {
        self.write("the taking back of an answer", |change| {
            let on: Option<Day> = change
                .query_row(
                    "UPDATE answer SET undone_at = ?2 WHERE mark = ?1 AND undone_at IS NULL
                     RETURNING day",
                    params![given.mark, At(at)],
                    |row| row.get(0),
                )
                .optional()?;
            let Some(Day(on)) = on else { return Ok(false) };
            let garden = given.garden.as_str();
            match given.answer {
                Answer::Done => drop_deed(change, garden, (&given.cut, on), at)?,
                Answer::InBloom => {
                    drop_sighting(change, garden, &in_bloom(&given.planting, on), at)?
                }
                Answer::NotThisYear | Answer::Later | Answer::FrostDamage | Answer::NoLetters => {
                    let what = format!("{}-undone", given.answer.name());
                    tell(change, (garden, &given.cut), at, (&what, on.to_string()))?;
                    true
                }
            };
            Ok(true)
        })
    }

    /// Of what nothing is to be said on a day.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn quiet(&self, garden: &str, today: NaiveDate) -> Result<Vec<Quiet>, StoreError> {
        self.read("what is not to be spoken of", |conn| {
            conn.prepare_cached(
                "SELECT cut, answer, silent_until FROM answer
                 WHERE garden = ?1 AND undone_at IS NULL
                     AND (silent_until > ?2 OR (answer = 'no-letters' AND reader = ''))
                 ORDER BY id",
            )?
            .query_map(params![garden, Day(today)], quiet)?
            .collect()
        })
    }
}

/// What an answer tells beside itself.
fn note(change: &Transaction<'_>, given: &GivenAnswer, at: DateTime<Utc>) -> engine::Result<()> {
    let garden = given.garden.as_str();
    if given.answer == Answer::NoLetters {
        queue::give_up(change, garden, &given.reader)?;
    }
    match given.answer {
        Answer::Done => {
            let deed = Deed {
                cut: given.cut.clone(),
                planting: given.planting.clone(),
                on: given.on,
                share: given.share,
                note: None,
            };
            add_deed(change, garden, &deed, at)
        }
        Answer::InBloom => add_sighting(change, garden, &in_bloom(&given.planting, given.on), at),
        Answer::NotThisYear | Answer::Later | Answer::FrostDamage | Answer::NoLetters => {
            let detail = match given.silent_until {
                Some(until) => format!("{}, silent until {until}", given.on),
                None => given.on.to_string(),
            };
            let what = given.answer.name();
            tell(change, (garden, &given.cut), at, (what, detail))
        }
    }
}

fn in_bloom(planting: &str, on: NaiveDate) -> Sighting {
    Sighting {
        planting: planting.to_owned(),
        event: Event::BloomBegin,
        on,
    }
}

fn quiet(row: &Row<'_>) -> engine::Result<Quiet> {
    let Named(answer) = row.get("answer")?;
    let until: Option<Day> = row.get("silent_until")?;
    Ok(Quiet {
        cut: row.get("cut")?,
        answer,
        until: until.map(|Day(until)| until),
    })
}

/// An answer by its name.
struct Named(Answer);

impl FromSql for Named {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let name = value.as_str()?;
        Answer::named(name)
            .map(Self)
            .ok_or_else(|| FromSqlError::Other(format!("'{name}' is no answer").into()))
    }
}
