//! Opening a store: is it ours, is it sound, is it up to date.

use std::cell::Cell;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::engine;
use super::error::named;
use super::files::make_private;
use super::schema::{APPLICATION_ID, MIGRATIONS};
use super::{Store, StoreAt, StoreError};

/// How long a change waits for another process that has the file.
const BUSY_FOR: Duration = Duration::from_secs(5);

/// So many statements are remembered as they were read: all that a look and a mail need.
const STATEMENTS: usize = 128;

/// First bytes of every SQLite file (SQLite database file format, section 1.3).
const SQLITE: &[u8] = b"SQLite format 3\0";

/// The bytes of the header up to the end of the application id; the format number lies in 60..64, the id in 68..72.
const HEADER_LEN: u64 = 72;

impl Store {
    /// Opens a store, and makes it when there is none. Before its tables are changed a copy of it is kept.
    ///
    /// # Errors
    /// When the file is not a store of this program, comes from a newer one, is damaged, or cannot be written.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let store = Self::sound(path)?;
        let done = store.format()?;
        if done > 0 && done < newest_format() {
            store.keep_before(newest_format())?;
        }
        store.brought_up_to_date()
    }

    /// The same without a copy, for a file that is one.
    pub(super) fn open_bare(path: &Path) -> Result<Self, StoreError> {
        Self::sound(path)?.brought_up_to_date()
    }

    /// A store that is gone when it is dropped, for tests.
    ///
    /// # Errors
    /// When SQLite cannot make one.
    pub fn in_memory() -> Result<Self, StoreError> {
        let path = Path::new(":memory:");
        let conn = Connection::open_in_memory().map_err(|cause| StoreError::file(path, cause))?;
        Self::prepared(conn, StoreAt::Memory)?.brought_up_to_date()
    }

    /// Closes the file and opens it anew: after a failure of the disk nothing that the old handle says is to be trusted.
    ///
    /// # Errors
    /// As [`Store::open`]; the store stays closed then.
    pub fn reopen(&mut self) -> Result<(), StoreError> {
        self.is_open = false;
        // First the old handle goes, with all that the system keeps of it.
        self.conn = match self.at.clone() {
            StoreAt::Memory => {
                self.is_open = true;
                return Ok(());
            }
            StoreAt::File(path) => {
                let none = Connection::open_in_memory();
                let none = none.map_err(|cause| StoreError::file(&path, cause))?;
                self.conn = engine::Connection::Sqlite(none);
                Self::open(&path)?.conn
            }
            StoreAt::Database(database) => {
                self.conn = engine::Connection::Postgres(engine::Postgres::closed());
                Self::on_server(&database)?.conn
            }
        };
        self.is_open = true;
        self.reopened += 1;
        Ok(())
    }

    /// Whether the file is open; when opening it anew has failed it is not, and whoever needs it tries that again.
    pub fn is_open(&self) -> bool {
        self.is_open
    }

    /// A connection to a file that is ours or new, and sound, as it is.
    fn sound(path: &Path) -> Result<Self, StoreError> {
        Self::look_at(path)?;
        if !path.exists() {
            make_private(path)?;
        }
        // Without the URI flag: a file name is a name and nothing more.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = Connection::open_with_flags(path, flags)
            .map_err(|cause| StoreError::opening(path, cause))?;
        Self::prepared(conn, StoreAt::File(path.to_owned()))
    }

    fn prepared(conn: Connection, at: StoreAt) -> Result<Self, StoreError> {
        let path = named_as(&at);
        let failed = |cause: rusqlite::Error| StoreError::opening(path, cause);
        conn.set_prepared_statement_cache_capacity(STATEMENTS);
        conn.busy_timeout(BUSY_FOR).map_err(failed)?;
        conn.pragma_update(None, "foreign_keys", true)
            .map_err(failed)?;
        // A statement is planned once and not again for each new value that is bound to it (SQLite, 3.20: QPSG).
        conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)
            .map_err(failed)?;
        if conn.is_readonly("main").map_err(failed)? {
            let path = path.to_owned();
            return Err(StoreError::ReadOnly { path });
        }
        // A mail that was sent must not be forgotten in a power cut; with NORMAL the last commits can be.
        conn.pragma_update(None, "synchronous", "FULL")
            .map_err(failed)?;
        check_soundness(&conn, path, "quick_check")?;
        Ok(Self::of(engine::Connection::Sqlite(conn), at))
    }

    /// A store that is open.
    pub(super) fn of(conn: engine::Connection, at: StoreAt) -> Self {
        Self {
            conn,
            at,
            is_open: true,
            failures: Cell::new(0),
            tidied: Cell::new(None),
            reopened: 0,
            changes: Cell::new(0),
            holder: super::leases::new_holder(),
        }
    }

    fn brought_up_to_date(mut self) -> Result<Self, StoreError> {
        let path = named_as(&self.at).to_owned();
        let engine::Connection::Sqlite(conn) = &mut self.conn else {
            return Ok(self);
        };
        migrate(conn, &path, &MIGRATIONS)?;
        // Only after the first step: so the mark of a store is in the file itself and not only in its log.
        let mode: String = conn
            .pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))
            .map_err(|cause| StoreError::opening(&path, cause))?;
        if mode != "wal" && mode != "memory" {
            let cause = format!("the file system allows journal mode '{mode}' only, not 'wal'");
            return Err(StoreError::file(&path, cause));
        }
        Ok(self)
    }

    /// How many steps the tables have been through.
    fn format(&self) -> Result<u32, StoreError> {
        let Some((conn, path)) = self.file() else {
            return Ok(0);
        };
        let found = conn
            .pragma_query_value(None, "user_version", |row| row.get(0))
            .map_err(|cause| StoreError::opening(path, cause))?;
        refuse_newer(path, found)?;
        Ok(found)
    }
}

