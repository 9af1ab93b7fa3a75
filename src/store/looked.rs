//! Which looks of the schedule were made. The key decides: whatever clocks and programs do, a look is kept once.

use chrono::{NaiveDate, NaiveTime};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Connection, Transaction};
use super::{Store, StoreError};

/// A look of the schedule, named by the local calendar and no instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// The schedule, as its text.
    pub schedule: String,
    /// The local day.
    pub day: NaiveDate,
    /// The local time that the schedule names, whether the clock showed it that day or not.
    pub time: NaiveTime,
}

impl Slot {
    /// Its time as the key has it, such as `05:30`.
    fn time(&self) -> String {
        self.time.format("%H:%M").to_string()
    }
}

impl Store {
    /// Whether a look was made.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn has_looked(&self, garden: &str, slot: &Slot) -> Result<bool, StoreError> {
        self.read("which looks were made", |conn| is_there(conn, garden, slot))
    }
}

fn is_there(conn: &Connection, garden: &str, slot: &Slot) -> engine::Result<bool> {
    conn.prepare_cached(
        "SELECT EXISTS (SELECT 1 FROM looked
             WHERE garden = ?1 AND day = ?2 AND slot = ?3 AND schedule = ?4)",
    )?
    .query_row(
        params![garden, Day(slot.day), slot.time(), slot.schedule],
        |row| row.get(0),
    )
}

/// Claims a look for a round, as a part of it; gives whether it was free.
pub(super) fn claim(
    change: &Transaction<'_>,
    garden: &str,
    slot: &Slot,
    at: At,
) -> engine::Result<bool> {
    let claimed = execute(
        change,
        "INSERT INTO looked (schedule, garden, day, slot, at) VALUES (?1, ?2, ?3, ?4, ?5)
         ON CONFLICT DO NOTHING",
        params![slot.schedule, garden, Day(slot.day), slot.time(), at],
    )?;
    Ok(claimed > 0)
}
