//! The forecast runs that were fetched: the latest to work with, the older ones to learn from.

use chrono::{DateTime, TimeDelta, Timelike, Utc};
use rusqlite::params;

use super::columns::{At, Json, execute};
use super::engine::{self, Optional as _, Transaction};
use super::{Store, StoreError};
use crate::forecast::{Forecast, Heard};
use crate::garden::Zone;
use crate::outlook::RunDays;

/// How long a run is kept.
pub const KEPT_FOR: TimeDelta = TimeDelta::days(400);

/// How long four runs a day are kept; of older days only the last run.
const DENSE_FOR: TimeDelta = TimeDelta::days(14);

/// Hours of the part of a day of which one run is kept.
const SLOT_HOURS: u32 = 6;

/// So many runs are read at most: those of two sources over the time that runs are kept.
const READ_MAX: u32 = 800;

/// The runs that answer a question, as far as a change of them shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunsState {
    /// How many there are.
    pub runs: i64,
    /// When the newest was fetched.
    pub newest: Option<DateTime<Utc>>,
}

/// As the answers to which question the runs of a garden stand that an older program kept, which did not note the question.
pub fn older_question(garden: &str) -> String {
    format!("of {garden}")
}

impl Store {
    /// Keeps a run that was fetched at `at` as the answer to a question, for all gardens that ask the same, in place of an
    /// earlier one of its source in the same quarter of a day. Of the runs of that source before it the days alone stay.
    ///
    /// # Errors
    /// When the store cannot be written; the runs before stay.
    pub fn save_run(
        &mut self,
        question: &str,
        (forecast, days): (&Forecast, &RunDays),
        at: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("a forecast run", |change| {
            execute(change,
                "INSERT INTO run (question, slot, fetched_at, data_at, source, forecast, days)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
                 ON CONFLICT (question, slot) DO UPDATE SET fetched_at = excluded.fetched_at,
                     data_at = excluded.data_at, source = excluded.source, forecast = excluded.forecast,
                     days = excluded.days
                 WHERE run.fetched_at <= excluded.fetched_at",
                params![
                    question,
                    slot(at, &forecast.source),
                    At(at),
                    At(forecast.data_at),
                    forecast.source,
                    Json(forecast),
                    Json(days)
                ],
            )?;
            thin_out(change, (question, &forecast.source), at)
        })
    }

    /// The run of a source that was fetched last as the answer to one of two questions.
    ///
    /// # Errors
    /// When the store cannot be read, or the run cannot be understood by this program.
    pub fn latest_run(
        &self,
        [question, older]: [&str; 2],
        source: &str,
    ) -> Result<Option<Forecast>, StoreError> {
        self.read("the latest forecast run", |conn| {
            conn.prepare_cached(
                "SELECT forecast FROM run WHERE question IN (?1, ?2) AND source = ?3
                 ORDER BY fetched_at DESC LIMIT 1",
            )?
            .query_row([question, older, source], |row| {
                row.get(0).map(|Json(forecast)| forecast)
            })
            .optional()
        })
    }

