//! Sources that are silent or out of step, and gardens without weather: since when, and whether it was said.

use chrono::{DateTime, Utc};
use rusqlite::params;

use super::columns::{At, execute};
use super::engine::{self, Connection, Optional as _, Row, Transaction};
use super::journal::{self, JournalLine};
use super::letters::Says;
use super::round::WeatherTurn;
use super::{Store, StoreError, queue};
use crate::message::Message;
use crate::notice::{Spell, WeatherNews};

/// The topic of mails about sources that do not answer.
const TOPIC: &str = "weather";

/// What may be wrong with a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// It does not answer, or nothing that can be read.
    Silent,
    /// It is out of step with the others.
    Odd,
}

/// How a source has changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// Trouble has begun.
    Begun,
    /// It is over, and was this.
    Over(Spell),
}

impl Trouble {
    const fn name(self) -> &'static str {
        match self {
            Self::Silent => "silent",
            Self::Odd => "odd",
        }
    }

    /// What stands in the journal when it begins and when it is over.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Silent => ("source-silent", "source-back"),
            Self::Odd => ("source-odd", "source-in-step"),
        }
    }
}

impl Store {
    /// Remembers whether there is trouble with a source, in words; a change stands in the journal, once. Of a garden after
    /// which another daemon looks that one notes it.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn note_trouble(
        &mut self,
        garden: &str,
        (source, trouble): (&str, Trouble),
        at: DateTime<Utc>,
        problem: Option<&str>,
    ) -> Result<Option<Turn>, StoreError> {
        let noted = self.write_of(garden, "the trouble with a source", |change| {
            let before = trouble_before(change, garden, (source, trouble))?;
            let key = params![garden, source, trouble.name()];
            let (begins, ends) = trouble.words();
            let (turn, what) = match (before, problem) {
                (None, Some(_)) => {
                    execute(change,
                        "INSERT INTO source_trouble (garden, source, trouble, since) VALUES (?1, ?2, ?3, ?4)",
                        params![garden, source, trouble.name(), At(at)],
                    )?;
                    (Turn::Begun, begins)
                }
                (Some(spell), None) => {
                    execute(change,
                        "DELETE FROM source_trouble WHERE garden = ?1 AND source = ?2 AND trouble = ?3",
                        key,
                    )?;
                    (Turn::Over(spell), ends)
                }
                (None, None) | (Some(_), Some(_)) => return Ok(None),
            };
            let detail = problem.map_or_else(|| source.to_owned(), str::to_owned);
            journal::add(change, &line(garden, at, what, detail))?;
            Ok(Some(turn))
        });
        match noted {
            Err(StoreError::Elsewhere { .. }) => Ok(None),
            noted => noted,
        }
    }

    /// Since when there is trouble with a source, if there is.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn trouble(
        &self,
        garden: &str,
        source: &str,
        trouble: Trouble,
    ) -> Result<Option<Spell>, StoreError> {
        self.read("the trouble with a source", |conn| {
            trouble_before(conn, garden, (source, trouble))
        })
    }

    /// Queues the mail that says that a source has been silent, or that it is back, with when it may go out, and
    /// remembers that it was said.
    ///
    /// # Errors
    /// When the store cannot be written; then nothing was said.
    pub fn tell_of_source(
        &mut self,
        garden: &str,
        source: &str,
        at: DateTime<Utc>,
        (news, mail): (WeatherNews, Option<(Message, DateTime<Utc>)>),
    ) -> Result<(), StoreError> {
        self.write_of(garden, "what was said of a source", |change| {
            execute(
                change,
                "UPDATE source_trouble SET told_at = ?3
                 WHERE garden = ?1 AND source = ?2 AND trouble = 'silent'",
                params![garden, source, At(at)],
            )?;
            let told = match news {
                WeatherNews::Lost { .. } => "told-source-silent",
                WeatherNews::Back { .. } => "told-source-back",
            };
            journal::add(change, &line(garden, at, told, source.to_owned()))?;
            let Some((message, goes_at)) = mail else {
                return Ok(());
            };
            let place = queue::Place {
                garden,
                cut: "",
                topic: &format!("{TOPIC} {source}"),
                goes_at,
                until: None,
            };
            queue::add(change, &place, at, &message, &Says::default()).map(|_| ())
        })
    }

    /// Since when a garden is without weather, if it is.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn spell(&self, garden: &str) -> Result<Option<Spell>, StoreError> {
        self.read("since when there is no weather", |conn| {
            conn.prepare_cached("SELECT since, told_at FROM lost_weather WHERE garden = ?1")?
                .query_row([garden], spell)
                .optional()
        })
    }
}

/// Remembers since when a garden is without weather, as a part of the round; what is told of it stands in the journal.
pub(super) fn keep(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
    turn: &WeatherTurn,
) -> engine::Result<()> {
    execute(
        change,
        "DELETE FROM lost_weather WHERE garden = ?1",
        [garden],
    )?;
    if let Some(spell) = &turn.spell {
        execute(
            change,
            "INSERT INTO lost_weather (garden, since, told_at) VALUES (?1, ?2, ?3)",
            params![garden, At(spell.since), spell.told_at.map(At)],
        )?;
    }
    if let Some(news) = turn.news {
        let since = format!("since {}", news.since().format("%Y-%m-%d %H:%M UTC"));
        journal::add(change, &line(garden, at, news.name(), since))?;
    }
    Ok(())
}

fn trouble_before(
    conn: &Connection,
    garden: &str,
    (source, trouble): (&str, Trouble),
) -> engine::Result<Option<Spell>> {
    conn.prepare_cached(
        "SELECT since, told_at FROM source_trouble
         WHERE garden = ?1 AND source = ?2 AND trouble = ?3",
    )?
    .query_row([garden, source, trouble.name()], spell)
    .optional()
}

fn spell(row: &Row<'_>) -> engine::Result<Spell> {
    let At(since) = row.get("since")?;
    let told_at: Option<At> = row.get("told_at")?;
    let told_at = told_at.map(|At(at)| at);
    Ok(Spell { since, told_at })
}

/// A line that is about no cut.
fn line(garden: &str, at: DateTime<Utc>, what: &str, detail: String) -> JournalLine {
    JournalLine {
        at,
        garden: garden.to_owned(),
        cut: String::new(),
        what: what.to_owned(),
        detail,
    }
}
