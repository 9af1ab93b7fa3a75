//! One way to speak to both engines of the store: SQLite in a file, or a PostgreSQL server.
//!
//! In: statements in the part of SQL that both read, with `?1` for the first value. Out: rows whose columns are read as
//! SQLite's types, whichever engine gave them. Decides nothing about what is kept.

mod error;
mod postgres;
mod row;
mod values;

use std::ops::Deref;

pub use error::EngineError;
pub(super) use error::{Kind, Optional, Result};
pub(super) use postgres::Postgres;
pub(super) use row::Row;
pub(super) use values::Values;

/// An open store, whatever keeps it.
#[derive(Debug)]
pub(super) enum Connection {
    /// A file, or memory.
    Sqlite(rusqlite::Connection),
    /// A server.
    Postgres(Postgres),
}

/// A statement that the engine has read.
pub(super) enum Statement<'c> {
    Sqlite(rusqlite::CachedStatement<'c>),
    Postgres(&'c Postgres, tokio_postgres::Statement),
}

/// A change that holds as a whole or not at all: undone when it is dropped without [`Transaction::commit`].
pub(super) struct Transaction<'c> {
    conn: &'c Connection,
    is_open: bool,
}

/// What a transaction is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Purpose {
    /// To read several things as they stood together.
    Read,
    /// To change something.
    Write,
}

impl Connection {
    /// A statement, remembered as it was read: to read one takes longer than most of them do.
    pub(super) fn prepare_cached(&self, sql: &str) -> Result<Statement<'_>> {
        Ok(match self {
            Self::Sqlite(conn) => Statement::Sqlite(conn.prepare_cached(sql)?),
            Self::Postgres(server) => Statement::Postgres(server, server.prepare(sql)?),
        })
    }

    /// Executes a statement; gives how many rows it changed.
    pub(super) fn execute(&self, sql: &str, values: impl Values) -> Result<usize> {
        self.prepare_cached(sql)?.execute(values)
    }

    /// The first row that a statement finds.
    pub(super) fn query_row<T>(
        &self,
        sql: &str,
        values: impl Values,
        read: impl FnOnce(&Row<'_>) -> Result<T>,
    ) -> Result<T> {
        self.prepare_cached(sql)?.query_row(values, read)
    }

    /// Executes statements that give nothing and take no values.
    pub(super) fn execute_batch(&self, sql: &str) -> Result<()> {
        match self {
            Self::Sqlite(conn) => Ok(conn.execute_batch(sql)?),
            Self::Postgres(server) => server.batch(sql),
        }
    }

    /// Begins a transaction; one at a time.
    pub(super) fn begin(&self, purpose: Purpose) -> Result<Transaction<'_>> {
        let begin = match (self, purpose) {
            (Self::Sqlite(_), Purpose::Read) => "BEGIN DEFERRED",
            (Self::Sqlite(_), Purpose::Write) => "BEGIN IMMEDIATE",
            (Self::Postgres(_), Purpose::Read) => "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
            (Self::Postgres(_), Purpose::Write) => "BEGIN ISOLATION LEVEL READ COMMITTED",
        };
        self.execute_batch(begin)?;
        Ok(Transaction {
            conn: self,
            is_open: true,
        })
    }
}

impl Transaction<'_> {
    /// Makes the change hold.
    pub(super) fn commit(mut self) -> Result<()> {
        // When it fails it is undone by the drop; SQLite may have undone it by itself.
        self.conn.execute_batch("COMMIT")?;
        self.is_open = false;
        Ok(())
    }
}

impl Deref for Transaction<'_> {
    type Target = Connection;

    fn deref(&self) -> &Connection {
        self.conn
    }
}

impl Drop for Transaction<'_> {
    fn drop(&mut self) {
        let is_undone = match self.conn {
            Connection::Sqlite(conn) => conn.is_autocommit(),
            Connection::Postgres(_) => false,
        };
        if self.is_open && !is_undone {
            self.conn.execute_batch("ROLLBACK").ok();
        }
    }
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "values stand where they are bound, as in any call of a database"
)]
impl Statement<'_> {
    /// Executes it; gives how many rows it changed.
    pub(super) fn execute(&mut self, values: impl Values) -> Result<usize> {
        let values = values.each();
        match self {
            Self::Sqlite(statement) => Ok(statement.execute(&*values)?),
            Self::Postgres(server, statement) => server.execute(statement, &values),
        }
    }

    /// The first row that it finds.
    pub(super) fn query_row<T>(
        &mut self,
        values: impl Values,
        read: impl FnOnce(&Row<'_>) -> Result<T>,
    ) -> Result<T> {
        let values = values.each();
        match self {
            Self::Sqlite(statement) => {
                let mut rows = statement.query(&*values)?;
                let row = rows.next()?.ok_or(EngineError::NoRow)?;
                read(&Row::Sqlite(row))
            }
            Self::Postgres(server, statement) => {
                let rows = server.query(statement, &values)?;
                let row = rows.first().ok_or(EngineError::NoRow)?;
                read(&Row::Postgres(row))
            }
        }
    }

    /// What is read of each row that it finds, in their order.
    pub(super) fn query_map<T>(
        &mut self,
        values: impl Values,
        mut read: impl FnMut(&Row<'_>) -> Result<T>,
    ) -> Result<std::vec::IntoIter<Result<T>>> {
        let values = values.each();
        let mut found = Vec::new();
        match self {
            Self::Sqlite(statement) => {
                let mut rows = statement.query(&*values)?;
                while let Some(row) = rows.next()? {
                    found.push(read(&Row::Sqlite(row)));
                }
            }
            Self::Postgres(server, statement) => {
                let rows = server.query(statement, &values)?;
                found.extend(rows.iter().map(|row| read(&Row::Postgres(row))));
            }
        }
        Ok(found.into_iter())
    }
}
