//! Where everything that has to outlast the process is kept: one SQLite file, or a database that several daemons share.
//!
//! In: records, forecast runs, verdicts, deeds, sightings and mails, by garden name. Out: the same again, after any kind of stop.
//! Does not fetch, judge or send anything, and does not read the clock. Every change is one transaction: what was
//! decided, what was said and what is to be mailed are written together or not at all.

mod answers;
mod columns;
mod copies;
mod database;
mod deeds;
mod engine;
mod error;
mod files;
mod footing;
mod journal;
mod leases;
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
mod server;
mod silence;
mod tls;
mod upkeep;
mod warned;
mod watched;

use std::cell::Cell;
use std::path::Path;
use std::sync::Arc;

pub use answers::{GivenAnswer, Noted, Quiet};
use chrono::NaiveDate;
pub use database::{Database, StoreAt};
pub use engine::EngineError;
pub(crate) use error::chain;
pub use error::{NextStep, StoreError};
pub use journal::JournalLine;
pub use leases::Leased;
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

use engine::{Connection, Purpose, Transaction};

/// The most pages that a file may have (SQLite, limits).
const PAGES_MAX: i64 = 4_294_967_294;

/// More than one round of a garden writes, with the log.
const TRIAL_BYTES: usize = 1 << 20;

/// An open store; one connection, used by one thread at a time.
#[derive(Debug)]
pub struct Store {
    conn: Connection,
    at: StoreAt,
    /// Whether `conn` is the store; while it is not, nothing is read and nothing kept.
    is_open: bool,
    /// How often in a row the disk has failed.
    failures: Cell<u32>,
    /// On which day it was last gone through for what is old.
    tidied: Cell<Option<NaiveDate>>,
    /// How often it was opened anew.
    reopened: u32,
    /// How often it was changed, where the engine does not count that itself.
    changes: Cell<i64>,
    /// What tells this daemon from the others of a database.
    holder: Arc<str>,
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
        work: impl FnOnce(&Connection) -> engine::Result<T>,
    ) -> Result<T, StoreError> {
        work(&self.conn).map_err(|cause| self.counted(StoreError::reading(what, cause)))
    }

    /// Reads several things as they stood together, in one go at the store.
    ///
    /// # Errors
    /// When the store cannot be read, and what the work returns.
    pub fn at_one_time<T>(
        &self,
        work: impl FnOnce(&Self) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let failed = |cause| self.counted(StoreError::reading("the store", cause));
        let begun = self.conn.begin(Purpose::Read).map_err(failed)?;
        let read = work(self)?;
        drop(begun);
        Ok(read)
    }

    /// Changes the store in one transaction that holds as a whole or not at all, and counts that.
    fn write<T>(
        &mut self,
        what: &'static str,
        work: impl FnOnce(&Transaction<'_>) -> engine::Result<T>,
    ) -> Result<T, StoreError> {
        let done = self.change(what, work)?;
        self.note_change();
        Ok(done)
    }

    /// The same for what nobody is shown.
    fn change<T>(
        &self,
        what: &'static str,
        work: impl FnOnce(&Transaction<'_>) -> engine::Result<T>,
    ) -> Result<T, StoreError> {
        let change = || {
            let change = self.conn.begin(Purpose::Write)?;
            let done = work(&change)?;
            change.commit()?;
            engine::Result::Ok(done)
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
        let what = "whether anything has changed";
        let (by_others, own) = match &self.conn {
            Connection::Sqlite(conn) => {
                let version = conn.pragma_query_value(None, "data_version", |row| row.get(0));
                let version = version.map_err(|cause| StoreError::reading(what, cause));
                (version?, conn.total_changes())
            }
            Connection::Postgres(_) => {
                let all = self.read(what, server::changes)?;
                (all - self.changes.get(), self.changes.get().unsigned_abs())
            }
        };
        Ok(State {
            reopened: self.reopened,
            by_others,
            own,
        })
    }

    /// Lets the file grow to so many bytes at most; beyond it every write fails as on a full disk. Never less than it has.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn cap(&mut self, bytes: u64) -> Result<(), StoreError> {
        let Connection::Sqlite(conn) = &self.conn else {
            return Ok(());
        };
        let cap = || {
            let page: i64 = conn.pragma_query_value(None, "page_size", |row| row.get(0))?;
            let pages = i64::try_from(bytes).unwrap_or(i64::MAX) / page.max(1);
            let pages = pages.clamp(1, PAGES_MAX);
            conn.pragma_update_and_check(None, "max_page_count", pages, |_| Ok(()))
        };
        cap().map_err(|cause| StoreError::reading("how large the store may become", cause))
    }

    /// Sees whether the disk takes as much as a round needs.
    ///
    /// # Errors
    /// When it does not; the store itself is as it was.
    pub fn try_to_write(&mut self) -> Result<(), StoreError> {
        if let Some(path) = self.at.file() {
            let trial = files::beside(path, "trial");
            let written = std::fs::write(&trial, vec![0; TRIAL_BYTES])
                .and_then(|()| std::fs::File::open(&trial)?.sync_all());
            std::fs::remove_file(&trial).ok();
            let path = path.to_owned();
            written.map_err(|cause| StoreError::NoRoom { path, cause })?;
        }
        self.write("the store", |change| match &**change {
            Connection::Sqlite(conn) => {
                Ok(conn.pragma_update(None, "application_id", schema::APPLICATION_ID)?)
            }
            Connection::Postgres(_) => server::touch(change),
        })
    }

    /// Notes a change of a store that does not count its changes itself.
    fn note_change(&self) {
        if let Connection::Postgres(_) = self.conn
            && server::count_change(&self.conn).is_ok()
        {
            self.changes.set(self.changes.get() + 1);
        }
    }

    /// The file of SQLite and where it lies; none of a database or in memory.
    fn file(&self) -> Option<(&rusqlite::Connection, &Path)> {
        match (&self.conn, self.at.file()) {
            (Connection::Sqlite(conn), Some(path)) => Some((conn, path)),
            (Connection::Sqlite(_) | Connection::Postgres(_), _) => None,
        }
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
    use rusqlite::params;

    use super::*;

    #[test]
    fn a_store_without_room_keeps_what_it_has_and_goes_on_when_there_is_room() {
        let mut store = Store::in_memory().unwrap();
        let limit = |store: &Store, pages: u32| {
            let set = format!("PRAGMA max_page_count = {pages}");
            store.conn.query_row(&set, params![], |_| Ok(())).unwrap();
        };
        let pages: u32 = store
            .conn
            .query_row("PRAGMA page_count", params![], |row| row.get(0))
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