/// The file, as an error names it.
fn named_as(at: &StoreAt) -> &Path {
    at.file().unwrap_or(Path::new(":memory:"))
}

/// Whether a file begins as every SQLite file does.
pub(super) fn is_sqlite(path: &Path) -> Result<bool, StoreError> {
    Ok(header(path)?.starts_with(SQLITE))
}

/// The first bytes of a file; none where there is no such file.
fn header(path: &Path) -> Result<Vec<u8>, StoreError> {
    let file = match File::open(path) {
        Ok(file) => file,
        Err(cause) if cause.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(cause) => return Err(StoreError::file(path, cause)),
    };
    let mut header = Vec::new();
    file.take(HEADER_LEN)
        .read_to_end(&mut header)
        .map_err(|cause| StoreError::file(path, cause))?;
    Ok(header)
}

impl Store {
    /// Refuses what is not ours by its first bytes, so that a foreign file is not even opened by SQLite.
    pub(super) fn look_at(path: &Path) -> Result<(), StoreError> {
        let header = header(path)?;
        let foreign = |found: String| {
            let path = path.to_owned();
            Err(StoreError::Foreign { path, found })
        };
        if header.is_empty() {
            return Ok(());
        }
        let (Some(version), Some(application)) = (number_at(&header, 60), number_at(&header, 68))
        else {
            return foreign("no SQLite file".to_owned());
        };
        if !header.starts_with(SQLITE) {
            return foreign("no SQLite file".to_owned());
        }
        if i32::try_from(application) != Ok(APPLICATION_ID) {
            return foreign(format!(
                "an SQLite file with application id {application:#010x}"
            ));
        }
        refuse_newer(path, version)
    }
}

/// The big-endian number at an offset.
fn number_at(header: &[u8], offset: usize) -> Option<u32> {
    let bytes = header.get(offset..offset + 4)?;
    Some(u32::from_be_bytes(bytes.try_into().ok()?))
}

fn newest_format() -> u32 {
    u32::try_from(MIGRATIONS.len()).unwrap_or(u32::MAX)
}

fn refuse_newer(path: &Path, found: u32) -> Result<(), StoreError> {
    let known = newest_format();
    if found > known {
        let path = path.to_owned();
        return Err(StoreError::Newer { path, found, known });
    }
    Ok(())
}

/// A damaged store must not send: what it says was not sent may have been. `check` is SQLite's quick or thorough one.
pub(super) fn check_soundness(
    conn: &Connection,
    path: &Path,
    check: &str,
) -> Result<(), StoreError> {
    let found: String = conn
        .query_row(&format!("PRAGMA {check}(1)"), [], |row| row.get(0))
        .map_err(|cause| StoreError::opening(path, cause))?;
    if found == "ok" {
        return Ok(());
    }
    let path = path.to_owned();
    Err(StoreError::Damaged { path, found })
}

/// Brings the tables up to date, each step in a transaction of its own.
fn migrate(conn: &mut Connection, path: &Path, steps: &[&str]) -> Result<(), StoreError> {
    for (number, step) in (1_u32..).zip(steps) {
        let take = |conn: &mut Connection| {
            let change = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
            let done: u32 = change.pragma_query_value(None, "user_version", |row| row.get(0))?;
            if done < number {
                change.execute_batch(step)?;
                change.pragma_update(None, "application_id", APPLICATION_ID)?;
                change.pragma_update(None, "user_version", number)?;
                change.commit()?;
            }
            Ok(done)
        };
        let done =
            take(conn).map_err(|cause: rusqlite::Error| StoreError::writing(named(path), cause))?;
        // A newer number may still be in the log only, where the header does not show it.
        refuse_newer(path, done)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_commit_is_on_disk_and_references_hold_and_a_busy_file_is_waited_for() {
        let store = Store::in_memory().unwrap();
        let pragma = |name: &str| -> i64 {
            let read = format!("PRAGMA {name}");
            let value = store
                .conn
                .query_row(&read, rusqlite::params![], |row| row.get(0));
            value.unwrap()
        };
        // 2 is FULL (SQLite, PRAGMA synchronous).
        assert_eq!(pragma("synchronous"), 2);
        assert_eq!(pragma("foreign_keys"), 1);
        assert_eq!(pragma("busy_timeout"), 5000);
    }

    #[test]
    fn a_step_that_breaks_leaves_the_number_and_the_tables_as_they_were() {
        let mut conn = Connection::open_in_memory().unwrap();
        let path = Path::new("broken.sqlite3");
        let steps = [
            "CREATE TABLE one (a)",
            "CREATE TABLE two (a); CREATE TABLE one (a)",
        ];
        let error = migrate(&mut conn, path, &steps).unwrap_err();
        assert_eq!(error.to_string(), "cannot write the store broken.sqlite3");
        let count = |sql: &str| -> i64 { conn.query_row(sql, [], |row| row.get(0)).unwrap() };
        assert_eq!(count("PRAGMA user_version"), 1);
        assert_eq!(count("SELECT count(*) FROM sqlite_schema"), 1);
    }
}
