//! The line to a PostgreSQL server: one connection, driven by a thread of its own.
//!
//! The store is used by threads that may block and dropped wherever the program drops it, so neither the caller nor the
//! drop needs a runtime. Whoever asks waits for the reply, and not for ever.

use std::cell::RefCell;
use std::collections::HashMap;
use std::fmt;
use std::pin::pin;
use std::sync::Arc;
use std::sync::mpsc;
use std::task::{Context, Poll, Wake, Waker};
use std::thread::{self, Thread};
use std::time::{Duration, Instant};

use rusqlite::ToSql;
use rusqlite::types::{ToSqlOutput, Value, ValueRef};
use tokio_postgres::types::private::BytesMut;
use tokio_postgres::types::{IsNull, ToSql as ToServer, Type, to_sql_checked};
use tokio_postgres::{Client, Config, Row, Statement};

use super::error::{EngineError, Result};
use crate::store::tls::Tls;

/// A reply is waited for so long; the server itself ends a statement before.
const REPLY_WITHIN: Duration = Duration::from_mins(1);

/// What each line asks of the server: a statement, a wait for another's lock and a transaction in which nothing happens
/// end by themselves, so that a daemon that hangs holds up no other (estimates).
const BOUNDS: &str = "SET statement_timeout = '30s'; SET lock_timeout = '5s';
    SET idle_in_transaction_session_timeout = '30s'; SET client_min_messages = warning;";

/// An open line to a server.
pub(in crate::store) struct Postgres {
    line: RefCell<Option<Line>>,
}

struct Line {
    client: Client,
    statements: HashMap<String, Statement>,
}

impl fmt::Debug for Postgres {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("Postgres")
    }
}

impl Postgres {
    /// Opens a line.
    ///
    /// # Errors
    /// When the server does not answer, or lets nobody in with that name and password.
    pub(in crate::store) fn connect(config: &Config, tls: Tls) -> Result<Self> {
        let client = connect(config.clone(), tls)?;
        let server = Self {
            line: RefCell::new(Some(Line {
                client,
                statements: HashMap::new(),
            })),
        };
        server.batch(BOUNDS)?;
        Ok(server)
    }

    /// A line that is not open: whatever is asked is answered with [`EngineError::NoLine`].
    pub(in crate::store) const fn closed() -> Self {
        Self {
            line: RefCell::new(None),
        }
    }

    /// Does something on the line; one that is lost or hangs is given up.
    fn on_line<T>(&self, work: impl FnOnce(&mut Line) -> Result<T>) -> Result<T> {
        let mut line = self.line.borrow_mut();
        let open = line.as_mut().ok_or(EngineError::NoLine)?;
        let done = work(open);
        if matches!(done, Err(EngineError::NoLine)) || open.client.is_closed() {
            *line = None;
        }
        done
    }

    pub(super) fn batch(&self, sql: &str) -> Result<()> {
        self.on_line(|line| wait(line.client.batch_execute(sql)))
    }

    /// Reads a statement, unless the server has read it before.
    pub(super) fn prepare(&self, sql: &str) -> Result<Statement> {
        self.on_line(|line| {
            if let Some(read) = line.statements.get(sql) {
                return Ok(read.clone());
            }
            let read = wait(line.client.prepare(&numbered(sql)))?;
            line.statements.insert(sql.to_owned(), read.clone());
            Ok(read)
        })
    }

    pub(super) fn execute(&self, statement: &Statement, values: &[&dyn ToSql]) -> Result<usize> {
        let values = bound(values)?;
        let changed =
            self.on_line(|line| wait(line.client.execute_raw(statement, each(&values))))?;
        Ok(usize::try_from(changed).unwrap_or(usize::MAX))
    }

    pub(super) fn query(&self, statement: &Statement, values: &[&dyn ToSql]) -> Result<Vec<Row>> {
        let values = bound(values)?;
        let values: Vec<&(dyn ToServer + Sync)> = each(&values).collect();
        self.on_line(|line| wait(line.client.query(statement, &values)))
    }
}