    /// What is known of the run of a source that was fetched last as the answer to one of two questions, without its hours.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn heard(
        &self,
        [question, older]: [&str; 2],
        source: &str,
    ) -> Result<Option<Heard>, StoreError> {
        self.read("when a source was heard", |conn| {
            conn.prepare_cached(
                "SELECT fetched_at, data_at, json_extract(forecast, '$.attribution') FROM run
                 WHERE question IN (?1, ?2) AND source = ?3 ORDER BY fetched_at DESC LIMIT 1",
            )?
            .query_row([question, older, source], |row| {
                let (At(fetched_at), At(data_at)) = (row.get(0)?, row.get(1)?);
                Ok(Heard {
                    fetched_at,
                    data_at,
                    attribution: row.get(2)?,
                })
            })
            .optional()
        })
    }

    /// The state of the runs that answer a question: another one when a run has come or gone.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn runs_state(&self, question: &str) -> Result<RunsState, StoreError> {
        self.read("whether a forecast run has come", |conn| {
            conn.prepare_cached("SELECT count(*), max(fetched_at) FROM run WHERE question = ?1")?
                .query_row([question], |row| {
                    let newest: Option<At> = row.get(1)?;
                    Ok(RunsState {
                        runs: row.get(0)?,
                        newest: newest.map(|At(at)| at),
                    })
                })
        })
    }

    /// The days of the last run of each UTC day and source that answers a question and was fetched at `since` or later, each
    /// with when it was fetched, the oldest first; of a run that was kept by an older program they are read off in a zone.
    ///
    /// # Errors
    /// When the store cannot be read, or a run cannot be understood by this program.
    pub fn days_since(
        &self,
        question: &str,
        since: DateTime<Utc>,
        zone: &Zone,
    ) -> Result<Vec<(DateTime<Utc>, RunDays)>, StoreError> {
        self.read("the kept forecast runs", |conn| {
            let mut runs: Vec<(DateTime<Utc>, RunDays)> = conn
                .prepare_cached(
                    "SELECT fetched_at, days, CASE WHEN days IS NULL THEN forecast END FROM run
                     WHERE question = ?1 AND fetched_at >= ?2 AND NOT EXISTS (
                         SELECT 1 FROM run AS later
                         WHERE later.question = run.question AND later.source = run.source
                             AND later.fetched_at > run.fetched_at
                             AND later.fetched_at < substr(run.fetched_at, 1, 10) || 'U')
                     ORDER BY fetched_at DESC LIMIT ?3",
                )?
                .query_map(params![question, At(since), READ_MAX], |row| {
                    let At(at) = row.get(0)?;
                    let days: Option<Json<RunDays>> = row.get(1)?;
                    if let Some(Json(days)) = days {
                        return Ok((at, days));
                    }
                    let Json(forecast): Json<Forecast> = row.get(2)?;
                    Ok((at, RunDays::of(&forecast, zone)))
                })?
                .collect::<engine::Result<_>>()?;
            runs.reverse();
            Ok(runs)
        })
    }
}

/// The quarter of a UTC day and the source, such as `2027-04-22/3 open-meteo`; at most one run is kept for each.
fn slot(at: DateTime<Utc>, source: &str) -> String {
    format!("{}/{} {source}", at.date_naive(), at.hour() / SLOT_HOURS)
}

