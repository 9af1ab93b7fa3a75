//! What was said of plants that are watched after a cut: of each cut and night once.

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Row, Transaction};
use super::letters::Says;
use super::round::line;
use super::{Store, StoreError, journal, queue};
use crate::message::Message;
use crate::notice::{Alarm, SaidAfter};

/// News of plants under watch between two rounds and the one mail that tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToldAfter {
    /// What is said, of each cut.
    pub said: Vec<SaidAfter>,
    /// The mail that says it; none when the garden has no address.
    pub message: Option<Message>,
    /// When the mail is no use any more; none when it does not grow old.
    pub until: Option<DateTime<Utc>>,
}

impl Store {
    /// What was said in a garden of cuts made on `since` or later.
    ///
    /// # Errors
    /// When the store cannot be read, or a kind of news is not known to this program.
    pub fn said_after(&self, garden: &str, since: NaiveDate) -> Result<Vec<SaidAfter>, StoreError> {
        self.read("what was said after the cuts", |conn| {
            conn.prepare_cached(
                "SELECT cut, done_on, alarm, night FROM said_after
                 WHERE garden = ?1 AND done_on >= ?2 ORDER BY night, cut, alarm",
            )?
            .query_map(params![garden, Day(since)], said_after)?
            .collect()
        })
    }
}

impl Store {
    /// Remembers what is told between two rounds and queues its mail.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn tell_after(
        &mut self,
        garden: &str,
        at: DateTime<Utc>,
        told: &ToldAfter,
    ) -> Result<(), StoreError> {
        self.write_of(garden, "what is told after a cut", |change| {
            tell(change, garden, at, told)
        })
    }
}

fn tell(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
    told: &ToldAfter,
) -> engine::Result<()> {
    let Some(first) = told.said.first() else {
        return Ok(());
    };
    remember(change, garden, at, &told.said)?;
    if let Some(message) = &told.message {
        let place = queue::Place {
            garden,
            cut: &first.cut,
            topic: first.alarm.name(),
            goes_at: at,
            until: told.until,
        };
        queue::add(change, &place, at, message, &Says::default())?;
    }
    Ok(())
}

/// Remembers what is told and writes it into the journal.
pub(super) fn remember(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
    all: &[SaidAfter],
) -> engine::Result<()> {
    for said in all {
        execute(change,
            "INSERT INTO said_after (garden, cut, done_on, alarm, night, at) VALUES (?1, ?2, ?3, ?4, ?5, ?6)
             ON CONFLICT DO NOTHING",
            params![
                garden,
                said.cut,
                Day(said.done_on),
                said.alarm.name(),
                Day(said.night),
                At(at)
            ],
        )?;
        let what = line(garden, at, &said.cut, said.alarm.name());
        journal::add(change, &what.with(&format!("night to {}", said.night)))?;
    }
    Ok(())
}

fn said_after(row: &Row<'_>) -> engine::Result<SaidAfter> {
    let (Day(done_on), Day(night)) = (row.get("done_on")?, row.get("night")?);
    let Named(alarm) = row.get("alarm")?;
    Ok(SaidAfter {
        cut: row.get("cut")?,
        done_on,
        alarm,
        night,
    })
}

/// A kind of news by its name.
struct Named(Alarm);

impl rusqlite::types::FromSql for Named {
    fn column_result(value: rusqlite::types::ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        let name = value.as_str()?;
        let known = Alarm::ALL.into_iter().find(|alarm| alarm.name() == name);
        known.map(Self).ok_or_else(|| {
            rusqlite::types::FromSqlError::Other(format!("'{name}' is no kind of news").into())
        })
    }
}
