//! What is old goes, so that the file stays of one size: each table has its rule.
//!
//! Deeds and sightings stay for good, a few rows a year; the rules of runs, readings and mails stand beside them.

use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Transaction};
use super::{queue, runs};

/// Lines of the journal go after so long.
const JOURNAL_KEPT_FOR: TimeDelta = TimeDelta::days(1097);

/// Answers are kept as long as the journal: by then their links have long ended.
const ANSWERS_KEPT_FOR: TimeDelta = TimeDelta::days(3 * 366);

/// Past years that nobody has asked for in so long are of no garden any more: every day brings them a new day.
const PASTS_KEPT_FOR: TimeDelta = ANSWERS_KEPT_FOR;

/// Looks, what was said after cuts, and of which kind the nights were: more than a year, so that a season has the one before.
const SEASONS_KEPT_FOR: TimeDelta = TimeDelta::days(400);

/// Drops what is older than its rule allows, as a part of a round.
pub(super) fn forget_old(change: &Transaction<'_>, now: DateTime<Utc>) -> engine::Result<()> {
    queue::forget_old(change, now)?;
    // Counted from the newest line, and a day beyond the three years after which the table itself allows it.
    let newest: Option<At> =
        change.query_row("SELECT max(at) FROM journal", params![], |row| row.get(0))?;
    if let Some(At(newest)) = newest {
        let line = At(newest - JOURNAL_KEPT_FOR);
        execute(change, "DELETE FROM journal WHERE at < ?1", [line])?;
    }
    execute(
        change,
        "DELETE FROM answer WHERE told_at < ?1 AND (silent_until IS NULL OR silent_until < ?2)
             AND (answer <> 'no-letters' OR undone_at IS NOT NULL)",
        params![At(now - ANSWERS_KEPT_FOR), Day(now.date_naive())],
    )?;
    let past = At(now - PASTS_KEPT_FOR);
    execute(change, "DELETE FROM past WHERE fetched_at < ?1", [past])?;
    let run = At(now - runs::KEPT_FOR);
    execute(change, "DELETE FROM run WHERE fetched_at < ?1", [run])?;
    let season = now - SEASONS_KEPT_FOR;
    execute(change, "DELETE FROM said_after WHERE at < ?1", [At(season)])?;
    let first = Day(season.date_naive());
    execute(change, "DELETE FROM looked WHERE day < ?1", [&first])?;
    execute(change, "DELETE FROM refusal WHERE day < ?1", [first])?;
    execute(
        change,
        "DELETE FROM night WHERE morning < ?1",
        [Day(season.date_naive())],
    )?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::journal::{self, JournalLine};
    use crate::store::{Round, Store};

    /// Two rounds a day with ten lines of the journal each, an answer a week, a night a day.
    fn year(store: &mut Store, first: DateTime<Utc>) {
        for half_days in 0..2 * 365 {
            let at = first + TimeDelta::hours(12 * half_days);
            let day = at.date_naive();
            store
                .write("a half day", |change| {
                    for n in 0..10 {
                        let line = JournalLine {
                            at,
                            garden: "museum".to_owned(),
                            cut: format!("cut-{n}"),
                            what: "verdict".to_owned(),
                            detail: "wait -> go".repeat(3),
                        };
                        journal::add(change, &line)?;
                    }
                    execute(
                        change,
                        "INSERT OR REPLACE INTO night VALUES ('museum', ?1, 'other')",
                        [Day(day)],
                    )?;
                    if half_days % 14 == 0 {
                        execute(
                            change,
                            "INSERT INTO answer (mark, garden, cut, answer, day, told_at)
                             VALUES (?1, 'museum', 'box', 'frost-damage', ?2, ?1)",
                            params![At(at), Day(day)],
                        )?;
                    }
                    Ok(())
                })
                .unwrap();
            store.close_round("museum", &Round::at(at)).unwrap();
        }
    }

    #[test]
    fn the_file_stays_of_one_size_from_the_fourth_year_on() {
        let mut store = Store::in_memory().unwrap();
        let first: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        let mut pages = Vec::new();
        for n in 0..6 {
            year(&mut store, first + TimeDelta::days(365 * n));
            let count: i64 = store
                .conn
                .query_row("PRAGMA page_count", params![], |row| row.get(0))
                .unwrap();
            pages.push(count);
        }
        assert!(pages[2] > pages[0] * 2, "three years are kept: {pages:?}");
        assert!(pages[5] <= pages[3] + pages[3] / 50, "{pages:?}");
        let oldest: String = store
            .conn
            .query_row("SELECT min(at) FROM journal", params![], |row| row.get(0))
            .unwrap();
        assert!(
            oldest.as_str() > "2029-12-26" && oldest.as_str() < "2030-01-03",
            "{oldest}"
        );
    }

    #[test]
    fn a_line_of_the_journal_does_not_go_before_its_time() {
        let mut store = Store::in_memory().unwrap();
        let first: DateTime<Utc> = "2027-01-01T00:00:00Z".parse().unwrap();
        year(&mut store, first);
        let shorten = |store: &mut Store| {
            store.write("the journal", |change| {
                execute(change, "DELETE FROM journal", params![])
            })
        };
        assert!(shorten(&mut store).is_err());
    }
}
