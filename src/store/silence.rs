//! Sources that are silent and gardens without weather: since when, and whether it was said.

use chrono::{DateTime, Utc};
use rusqlite::{OptionalExtension, Transaction, params};

use super::columns::At;
use super::journal::{self, JournalLine};
use super::round::WeatherTurn;
use super::{Store, StoreError};
use crate::notice::Spell;

/// How a source has changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// It was heard before and is not now.
    Silent,
    /// It is heard again.
    Back,
}

impl Store {
    /// Remembers whether a source was heard, with why not; a change stands in the journal, once.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn hear(
        &mut self,
        garden: &str,
        source: &str,
        at: DateTime<Utc>,
        problem: Option<&str>,
    ) -> Result<Option<Turn>, StoreError> {
        self.write("what was heard of a source", |change| {
            let changed = match problem {
                Some(_) => change.execute(
                    "INSERT INTO silent_source (garden, source, since) VALUES (?1, ?2, ?3)
                     ON CONFLICT DO NOTHING",
                    params![garden, source, At(at)],
                )?,
                None => change.execute(
                    "DELETE FROM silent_source WHERE garden = ?1 AND source = ?2",
                    [garden, source],
                )?,
            };
            if changed == 0 {
                return Ok(None);
            }
            let (turn, what) = match problem {
                Some(_) => (Turn::Silent, "source-silent"),
                None => (Turn::Back, "source-back"),
            };
            let detail = problem.map_or_else(|| source.to_owned(), str::to_owned);
            journal::add(change, &line(garden, at, what, detail))?;
            Ok(Some(turn))
        })
    }

    /// Since when a garden is without weather, if it is.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn spell(&self, garden: &str) -> Result<Option<Spell>, StoreError> {
        self.read("since when there is no weather", |conn| {
            conn.prepare_cached("SELECT since, told_at FROM lost_weather WHERE garden = ?1")?
                .query_row([garden], |row| {
                    let At(since) = row.get("since")?;
                    let told_at: Option<At> = row.get("told_at")?;
                    let told_at = told_at.map(|At(at)| at);
                    Ok(Spell { since, told_at })
                })
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
) -> rusqlite::Result<()> {
    change.execute("DELETE FROM lost_weather WHERE garden = ?1", [garden])?;
    if let Some(spell) = &turn.spell {
        change.execute(
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
