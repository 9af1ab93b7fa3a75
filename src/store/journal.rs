//! The journal: what happened, one line each, never edited.

use chrono::{DateTime, Utc};
use rusqlite::params;

use super::columns::At;
use super::engine::{self, Connection};
use super::{Store, StoreError};

/// One line of the journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JournalLine {
    /// When it happened.
    pub at: DateTime<Utc>,
    /// The garden's short name.
    pub garden: String,
    /// The cut's name in that garden.
    pub cut: String,
    /// What happened, in kebab-case: `verdict`, the name of a piece of news, or `mail-` with what became of a mail.
    pub what: String,
    /// The particulars.
    pub detail: String,
}

impl JournalLine {
    /// With its particulars.
    pub(super) fn with(mut self, detail: &str) -> Self {
        detail.clone_into(&mut self.detail);
        self
    }
}

impl Store {
    /// The last lines on a garden, newest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn journal(&self, garden: &str, limit: usize) -> Result<Vec<JournalLine>, StoreError> {
        let limit = i64::try_from(limit).unwrap_or(i64::MAX);
        self.read("the journal", |conn| {
            conn.prepare_cached(
                "SELECT at, garden, cut, what, detail FROM journal WHERE garden = ?1
                 ORDER BY id DESC LIMIT ?2",
            )?
            .query_map(params![garden, limit], |row| {
                let At(at) = row.get("at")?;
                Ok(JournalLine {
                    at,
                    garden: row.get("garden")?,
                    cut: row.get("cut")?,
                    what: row.get("what")?,
                    detail: row.get("detail")?,
                })
            })?
            .collect()
        })
    }
}

impl Store {
    /// Notes that a fault of the program ended a look at a garden.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn note_breakdown(
        &mut self,
        garden: &str,
        at: DateTime<Utc>,
        says: &str,
    ) -> Result<(), StoreError> {
        let line = JournalLine {
            at,
            garden: garden.to_owned(),
            cut: String::new(),
            what: "look-broke-down".to_owned(),
            detail: says.to_owned(),
        };
        self.write("what went wrong", |change| add(change, &line))
    }
}

/// Adds a line, as a part of the change that it tells of.
pub(super) fn add(change: &Connection, line: &JournalLine) -> engine::Result<()> {
    change
        .prepare_cached(
            "INSERT INTO journal (at, garden, cut, what, detail) VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![
            At(line.at),
            line.garden,
            line.cut,
            line.what,
            line.detail
        ])?;
    Ok(())
}