fn thin_out(
    change: &Transaction<'_>,
    (question, source): (&str, &str),
    now: DateTime<Utc>,
) -> engine::Result<()> {
    // Nothing but its days is learned from an earlier run, and they are a hundredth of it.
    change
        .prepare_cached(
            "UPDATE run SET forecast = 'null'
             WHERE question = ?1 AND source = ?2 AND forecast <> 'null' AND days IS NOT NULL
                 AND fetched_at < (SELECT max(fetched_at) FROM run AS later
                     WHERE later.question = ?1 AND later.source = ?2)",
        )?
        .execute([question, source])?;
    change
        .prepare_cached(
            "DELETE FROM run WHERE question = ?1 AND (fetched_at < ?2 OR fetched_at < ?3 AND EXISTS (
                 SELECT 1 FROM run AS later
                 WHERE later.question = run.question AND later.source = run.source
                     AND later.fetched_at > run.fetched_at
                     AND later.fetched_at < substr(run.fetched_at, 1, 10) || 'U'))",
        )?
        .execute(params![question, At(now - KEPT_FOR), At(now - DENSE_FOR)])?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::Hours;
    use crate::units::Celsius;

    fn run(at: DateTime<Utc>, degrees: f64) -> Forecast {
        Forecast {
            spans: Vec::new(),
            source: "invented".to_owned(),
            attribution: "invented weather".to_owned(),
            data_at: at,
            elevation: None,
            run: Hours {
                start: at,
                temperature: vec![Some(Celsius::new(degrees)), None],
            },
            members: vec![Hours {
                start: at,
                temperature: vec![Some(Celsius::new(degrees / 3.0))],
            }],
            conditions: None,
        }
    }

    fn days(run: &Forecast) -> RunDays {
        RunDays::of(run, &Zone::utc())
    }

    fn save(store: &mut Store, question: &str, run: &Forecast, at: DateTime<Utc>) {
        store.save_run(question, (run, &days(run)), at).unwrap();
    }

    fn instants(store: &Store) -> Vec<DateTime<Utc>> {
        let mut select = store
            .conn
            .prepare_cached("SELECT fetched_at FROM run ORDER BY fetched_at")
            .unwrap();
        let instants = select
            .query_map(params![], |row| row.get(0).map(|At(at)| at))
            .unwrap();
        instants.map(Result::unwrap).collect()
    }

    #[test]
    fn of_hourly_runs_four_a_day_are_kept_and_later_one() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let hour = |n| start + TimeDelta::hours(n);
        for n in 0..24 * 30 {
            save(&mut store, "museum", &run(hour(n), 1.0), hour(n));
        }
        let kept = instants(&store);
        let on = |date: DateTime<Utc>| {
            kept.iter()
                .filter(|at| at.date_naive() == date.date_naive())
                .map(Timelike::hour)
                .collect::<Vec<_>>()
        };
        assert_eq!(on(hour(24 * 29)), [5, 11, 17, 23]);
        assert_eq!(on(hour(24 * 2)), [23]);
    }

    #[test]
    fn the_latest_run_of_a_source_alone_is_kept_whole() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        let later = start + TimeDelta::hours(12);
        let other = Forecast {
            source: "another".to_owned(),
            ..run(start, 3.0)
        };
        save(&mut store, "museum", &run(start, 0.1 + 0.2), start);
        save(&mut store, "museum", &other, start);
        save(&mut store, "abbey", &run(start, 3.0), start);
        save(&mut store, "museum", &run(later, 2.0), later);
        let kept: Vec<Option<Forecast>> = {
            let mut select = store
                .conn
                .prepare_cached("SELECT forecast FROM run ORDER BY question, fetched_at, source")
                .unwrap();
            let rows = select
                .query_map(params![], |row| row.get(0).map(|Json(forecast)| forecast))
                .unwrap();
            rows.map(Result::unwrap).collect()
        };
        let whole = [run(start, 3.0), other, run(later, 2.0)].map(Some);
        let [abbey, another, latest] = whole;
        assert_eq!(kept, [abbey, another, None, latest]);
    }

    #[test]
    fn a_run_of_an_older_program_has_its_days_read_off() {
        let mut store = Store::in_memory().unwrap();
        let at: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        save(&mut store, "museum", &run(at, 5.0), at);
        let forget = "UPDATE run SET days = NULL";
        store.conn.execute(forget, params![]).unwrap();
        let read = store.days_since("museum", at, &Zone::utc()).unwrap();
        assert_eq!(read, [(at, days(&run(at, 5.0)))]);
    }

    #[test]
    fn of_each_day_and_source_the_last_run_is_read_the_oldest_first() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let at = |hour| start + TimeDelta::hours(hour);
        let other = |hour| Forecast {
            source: "another".to_owned(),
            ..run(at(hour), 2.0)
        };
        for hour in [5, 17, 29, 41, 65] {
            save(&mut store, "museum", &run(at(hour), 1.0), at(hour));
        }
        save(&mut store, "museum", &other(8), at(8));
        save(&mut store, "abbey", &run(at(47), 9.0), at(47));
        let read = |since| -> Vec<RunDays> {
            let runs = store.days_since("museum", at(since), &Zone::utc()).unwrap();
            runs.into_iter().map(|(_, days)| days).collect()
        };
        assert_eq!(
            read(0),
            [
                other(8),
                run(at(17), 1.0),
                run(at(41), 1.0),
                run(at(65), 1.0)
            ]
            .map(|run| days(&run))
        );
        assert_eq!(read(42), [days(&run(at(65), 1.0))]);
    }

    #[test]
    fn a_run_older_than_the_limit_goes() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        for days in [0, 1, 400] {
            let at = start + TimeDelta::days(days);
            save(&mut store, "museum", &run(at, 1.0), at);
        }
        let day = TimeDelta::days(1);
        assert_eq!(instants(&store), [start, start + day, start + day * 400]);
        let next = start + day * 401;
        save(&mut store, "museum", &run(next, 1.0), next);
        assert_eq!(instants(&store), [start + day, start + day * 400, next]);
    }

    #[test]
    fn a_run_that_was_fetched_earlier_does_not_push_out_a_later_one() {
        let mut store = Store::in_memory().unwrap();
        let late: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        let early = late - TimeDelta::hours(1);
        save(&mut store, "museum", &run(late, 5.0), late);
        save(&mut store, "museum", &run(early, 4.0), early);
        assert_eq!(
            store.latest_run(["museum", ""], "invented").unwrap(),
            Some(run(late, 5.0))
        );
    }

    #[test]
    fn other_questions_have_other_answers_and_what_an_older_program_kept_stands_in() {
        let mut store = Store::in_memory().unwrap();
        let at: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        save(&mut store, "museum", &run(at, 5.0), at);
        let latest = |asked| store.latest_run(asked, "invented").unwrap();
        assert_eq!(latest(["abbey", "of it"]), None);
        assert_eq!(latest(["abbey", "museum"]), Some(run(at, 5.0)));
        assert_eq!(
            store.runs_state("abbey").unwrap(),
            store.runs_state("").unwrap()
        );
        assert_ne!(
            store.runs_state("abbey").unwrap(),
            store.runs_state("museum").unwrap()
        );
    }
}