/// Connects; the thread that drives the line ends when the client is dropped or the line is lost.
fn connect(config: Config, tls: Tls) -> Result<Client> {
    let (found, client) = mpsc::channel();
    let drive = move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build();
        let Ok(runtime) = runtime else { return };
        runtime.block_on(async move {
            match config.connect(tls).await {
                Ok((client, line)) => {
                    if found.send(Ok(client)).is_ok()
                        && let Err(cause) = line.await
                    {
                        tracing::warn!(
                            error = crate::store::error::chain(&cause),
                            "the line to the database server is lost"
                        );
                    }
                }
                Err(cause) => {
                    found.send(Err(cause)).ok();
                }
            }
        });
    };
    let named = thread::Builder::new().name("database".to_owned());
    named.spawn(drive).map_err(|_| EngineError::NoLine)?;
    let client = client.recv_timeout(REPLY_WITHIN);
    Ok(client.map_err(|_| EngineError::NoLine)??)
}

/// Waits for a reply on a thread that may block.
fn wait<T>(
    reply: impl Future<Output = std::result::Result<T, tokio_postgres::Error>>,
) -> Result<T> {
    let until = Instant::now() + REPLY_WITHIN;
    let waker = Waker::from(Arc::new(Sleeper(thread::current())));
    let mut context = Context::from_waker(&waker);
    let mut reply = pin!(reply);
    loop {
        if let Poll::Ready(done) = reply.as_mut().poll(&mut context) {
            return Ok(done?);
        }
        let left = until.saturating_duration_since(Instant::now());
        if left.is_zero() {
            return Err(EngineError::NoLine);
        }
        thread::park_timeout(left);
    }
}

/// A thread that waits for a reply.
struct Sleeper(Thread);

impl Wake for Sleeper {
    fn wake(self: Arc<Self>) {
        self.0.unpark();
    }
}

/// The statement with its values as PostgreSQL numbers them: `$1` for `?1`. No statement has a question mark in a text.
fn numbered(sql: &str) -> String {
    sql.replace('?', "$")
}

/// A value on its way to the server.
#[derive(Debug)]
struct Bound<'v>(ToSqlOutput<'v>);

fn bound<'v>(values: &'v [&'v dyn ToSql]) -> Result<Vec<Bound<'v>>> {
    let bound = values.iter().map(|value| Ok(Bound(value.to_sql()?)));
    bound.collect()
}

fn each<'b>(values: &'b [Bound<'_>]) -> impl ExactSizeIterator<Item = &'b (dyn ToServer + Sync)> {
    values
        .iter()
        .map(|value| -> &(dyn ToServer + Sync) { value })
}

type Wrong = Box<dyn std::error::Error + Sync + Send>;

impl ToServer for Bound<'_> {
    fn to_sql(&self, ty: &Type, out: &mut BytesMut) -> std::result::Result<IsNull, Wrong> {
        let value = match &self.0 {
            ToSqlOutput::Borrowed(value) => *value,
            ToSqlOutput::Owned(value) => by_ref(value),
            other => return Err(format!("{other:?} is no value for a column").into()),
        };
        match value {
            ValueRef::Null => Ok(IsNull::Yes),
            ValueRef::Integer(number) => integer(number, ty, out),
            ValueRef::Real(number) => ToServer::to_sql(&number, ty, out),
            ValueRef::Text(text) => {
                // A server takes no such sign in a text; SQLite would.
                let text = std::str::from_utf8(text)?.replace('\0', "\u{fffd}");
                ToServer::to_sql(&text, ty, out)
            }
            ValueRef::Blob(bytes) => ToServer::to_sql(&bytes, ty, out),
        }
    }

    fn accepts(_: &Type) -> bool {
        true
    }

    to_sql_checked!();
}

/// A whole number in the width that the server expects.
fn integer(number: i64, ty: &Type, out: &mut BytesMut) -> std::result::Result<IsNull, Wrong> {
    match *ty {
        Type::BOOL => ToServer::to_sql(&(number != 0), ty, out),
        Type::INT4 => ToServer::to_sql(&i32::try_from(number)?, ty, out),
        Type::FLOAT8 => ToServer::to_sql(&f64::from(i32::try_from(number)?), ty, out),
        Type::INT8 => ToServer::to_sql(&number, ty, out),
        ref other => Err(format!("a whole number is no value of type {other}").into()),
    }
}

fn by_ref(value: &Value) -> ValueRef<'_> {
    ValueRef::from(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_numbered_as_the_server_does() {
        assert_eq!(
            numbered("SELECT a FROM b WHERE c = ?1 AND d < ?12"),
            "SELECT a FROM b WHERE c = $1 AND d < $12"
        );
    }

    #[test]
    fn a_line_that_is_not_open_says_so() {
        let error = Postgres::closed().batch("SELECT 1").unwrap_err();
        assert!(matches!(error, EngineError::NoLine));
    }
}
