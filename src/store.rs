//! Where everything that has to outlast the process is kept: one SQLite file.
//!
//! In: records, forecast runs, verdicts, deeds, sightings and mails, by garden name. Out: the same again, after any kind of stop.
//! Does not fetch, judge or send anything, and does not read the clock. Every change is one transaction: what was
//! decided, what was said and what is to be mailed are written together or not at all.

mod answers;
mod columns;
mod copies;
mod deeds;
mod error;
mod files;
mod footing;
mod journal;
mod letters;
mod lock;
mod looked;
mod open;
mod outbox;
mod queue;
mod readers;
mod readings;
mod record;
mod refusals;
mod rescue;
mod round;
mod runs;
mod schema;
mod sending;
mod silence;
mod upkeep;
mod warned;
mod watched;

use std::cell::Cell;
use std::path::PathBuf;

use chrono::NaiveDate;
use rusqlite::{Connection, Transaction, TransactionBehavior};

pub use answers::{GivenAnswer, Noted, Quiet};
pub use error::{NextStep, StoreError};
pub use journal::JournalLine;
pub use letters::{Before, Says, Unsent};
pub use lock::StoreLock;
pub use looked::Slot;
pub use outbox::{Delivery, OutboxItem, retry_at};
pub use readings::{Kept, SENSOR};
pub use refusals::BadAddress;
pub use rescue::{Place, Restored};
pub use round::{Closed, Letter, RestoredTold, Round, Told, WeatherTurn};
pub use runs::{KEPT_FOR, RunsState, older_question};
pub use sending::Failure;
pub use silence::{Trouble, Turn};
pub use watched::ToldAfter;

/// The most pages that a file may have (SQLite, limits).
const PAGES_MAX: i64 = 4_294_967_294;

/// More than one round of a garden writes, with the log.
const TRIAL_BYTES: usize = 1 << 20;

/// An open store; one connection, used by one thread at a time.
#[derive(Debug)]
pub struct Store {
    conn: Connection,
    /// Where it lies; none in memory.
    path: Option<PathBuf>,
    /// Whether `conn` is the file; while it is not, nothing is read and nothing kept.
    is_open: bool,
    /// How often in a row the disk has failed.
    failures: Cell<u32>,
    /// On which day it was last gone through for what is old.
    tidied: Cell<Option<NaiveDate>>,
    /// How often the file was opened anew.
    reopened: u32,
}

/// The state of a store: another one after any change, whether this program or another made it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct State {
    reopened: u32,
    by_others: i64,
    own: u64,
}

impl State {
    /// Whether this program alone has changed the store since.
    pub fn is_own_change_of(&self, before: &Self) -> bool {
        (self.reopened, self.by_others) == (before.reopened, before.by_others)
    }
}

impl Store {
    /// Reads from the store; `what` names it in an error.
    fn read<T>(
        &self,
        what: &'static str,
        work: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, StoreError> {
        work(&self.conn).map_err(|cause| self.counted(StoreError::reading(what, cause)))
    }

    /// Reads several things as they stood together, in one go at the file.
    ///
    /// # Errors
    /// When the file cannot be read, and what the work returns.
    pub fn at_one_time<T>(
        &self,
        work: impl FnOnce(&Self) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let failed = |cause| self.counted(StoreError::reading("the store", cause));
        let begun = self.conn.unchecked_transaction().map_err(failed)?;
        let read = work(self)?;
        drop(begun);
        Ok(read)
    }

    /// Changes the store in one transaction that holds as a whole or not at all.
    fn write<T>(
        &mut self,
        what: &'static str,
        work: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>,
    ) -> Result<T, StoreError> {
        let change = || {
            let change = self
                .conn
                .transaction_with_behavior(TransactionBehavior::Immediate)?;
            let done = work(&change)?;
            change.commit()?;
            Ok(done)
        };
        let done = change();
        if done.is_ok() {
            self.failures.set(0);
        }
        done.map_err(|cause| self.counted(StoreError::writing(what, cause)))
    }

    /// Its state.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn state(&self) -> Result<State, StoreError> {
        self.read("whether anything has changed", |conn| {
            Ok(State {
                reopened: self.reopened,
                by_others: conn.pragma_query_value(None, "data_version", |row| row.get(0))?,
                own: conn.total_changes(),
            })
        })
    }

    /// Lets the file grow to so many bytes at most; beyond it every write fails as on a full disk. Never less than it has.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn cap(&mut self, bytes: u64) -> Result<(), StoreError> {
        self.read("how large the store may become", |conn| {
            let page: i64 = conn.pragma_query_value(None, "page_size", |row| row.get(0))?;
            let pages = i64::try_from(bytes).unwrap_or(i64::MAX) / page.max(1);
            conn.pragma_update_and_check(None, "max_page_count", pages.clamp(1, PAGES_MAX), |_| {
                Ok(())
            })
        })
    }

    /// Sees whether the disk takes as much as a round needs.
    ///
    /// # Errors
    /// When it does not; the store itself is as it was.
    pub fn try_to_write(&mut self) -> Result<(), StoreError> {
        let Some(path) = &self.path else {
            return Ok(());
        };
        let trial = files::beside(path, "trial");
        let written = std::fs::write(&trial, vec![0; TRIAL_BYTES])
            .and_then(|()| std::fs::File::open(&trial)?.sync_all());
        std::fs::remove_file(&trial).ok();
        let path = path.clone();
        written.map_err(|cause| StoreError::NoRoom { path, cause })?;
        self.write("the store", |change| {
            change.pragma_update(None, "application_id", schema::APPLICATION_ID)
        })
    }

    /// An error with how often in a row the disk has failed.
    fn counted(&self, mut error: StoreError) -> StoreError {
        if let StoreError::Broken { times, .. } = &mut error {
            self.failures.set(self.failures.get() + 1);
            *times = self.failures.get();
        }
        error
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_store_without_room_keeps_what_it_has_and_goes_on_when_there_is_room() {
        let mut store = Store::in_memory().unwrap();
        let limit = |store: &Store, pages: u32| {
            let set = store
                .conn
                .query_row(&format!("PRAGMA max_page_count = {pages}"), [], |_| Ok(()));
            set.unwrap();
        };
        let pages: u32 = store
            .conn
            .query_row("PRAGMA page_count", [], |row| row.get(0))
            .unwrap();
        limit(&store, pages);
        let fill = |store: &mut Store| {
            store.write("a large thing", |change| {
                change.execute(
                    "INSERT INTO said VALUES ('a', 'b', 'c', zeroblob(0) || ?1, NULL)",
                    ["x".repeat(100_000)],
                )
            })
        };
        let error = fill(&mut store).unwrap_err();
        assert_eq!(error.next_step(), NextStep::Wait, "{error:?}");
        assert_eq!(store.last_round("museum").unwrap(), None);
        limit(&store, u32::MAX / 2);
        fill(&mut store).unwrap();
    }

    #[test]
    fn a_store_that_was_opened_anew_has_all_that_was_kept() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.sqlite3");
        let mut store = Store::open(&path).unwrap();
        let key = store.link_key(&[7; 32]).unwrap();
        store.reopen().unwrap();
        assert!(store.is_open());
        assert_eq!(store.link_key(&[8; 32]).unwrap(), key);
        std::fs::write(&path, vec![0x5a; 8192]).unwrap();
        assert!(store.reopen().is_err());
        assert!(!store.is_open());
        assert!(
            store.link_key(&[8; 32]).is_err(),
            "nothing is made up meanwhile"
        );
    }
}
