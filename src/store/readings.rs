//! What a garden's own thermometer showed: each moment once, whatever comes twice.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Optional as _, Row, Transaction};
use super::{Store, StoreError};
use crate::thermometer::{Admitted, NightKind, Reading, Refusal, Refused};
use crate::units::Celsius;

/// The name of the thermometer of a garden that has one.
pub const SENSOR: &str = "thermometer";

/// How long a reading is kept.
const KEPT_FOR: TimeDelta = TimeDelta::days(400);

/// What became of readings that came in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Kept {
    /// How many are new.
    pub new: usize,
    /// How many were there already, to the same value.
    pub known: usize,
    /// Those that were refused.
    pub refused: Refused,
}

impl Store {
    /// Keeps readings and counts those that were refused. Of one moment the first reading stays: the same again is no
    /// news, another is refused.
    ///
    /// # Errors
    /// When the store cannot be written; then none is kept.
    pub fn keep_readings(
        &mut self,
        garden: &str,
        admitted: &Admitted,
        at: DateTime<Utc>,
    ) -> Result<Kept, StoreError> {
        self.write("readings", |change| {
            let mut kept = Kept {
                refused: admitted.refused.clone(),
                ..Kept::default()
            };
            for reading in &admitted.readings {
                match keep(change, garden, reading)? {
                    Fate::New => kept.new += 1,
                    Fate::Known => kept.known += 1,
                    Fate::Contradicts => kept.refused.add(Refusal::Duplicate, 1),
                }
            }
            count(change, garden, &kept.refused, at)?;
            execute(
                change,
                "DELETE FROM reading WHERE garden = ?1 AND at < ?2",
                params![garden, At(at - KEPT_FOR)],
            )?;
            Ok(kept)
        })
    }

    /// The readings from `since` on, the oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn readings(&self, garden: &str, since: DateTime<Utc>) -> Result<Vec<Reading>, StoreError> {
        self.read("the readings", |conn| {
            conn.prepare_cached(
                "SELECT at, celsius FROM reading WHERE garden = ?1 AND sensor = ?2 AND at >= ?3
                 ORDER BY at",
            )?
            .query_map(params![garden, SENSOR, At(since)], reading)?
            .collect()
        })
    }

    /// The last reading.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn last_reading(&self, garden: &str) -> Result<Option<Reading>, StoreError> {
        self.read("the last reading", |conn| {
            conn.prepare_cached(
                "SELECT at, celsius FROM reading WHERE garden = ?1 AND sensor = ?2
                 ORDER BY at DESC LIMIT 1",
            )?
            .query_row(params![garden, SENSOR], reading)
            .optional()
        })
    }

    /// How many readings were refused at the door so far.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn refused_readings(&self, garden: &str) -> Result<Refused, StoreError> {
        self.read("the readings that were refused", |conn| {
            let mut select = conn.prepare_cached(
                "SELECT why, times FROM reading_refused WHERE garden = ?1 AND sensor = ?2",
            )?;
            let rows = select.query_map(params![garden, SENSOR], |row| {
                Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?))
            })?;
            let mut refused = Refused::default();
            for row in rows {
                let (why, times) = row?;
                // A reason that this program does not know is one of a later version.
                let known = Refusal::ALL.into_iter().find(|known| known.name() == why);
                if let Some(known) = known {
                    refused.add(known, usize::try_from(times).unwrap_or(0));
                }
            }
            Ok(refused)
        })
    }

    /// How far the file of a station has been read; none when it has not, or it was another file.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn station_file(&self, garden: &str, file: &str) -> Result<Option<u64>, StoreError> {
        self.read("how far the station's file was read", |conn| {
            conn.prepare_cached("SELECT bytes FROM station_file WHERE garden = ?1 AND file = ?2")?
                .query_row([garden, file], |row| row.get(0))
                .optional()
                .map(|bytes: Option<i64>| bytes.and_then(|bytes| u64::try_from(bytes).ok()))
        })
    }

    /// Remembers how far the file of a station has been read.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn note_station_file(
        &mut self,
        garden: &str,
        file: &str,
        bytes: u64,
    ) -> Result<(), StoreError> {
        self.write("how far the station's file was read", |change| {
            execute(
                change,
                "INSERT INTO station_file (garden, file, bytes) VALUES (?1, ?2, ?3)
                 ON CONFLICT (garden) DO UPDATE SET file = excluded.file, bytes = excluded.bytes",
                params![garden, file, i64::try_from(bytes).unwrap_or(i64::MAX)],
            )?;
            Ok(())
        })
    }

    /// Notes of which kind nights were; a later word goes before an earlier one.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn note_nights(
        &mut self,
        garden: &str,
        kinds: &BTreeMap<NaiveDate, NightKind>,
    ) -> Result<(), StoreError> {
        self.write("the kinds of nights", |change| {
            let mut save = change.prepare_cached(
                "INSERT INTO night (garden, morning, kind) VALUES (?1, ?2, ?3)
                 ON CONFLICT (garden, morning) DO UPDATE SET kind = excluded.kind",
            )?;
            for (morning, kind) in kinds {
                save.execute(params![garden, Day(*morning), kind.name()])?;
            }
            Ok(())
        })
    }

    /// Of which kind the nights were from `since` on.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn nights(
        &self,
        garden: &str,
        since: NaiveDate,
    ) -> Result<BTreeMap<NaiveDate, NightKind>, StoreError> {
        self.read("the kinds of nights", |conn| {
            let mut select = conn.prepare_cached(
                "SELECT morning, kind FROM night WHERE garden = ?1 AND morning >= ?2",
            )?;
            let rows = select.query_map(params![garden, Day(since)], |row| {
                let Day(morning) = row.get(0)?;
                Ok((morning, row.get::<_, String>(1)?))
            })?;
            let mut kinds = BTreeMap::new();
            for row in rows {
                let (morning, name) = row?;
                let known = NightKind::ALL.into_iter().find(|kind| kind.name() == name);
                kinds.extend(known.map(|kind| (morning, kind)));
            }
            Ok(kinds)
        })
    }
}

