//! The store on a database server: opening it, its tables, and what tells that another daemon has changed it.

use std::path::PathBuf;
use std::sync::Arc;

use rusqlite::params;

use super::database::Database;
use super::engine::{self, Connection, EngineError, Optional as _, Postgres, Purpose};
use super::schema::SERVER;
use super::tls::Tls;
use super::{Store, StoreAt, StoreError};

/// Held while the tables are looked at and made, so that of daemons that start together one does it (the letters "budw").
const MAKING: i64 = 0x6275_6477;

impl Store {
    /// Opens a store wherever it is.
    ///
    /// # Errors
    /// As [`Store::open`]; of a database when it cannot be reached, lets nobody in, or comes from a newer program.
    pub fn open_at(at: &StoreAt) -> Result<Self, StoreError> {
        match at {
            StoreAt::Memory => Self::in_memory(),
            StoreAt::File(path) => Self::open(path),
            StoreAt::Database(database) => Self::on_server(database),
        }
    }

    pub(super) fn on_server(database: &Arc<Database>) -> Result<Self, StoreError> {
        let name = &database.name;
        let failed = |cause: EngineError| StoreError::reading(format!("the store {name}"), cause);
        let tls =
            Tls::of_system().map_err(|cause| StoreError::file(&PathBuf::from(name), cause))?;
        let server = Postgres::connect(&database.server, tls).map_err(failed)?;
        let conn = Connection::Postgres(server);
        let found = brought_up_to_date(&conn).map_err(failed)?;
        let known = newest();
        if found > known {
            let path = PathBuf::from(name);
            return Err(StoreError::Newer { path, found, known });
        }
        let store = Self::of(conn, StoreAt::Database(Arc::clone(database)));
        store.changes.set(store.read("the store", changes)?);
        Ok(store)
    }
}

fn newest() -> u32 {
    u32::try_from(SERVER.len()).unwrap_or(u32::MAX)
}

/// Brings the tables up to date in one transaction; gives the number of the form in which they are.
fn brought_up_to_date(conn: &Connection) -> engine::Result<u32> {
    let change = conn.begin(Purpose::Write)?;
    change.query_row("SELECT pg_advisory_xact_lock(?1) IS NULL", [MAKING], |_| {
        Ok(())
    })?;
    change.execute_batch("CREATE TABLE IF NOT EXISTS form (number BIGINT NOT NULL)")?;
    let found: Option<u32> = change
        .query_row("SELECT number FROM form", params![], |row| row.get(0))
        .optional()?;
    let done = found.unwrap_or(0);
    for step in SERVER
        .iter()
        .skip(usize::try_from(done).unwrap_or(usize::MAX))
    {
        change.execute_batch(&step.replace("TEXT", "TEXT COLLATE \"C\""))?;
    }
    let number = done.max(newest());
    if found.is_none() {
        change.execute("INSERT INTO form VALUES (?1)", [number])?;
    } else if done < number {
        change.execute("UPDATE form SET number = ?1", [number])?;
    }
    change.commit()?;
    Ok(number)
}

/// How often the store was changed, by whichever daemon.
pub(super) fn changes(conn: &Connection) -> engine::Result<i64> {
    conn.query_row("SELECT last_value FROM changes", params![], |row| {
        row.get(0)
    })
}

/// Counts a change that has been committed: whoever sees the count sees the change.
pub(super) fn count_change(conn: &Connection) -> engine::Result<i64> {
    conn.query_row("SELECT nextval('changes')", params![], |row| row.get(0))
}

/// Changes nothing, as a change.
pub(super) fn touch(conn: &Connection) -> engine::Result<()> {
    conn.execute("UPDATE form SET number = number", params![])
        .map(|_| ())
}
