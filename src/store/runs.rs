//! The forecast runs that were fetched: the latest to work with, the older ones to learn from.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Timelike, Utc};
use rusqlite::{OptionalExtension, Transaction, params};

use super::columns::{At, Json};
use super::{Store, StoreError};
use crate::forecast::{Forecast, Heard, Hours};
use crate::units::{Celsius, count};

/// How long a run is kept.
pub const KEPT_FOR: TimeDelta = TimeDelta::days(400);

/// How long four runs a day are kept whole; of older days only the last run, and of its ensemble, which is fifty times
/// as large as the run itself, the means of its two halves: their mean is the ensemble's, and their number tells it
/// from a single run.
const DENSE_FOR: TimeDelta = TimeDelta::days(14);

/// Hours of the part of a day of which one run is kept.
const SLOT_HOURS: u32 = 6;

/// So many runs are read at most: those of two sources over the time that runs are kept.
const READ_MAX: u32 = 800;

impl Store {
    /// Keeps a run that was fetched at `at`, in place of an earlier one of its source in the same quarter of a day.
    ///
    /// # Errors
    /// When the store cannot be written; the runs before stay.
    pub fn save_run(
        &mut self,
        garden: &str,
        forecast: &Forecast,
        at: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("a forecast run", |change| {
            change.execute(
                "INSERT INTO run (garden, slot, fetched_at, data_at, source, forecast)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)
                 ON CONFLICT (garden, slot) DO UPDATE SET fetched_at = excluded.fetched_at,
                     data_at = excluded.data_at, source = excluded.source, forecast = excluded.forecast
                 WHERE fetched_at <= excluded.fetched_at",
                params![
                    garden,
                    slot(at, &forecast.source),
                    At(at),
                    At(forecast.data_at),
                    forecast.source,
                    Json(forecast)
                ],
            )?;
            thin_out(change, garden, at)
        })
    }

    /// The run of a source that was fetched last.
    ///
    /// # Errors
    /// When the store cannot be read, or the run cannot be understood by this program.
    pub fn latest_run(&self, garden: &str, source: &str) -> Result<Option<Forecast>, StoreError> {
        self.read("the latest forecast run", |conn| {
            conn.prepare_cached(
                "SELECT forecast FROM run WHERE garden = ?1 AND source = ?2
                 ORDER BY fetched_at DESC LIMIT 1",
            )?
            .query_row([garden, source], |row| {
                row.get(0).map(|Json(forecast)| forecast)
            })
            .optional()
        })
    }