/// What becomes of one reading.
enum Fate {
    New,
    Known,
    Contradicts,
}

fn keep(change: &Transaction<'_>, garden: &str, reading: &Reading) -> engine::Result<Fate> {
    let celsius = reading.temperature.degrees();
    let inserted = change
        .prepare_cached(
            "INSERT INTO reading (garden, sensor, at, celsius) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT DO NOTHING",
        )?
        .execute(params![garden, SENSOR, At(reading.at), celsius])?;
    if inserted > 0 {
        return Ok(Fate::New);
    }
    let there: f64 = change
        .prepare_cached(
            "SELECT celsius FROM reading WHERE garden = ?1 AND sensor = ?2 AND at = ?3",
        )?
        .query_row(params![garden, SENSOR, At(reading.at)], |row| row.get(0))?;
    Ok(if there.total_cmp(&celsius).is_eq() {
        Fate::Known
    } else {
        Fate::Contradicts
    })
}

fn count(
    change: &Transaction<'_>,
    garden: &str,
    refused: &Refused,
    at: DateTime<Utc>,
) -> engine::Result<()> {
    for (why, times) in refused.each() {
        let times = i64::try_from(times).unwrap_or(i64::MAX);
        execute(change,
            "INSERT INTO reading_refused (garden, sensor, why, times, last_at) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (garden, sensor, why)
             DO UPDATE SET times = reading_refused.times + excluded.times, last_at = excluded.last_at",
            params![garden, SENSOR, why.name(), times, At(at)],
        )?;
    }
    Ok(())
}

fn reading(row: &Row<'_>) -> engine::Result<Reading> {
    let At(at) = row.get("at")?;
    Ok(Reading {
        at,
        temperature: Celsius::new(row.get("celsius")?),
    })
}
