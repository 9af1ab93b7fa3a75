//! What the keeper did and saw: rows that are added, corrected by a later one, or taken back, and never deleted.

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Row, Transaction};
use super::journal::{self, JournalLine};
use super::{Store, StoreError};
use crate::almanac::Event;
use crate::garden::{Deed, Sighting};

/// Two sightings of one event at one planting closer than this are of one season: the later told one counts.
const ONE_SEASON_DAYS: u32 = 180;

impl Store {
    /// Notes a cut that was made; one that is told again of the same day stands in place of what was told before.
    ///
    /// # Errors
    /// When the store cannot be written; nothing of it is kept then.
    pub fn note_deed(
        &mut self,
        garden: &str,
        deed: &Deed,
        at: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("a cut that was made", |change| {
            add_deed(change, garden, deed, at)
        })
    }

    /// Takes back what was told of a cut on a day; gives whether there was anything.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn undo_deed(
        &mut self,
        garden: &str,
        (cut, on): (&str, NaiveDate),
        at: DateTime<Utc>,
    ) -> Result<bool, StoreError> {
        self.write("the taking back of a cut", |change| {
            drop_deed(change, garden, (cut, on), at)
        })
    }

    /// The cuts that were made in a garden and still stand, the oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn deeds(&self, garden: &str) -> Result<Vec<Deed>, StoreError> {
        self.read("the cuts that were made", |conn| {
            conn.prepare_cached(
                "SELECT cut, planting, day, share, note FROM deed AS told
                 WHERE garden = ?1 AND undone_at IS NULL AND NOT EXISTS (
                     SELECT 1 FROM deed AS later WHERE later.garden = told.garden AND later.cut = told.cut
                         AND later.day = told.day AND later.undone_at IS NULL AND later.id > told.id)
                 ORDER BY day, id",
            )?
            .query_map([garden], deed)?
            .collect()
        })
    }

    /// Notes an event that was seen; one that is told again of the same season stands in place of the one before.
    ///
    /// # Errors
    /// When the store cannot be written; nothing of it is kept then.
    pub fn note_sighting(
        &mut self,
        garden: &str,
        seen: &Sighting,
        at: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("an event that was seen", |change| {
            add_sighting(change, garden, seen, at)
        })
    }

    /// Takes back what was told of an event at a planting on a day; gives whether there was anything.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn undo_sighting(
        &mut self,
        garden: &str,
        seen: &Sighting,
        at: DateTime<Utc>,
    ) -> Result<bool, StoreError> {
        self.write("the taking back of an event", |change| {
            drop_sighting(change, garden, seen, at)
        })
    }

    /// The events that were seen in a garden and still stand, the oldest first; one of each planting and season.
    ///
    /// # Errors
    /// When the store cannot be read, or an event is not known to this program.
    pub fn sightings(&self, garden: &str) -> Result<Vec<Sighting>, StoreError> {
        self.read("the events that were seen", |conn| {
            conn.prepare_cached(
                "SELECT planting, event, day FROM sighting AS told
                 WHERE garden = ?1 AND undone_at IS NULL AND NOT EXISTS (
                     SELECT 1 FROM sighting AS later WHERE later.garden = told.garden
                         AND later.planting = told.planting AND later.event = told.event
                         AND later.undone_at IS NULL AND later.id > told.id
                         AND abs(julianday(later.day) - julianday(told.day)) < ?2)
                 ORDER BY day, id",
            )?
            .query_map(params![garden, ONE_SEASON_DAYS], sighting)?
            .collect()
        })
    }
}

/// Notes a cut that was made, as a part of a change.
pub(super) fn add_deed(
    change: &Transaction<'_>,
    garden: &str,
    deed: &Deed,
    at: DateTime<Utc>,
) -> engine::Result<()> {
    execute(
        change,
        "INSERT INTO deed (garden, cut, planting, day, share, note, told_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            garden,
            deed.cut,
            deed.planting,
            Day(deed.on),
            deed.share,
            deed.note,
            At(at)
        ],
    )?;
    let detail = match deed.share {
        Some(share) => format!("{} ({share} % taken)", deed.on),
        None => deed.on.to_string(),
    };
    tell(change, (garden, &deed.cut), at, ("done", detail))
}

