//! The past years of places: for each question that an archive was asked one row a day.

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;

use super::columns::{At, Day, Json, execute};
use super::engine::{self, Connection, Optional as _, Row, Transaction};
use super::{Store, StoreError};
use crate::climate::{DailyRecord, DayExtremes, Site};
use crate::units::Celsius;

/// The record of a garden that answers to a question; one of an older program, which did not note the question, stands in.
const ITS: &str =
    "FROM past WHERE question IN (?2, 'of ' || ?1) ORDER BY question = ?2 DESC LIMIT 1";

impl Store {
    /// Keeps the daily record that answers to a question of a garden, for all gardens that ask the same, in place of the one
    /// before; only days that differ are written.
    ///
    /// # Errors
    /// When the store cannot be written; the record before stays.
    pub fn save_record(
        &mut self,
        garden: &str,
        (question, record): (&str, &DailyRecord),
        at: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("the daily record", |change| {
            let own = "DELETE FROM past WHERE question = 'of ' || ?1";
            execute(change, own, [garden])?;
            let id = save_head(change, (question, record), at)?;
            execute(
                change,
                "DELETE FROM past_day WHERE past = ?1 AND day NOT BETWEEN ?2 AND ?3",
                params![id, Day(record.first()), Day(record.last())],
            )?;
            save_days(change, id, record)
        })
    }

    /// When the daily record of a garden that answers to a question was last added to, as [`Store::record`] has it.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn record_added_at(
        &self,
        garden: &str,
        question: &str,
    ) -> Result<Option<DateTime<Utc>>, StoreError> {
        self.read("the age of the daily record", |conn| {
            conn.prepare_cached(&format!("SELECT fetched_at {ITS}"))?
                .query_row([garden, question], |row| row.get(0).map(|At(at)| at))
                .optional()
        })
    }

    /// The daily record of a garden that answers to a question, and when it was last added to. One that answers to
    /// another question is of another place or another archive.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn record(
        &self,
        garden: &str,
        question: &str,
    ) -> Result<Option<(DailyRecord, DateTime<Utc>)>, StoreError> {
        self.read("the daily record", |conn| {
            let head = conn
                .prepare_cached(&format!("SELECT id, origin, site, fetched_at {ITS}"))?
                .query_row([garden, question], |row| {
                    let At(fetched_at) = row.get("fetched_at")?;
                    let origin: String = row.get("origin")?;
                    let site: Option<Json<Site>> = row.get("site")?;
                    let site = site.map(|Json(site)| site);
                    Ok((row.get("id")?, origin, site, fetched_at))
                })
                .optional()?;
            let Some((id, origin, site, fetched_at)) = head else {
                return Ok(None);
            };
            let record = DailyRecord::from_days(origin, days(conn, id)?);
            Ok(record.ok().map(|record| (record.at(site), fetched_at)))
        })
    }
}

fn save_head(
    change: &Transaction<'_>,
    (question, record): (&str, &DailyRecord),
    at: DateTime<Utc>,
) -> engine::Result<i64> {
    change.query_row(
        "INSERT INTO past (question, origin, site, fetched_at) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (question) DO UPDATE SET origin = excluded.origin, site = excluded.site,
             fetched_at = excluded.fetched_at
         RETURNING id",
        params![question, record.origin, record.site.map(Json), At(at)],
        |row| row.get(0),
    )
}

fn save_days(change: &Transaction<'_>, id: i64, record: &DailyRecord) -> engine::Result<()> {
    let mut save = change.prepare_cached(
        "INSERT INTO past_day (past, day, min_c, max_c) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (past, day) DO UPDATE SET min_c = excluded.min_c, max_c = excluded.max_c
         WHERE past_day.min_c IS DISTINCT FROM excluded.min_c OR past_day.max_c IS DISTINCT FROM excluded.max_c",
    )?;
    for (date, day) in record.days() {
        let [min, max] = [day.min, day.max].map(|extreme| extreme.map(Celsius::degrees));
        save.execute(params![id, Day(date), min, max])?;
    }
    Ok(())
}

fn days(conn: &Connection, id: i64) -> engine::Result<Vec<(NaiveDate, DayExtremes)>> {
    let day = |row: &Row<'_>| {
        let Day(date) = row.get("day")?;
        let extreme = |column| {
            let degrees: Option<f64> = row.get(column)?;
            engine::Result::Ok(degrees.map(Celsius::new))
        };
        let (min, max) = (extreme("min_c")?, extreme("max_c")?);
        Ok((date, DayExtremes { min, max }))
    };
    conn.prepare_cached("SELECT day, min_c, max_c FROM past_day WHERE past = ?1 ORDER BY day")?
        .query_map([id], day)?
        .collect()
}