    /// What is known of the run of a source that was fetched last, without its hours.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn heard(&self, garden: &str, source: &str) -> Result<Option<Heard>, StoreError> {
        self.read("when a source was heard", |conn| {
            conn.prepare_cached(
                "SELECT fetched_at, data_at, json_extract(forecast, '$.attribution') FROM run
                 WHERE garden = ?1 AND source = ?2 ORDER BY fetched_at DESC LIMIT 1",
            )?
            .query_row([garden, source], |row| {
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

    /// The last run of each UTC day and source that was fetched at `since` or later, the oldest first.
    ///
    /// # Errors
    /// When the store cannot be read, or a run cannot be understood by this program.
    pub fn runs_since(
        &self,
        garden: &str,
        since: DateTime<Utc>,
    ) -> Result<Vec<Forecast>, StoreError> {
        self.read("the kept forecast runs", |conn| {
            let mut runs: Vec<Forecast> = conn
                .prepare_cached(
                    "SELECT forecast FROM run WHERE garden = ?1 AND fetched_at >= ?2 AND NOT EXISTS (
                         SELECT 1 FROM run AS later
                         WHERE later.garden = run.garden AND later.source = run.source
                             AND later.fetched_at > run.fetched_at
                             AND later.fetched_at < date(run.fetched_at, '+1 day'))
                     ORDER BY fetched_at DESC LIMIT ?3",
                )?
                .query_map(params![garden, At(since), READ_MAX], |row| {
                    row.get(0).map(|Json(forecast)| forecast)
                })?
                .collect::<rusqlite::Result<_>>()?;
            runs.reverse();
            Ok(runs)
        })
    }
}

/// The quarter of a UTC day and the source, such as `2027-04-22/3 open-meteo`; at most one run is kept for each.
fn slot(at: DateTime<Utc>, source: &str) -> String {
    format!("{}/{} {source}", at.date_naive(), at.hour() / SLOT_HOURS)
}

fn thin_out(change: &Transaction<'_>, garden: &str, now: DateTime<Utc>) -> rusqlite::Result<()> {
    // Nothing is learned from the conditions of an earlier run, and they are many times as large as its temperatures.
    change.execute(
        "UPDATE run SET forecast = json_remove(forecast, '$.conditions')
         WHERE garden = ?1 AND json_type(forecast, '$.conditions') IS NOT NULL
             AND fetched_at < (SELECT max(fetched_at) FROM run AS later
                 WHERE later.garden = run.garden AND later.source = run.source)",
        params![garden],
    )?;
    change.execute(
        "DELETE FROM run WHERE garden = ?1 AND (fetched_at < ?2 OR fetched_at < ?3 AND EXISTS (
             SELECT 1 FROM run AS later
             WHERE later.garden = run.garden AND later.source = run.source
                 AND later.fetched_at > run.fetched_at
                 AND date(later.fetched_at) = date(run.fetched_at)))",
        params![garden, At(now - KEPT_FOR), At(now - DENSE_FOR)],
    )?;
    let large: Vec<(i64, Forecast)> = change
        .prepare_cached(
            "SELECT id, forecast FROM run WHERE garden = ?1 AND fetched_at < ?2
             AND json_array_length(forecast, '$.members') > 2",
        )?
        .query_map(params![garden, At(now - DENSE_FOR)], |row| {
            let Json(forecast) = row.get(1)?;
            Ok((row.get(0)?, forecast))
        })?
        .collect::<rusqlite::Result<_>>()?;
    for (id, mut forecast) in large {
        forecast.members = halves(&forecast.members);
        change.execute(
            "UPDATE run SET forecast = ?2 WHERE id = ?1",
            params![id, Json(&forecast)],
        )?;
    }
    Ok(())
}

/// The means of the members at even and at odd positions.
fn halves(members: &[Hours]) -> Vec<Hours> {
    [0, 1]
        .into_iter()
        .filter_map(|first| mean(members.iter().skip(first).step_by(2)))
        .collect()
}

/// The mean of members hour by hour, of those that have the hour.
fn mean<'a>(members: impl Iterator<Item = &'a Hours>) -> Option<Hours> {
    let mut sums: BTreeMap<DateTime<Utc>, (f64, usize)> = BTreeMap::new();
    for (at, temperature) in members.flat_map(Hours::iter) {
        let (sum, known) = sums.entry(at).or_default();
        if let Some(temperature) = temperature {
            *sum += temperature.degrees();
            *known += 1;
        }
    }
    let (start, _) = sums.first_key_value()?;
    Some(Hours {
        start: *start,
        temperature: sums
            .values()
            .map(|(sum, known)| (*known > 0).then(|| Celsius::new(sum / count(*known))))
            .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::{Condition, Conditions};

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

    fn instants(store: &Store) -> Vec<DateTime<Utc>> {
        let mut select = store
            .conn
            .prepare("SELECT fetched_at FROM run ORDER BY fetched_at")
            .unwrap();
        let instants = select
            .query_map([], |row| row.get(0).map(|At(at)| at))
            .unwrap();
        instants.map(Result::unwrap).collect()
    }

    #[test]
    fn of_hourly_runs_four_a_day_are_kept_and_later_one() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let hour = |n| start + TimeDelta::hours(n);
        for n in 0..24 * 30 {
            store
                .save_run("museum", &run(hour(n), 1.0), hour(n))
                .unwrap();
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
    fn the_latest_run_alone_keeps_its_conditions() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        let with_conditions = |at, degrees| Forecast {
            conditions: Some(Conditions {
                start: at,
                hours: vec![Condition {
                    dew_point: Some(Celsius::new(degrees)),
                    ..Condition::default()
                }],
            }),
            ..run(at, degrees)
        };
        let later = start + TimeDelta::hours(12);
        for (at, degrees) in [(start, 0.1 + 0.2), (later, 2.0)] {
            store
                .save_run("museum", &with_conditions(at, degrees), at)
                .unwrap();
            store
                .save_run("abbey", &with_conditions(start, 3.0), start)
                .unwrap();
        }
        let kept: Vec<Forecast> = {
            let mut select = store
                .conn
                .prepare("SELECT forecast FROM run ORDER BY garden, fetched_at")
                .unwrap();
            let rows = select
                .query_map([], |row| row.get(0).map(|Json(forecast)| forecast))
                .unwrap();
            rows.map(Result::unwrap).collect()
        };
        assert_eq!(
            kept,
            [
                with_conditions(start, 3.0),
                run(start, 0.1 + 0.2),
                with_conditions(later, 2.0)
            ]
        );
    }

    #[test]
    fn an_old_run_keeps_its_ensemble_as_the_means_of_two_halves() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let member = |temperatures: &[Option<f64>]| Hours {
            start,
            temperature: temperatures.iter().map(|t| t.map(Celsius::new)).collect(),
        };
        let old = Forecast {
            members: vec![
                member(&[Some(1.0), Some(2.0), None]),
                member(&[Some(7.0), Some(8.0), Some(9.0)]),
                member(&[Some(3.0), None, None]),
            ],
            ..run(start, 0.1 + 0.2)
        };
        store.save_run("museum", &old, start).unwrap();
        let later = start + DENSE_FOR + TimeDelta::seconds(1);
        store.save_run("museum", &run(later, 1.0), later).unwrap();
        let kept = store.runs_since("museum", start).unwrap();
        let thin = Forecast {
            members: vec![
                member(&[Some(2.0), Some(2.0), None]),
                member(&[Some(7.0), Some(8.0), Some(9.0)]),
            ],
            ..old
        };
        assert_eq!(kept, [thin, run(later, 1.0)]);
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
            store
                .save_run("museum", &run(at(hour), 1.0), at(hour))
                .unwrap();
        }
        store.save_run("museum", &other(8), at(8)).unwrap();
        store.save_run("abbey", &run(at(47), 9.0), at(47)).unwrap();
        let read = |since| store.runs_since("museum", at(since)).unwrap();
        assert_eq!(
            read(0),
            [
                other(8),
                run(at(17), 1.0),
                run(at(41), 1.0),
                run(at(65), 1.0)
            ]
        );
        assert_eq!(read(42), [run(at(65), 1.0)]);
    }

    #[test]
    fn a_run_older_than_the_limit_goes() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        for days in [0, 1, 400] {
            let at = start + TimeDelta::days(days);
            store.save_run("museum", &run(at, 1.0), at).unwrap();
        }
        let day = TimeDelta::days(1);
        assert_eq!(instants(&store), [start, start + day, start + day * 400]);
        let next = start + day * 401;
        store.save_run("museum", &run(next, 1.0), next).unwrap();
        assert_eq!(instants(&store), [start + day, start + day * 400, next]);
    }

    #[test]
    fn a_run_that_was_fetched_earlier_does_not_push_out_a_later_one() {
        let mut store = Store::in_memory().unwrap();
        let late: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        let early = late - TimeDelta::hours(1);
        store.save_run("museum", &run(late, 5.0), late).unwrap();
        store.save_run("museum", &run(early, 4.0), early).unwrap();
        assert_eq!(
            store.latest_run("museum", "invented").unwrap(),
            Some(run(late, 5.0))
        );
    }

    #[test]
    fn gardens_do_not_share_runs() {
        let mut store = Store::in_memory().unwrap();
        let at: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        store.save_run("museum", &run(at, 5.0), at).unwrap();
        assert_eq!(store.latest_run("abbey", "invented").unwrap(), None);
    }
}