/// Takes back what was told of a cut on a day; gives whether there was anything.
pub(super) fn drop_deed(
    change: &Transaction<'_>,
    garden: &str,
    (cut, on): (&str, NaiveDate),
    at: DateTime<Utc>,
) -> engine::Result<bool> {
    let undone = execute(
        change,
        "UPDATE deed SET undone_at = ?4
         WHERE garden = ?1 AND cut = ?2 AND day = ?3 AND undone_at IS NULL",
        params![garden, cut, Day(on), At(at)],
    )?;
    if undone > 0 {
        tell(change, (garden, cut), at, ("done-undone", on.to_string()))?;
    }
    Ok(undone > 0)
}

/// Notes an event that was seen, as a part of a change.
pub(super) fn add_sighting(
    change: &Transaction<'_>,
    garden: &str,
    seen: &Sighting,
    at: DateTime<Utc>,
) -> engine::Result<()> {
    execute(
        change,
        "INSERT INTO sighting (garden, planting, event, day, told_at)
         VALUES (?1, ?2, ?3, ?4, ?5)",
        params![
            garden,
            seen.planting,
            seen.event.name(),
            Day(seen.on),
            At(at)
        ],
    )?;
    let detail = format!("{} {}", seen.event.name(), seen.on);
    tell(change, (garden, &seen.planting), at, ("seen", detail))
}

/// Takes back what was told of an event at a planting on a day; gives whether there was anything.
pub(super) fn drop_sighting(
    change: &Transaction<'_>,
    garden: &str,
    seen: &Sighting,
    at: DateTime<Utc>,
) -> engine::Result<bool> {
    let undone = execute(
        change,
        "UPDATE sighting SET undone_at = ?5
         WHERE garden = ?1 AND planting = ?2 AND event = ?3 AND day = ?4 AND undone_at IS NULL",
        params![
            garden,
            seen.planting,
            seen.event.name(),
            Day(seen.on),
            At(at)
        ],
    )?;
    if undone > 0 {
        let detail = format!("{} {}", seen.event.name(), seen.on);
        tell(
            change,
            (garden, &seen.planting),
            at,
            ("seen-undone", detail),
        )?;
    }
    Ok(undone > 0)
}

pub(super) fn tell(
    change: &Transaction<'_>,
    (garden, about): (&str, &str),
    at: DateTime<Utc>,
    (what, detail): (&str, String),
) -> engine::Result<()> {
    let line = JournalLine {
        at,
        garden: garden.to_owned(),
        cut: about.to_owned(),
        what: what.to_owned(),
        detail,
    };
    journal::add(change, &line)
}

fn deed(row: &Row<'_>) -> engine::Result<Deed> {
    let Day(on) = row.get("day")?;
    Ok(Deed {
        cut: row.get("cut")?,
        planting: row.get("planting")?,
        on,
        share: row.get("share")?,
        note: row.get("note")?,
    })
}

fn sighting(row: &Row<'_>) -> engine::Result<Sighting> {
    let Day(on) = row.get("day")?;
    let Named(event) = row.get("event")?;
    Ok(Sighting {
        planting: row.get("planting")?,
        event,
        on,
    })
}

/// An event by its name.
struct Named(Event);

impl rusqlite::types::FromSql for Named {
    fn column_result(value: rusqlite::types::ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        let name = value.as_str()?;
        let known = Event::ALL.into_iter().find(|event| event.name() == name);
        known.map(Self).ok_or_else(|| {
            rusqlite::types::FromSqlError::Other(format!("'{name}' is no event").into())
        })
    }
}
