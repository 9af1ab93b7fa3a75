//! The forecast runs that were fetched: the latest to work with, the older ones to learn from.

use chrono::{DateTime, TimeDelta, Timelike, Utc};
use rusqlite::{OptionalExtension, Transaction, params};

use super::columns::{At, Json};
use super::{Store, StoreError};
use crate::forecast::Forecast;

/// How long a run is kept.
const KEPT_FOR: TimeDelta = TimeDelta::days(400);

/// How long four runs a day are kept whole; of older days only the last run, without the members of its ensemble,
/// which are fifty times as large as the run itself.
const DENSE_FOR: TimeDelta = TimeDelta::days(14);

/// Hours of the part of a day of which one run is kept.
const SLOT_HOURS: u32 = 6;

impl Store {
    /// Keeps a run that was fetched at `at`, in place of an earlier one of the same quarter of a day.
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
                    slot(at),
                    At(at),
                    At(forecast.data_at),
                    forecast.source,
                    Json(forecast)
                ],
            )?;
            thin_out(change, garden, at)
        })
    }

    /// The run that was fetched last.
    ///
    /// # Errors
    /// When the store cannot be read, or the run cannot be understood by this program.
    pub fn latest_run(&self, garden: &str) -> Result<Option<Forecast>, StoreError> {
        self.read("the latest forecast run", |conn| {
            conn.prepare_cached(
                "SELECT forecast FROM run WHERE garden = ?1
                 ORDER BY fetched_at DESC LIMIT 1",
            )?
            .query_row([garden], |row| row.get(0).map(|Json(forecast)| forecast))
            .optional()
        })
    }
}

/// The quarter of a UTC day, such as `2027-04-22/3`; at most one run is kept for each.
fn slot(at: DateTime<Utc>) -> String {
    format!("{}/{}", at.date_naive(), at.hour() / SLOT_HOURS)
}

fn thin_out(change: &Transaction<'_>, garden: &str, now: DateTime<Utc>) -> rusqlite::Result<()> {
    change.execute(
        "DELETE FROM run WHERE garden = ?1 AND (fetched_at < ?2 OR fetched_at < ?3 AND EXISTS (
             SELECT 1 FROM run AS later
             WHERE later.garden = run.garden AND later.fetched_at > run.fetched_at
                 AND date(later.fetched_at) = date(run.fetched_at)))",
        params![garden, At(now - KEPT_FOR), At(now - DENSE_FOR)],
    )?;
    change.execute(
        "UPDATE run SET forecast = json_replace(forecast, '$.members', json_array())
         WHERE garden = ?1 AND fetched_at < ?2 AND json_array_length(forecast, '$.members') > 0",
        params![garden, At(now - DENSE_FOR)],
    )?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::Hours;
    use crate::units::Celsius;

    fn run(at: DateTime<Utc>, degrees: f64) -> Forecast {
        Forecast {
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
    fn an_old_run_keeps_all_but_its_members() {
        let mut store = Store::in_memory().unwrap();
        let start: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let old = run(start, 0.1 + 0.2);
        store.save_run("museum", &old, start).unwrap();
        let later = start + DENSE_FOR + TimeDelta::seconds(1);
        store.save_run("museum", &run(later, 1.0), later).unwrap();
        let select = "SELECT forecast FROM run ORDER BY fetched_at LIMIT 1";
        let kept = store.conn.query_row(select, [], |row| row.get(0));
        let Json(kept): Json<Forecast> = kept.unwrap();
        assert_eq!(kept.members, []);
        assert_eq!(
            Forecast {
                members: old.members.clone(),
                ..kept
            },
            old
        );
        assert_eq!(store.latest_run("museum").unwrap(), Some(run(later, 1.0)));
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
        assert_eq!(store.latest_run("museum").unwrap(), Some(run(late, 5.0)));
    }

    #[test]
    fn gardens_do_not_share_runs() {
        let mut store = Store::in_memory().unwrap();
        let at: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        store.save_run("museum", &run(at, 5.0), at).unwrap();
        assert_eq!(store.latest_run("abbey").unwrap(), None);
    }
}
