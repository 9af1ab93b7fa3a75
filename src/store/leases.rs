//! Who looks after which garden, where several daemons share a database: each has its gardens for a while and says again
//! and again that it is there; the gardens of one that says so no more are free for the others.
//!
//! The server's clock counts. A daemon that was held up learns from the same transaction in which it would write that its
//! garden is another's by now. Of a file there is one daemon, and all gardens are its own.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

use ring::rand::{SecureRandom, SystemRandom};
use rusqlite::params;

use super::columns::Json;
use super::engine::{self, Connection, Optional as _, Transaction};
use super::{Store, StoreAt, StoreError};

/// The gardens that a daemon has.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Leased {
    /// All of them.
    pub gardens: BTreeSet<String>,
    /// Those of them whose keeper has told something to another daemon.
    pub to_look_at: BTreeSet<String>,
    /// For how long they are this daemon's, from before it asked.
    pub lease: Duration,
}

/// A name that no other daemon has.
pub(super) fn new_holder() -> Arc<str> {
    let mut bytes = [0_u8; 16];
    // Without chance there is no name: such a daemon gets no garden of a database.
    if SystemRandom::new().fill(&mut bytes).is_err() {
        return Arc::from("");
    }
    Arc::from(format!("{:032x}", u128::from_be_bytes(bytes)))
}

impl Store {
    /// What tells this daemon from the others of a database; it stays when the store is opened anew.
    pub fn holder(&self) -> &str {
        &self.holder
    }

    /// Says that this daemon is there, and takes, keeps or gives away gardens so that each of the daemons has its share;
    /// nothing of a file, whose gardens are all this daemon's.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn lease(&mut self, gardens: &[String]) -> Result<Option<Leased>, StoreError> {
        let StoreAt::Database(database) = &self.at else {
            return Ok(None);
        };
        if self.holder.is_empty() {
            return Ok(Some(Leased::default()));
        }
        let (holder, lease) = (Arc::clone(&self.holder), database.lease);
        let leased = self.change("who looks after which garden", |change| {
            be_there(change, &holder, lease)?;
            name_gardens(change, &holder, gardens)?;
            share(change, &holder, lease)?;
            leased(change, &holder, lease)
        })?;
        Ok(Some(leased))
    }

    /// Gives all gardens away, at the end of the daemon.
    ///
    /// # Errors
    /// When the store cannot be written; then they are free when their time is over.
    pub fn end_lease(&mut self) -> Result<(), StoreError> {
        let StoreAt::Database(_) = &self.at else {
            return Ok(());
        };
        let holder = Arc::clone(&self.holder);
        self.change("who looks after which garden", |change| {
            change.execute(
                "UPDATE lease SET holder = '', until = '-infinity' WHERE holder = ?1",
                [&*holder],
            )?;
            change.execute("DELETE FROM daemon WHERE holder = ?1", [&*holder])
        })?;
        Ok(())
    }

    /// Asks whoever looks after a garden to look at it: its keeper has told something.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn ask_for_look(&mut self, garden: &str) -> Result<(), StoreError> {
        let StoreAt::Database(_) = &self.at else {
            return Ok(());
        };
        self.change("that a garden is to be looked at", |change| {
            change.execute("UPDATE lease SET asked = TRUE WHERE garden = ?1", [garden])
        })?;
        Ok(())
    }

    /// A condition on the rows of a table of gardens: that the garden is this daemon's.
    pub(super) fn ours(&self, table: &str) -> String {
        match self.at {
            StoreAt::Memory | StoreAt::File(_) => "TRUE".to_owned(),
            StoreAt::Database(_) => format!(
                "EXISTS (SELECT 1 FROM lease WHERE lease.garden = {table}.garden AND lease.holder = '{}'
                     AND lease.until > clock_timestamp())",
                self.holder
            ),
        }
    }

    /// Changes the store on behalf of a garden; only the daemon that looks after it may.
    pub(super) fn write_of<T>(
        &mut self,
        garden: &str,
        what: &'static str,
        work: impl FnOnce(&Transaction<'_>) -> engine::Result<T>,
    ) -> Result<T, StoreError> {
        let holder = Arc::clone(&self.holder);
        let done = self.write(what, |change| {
            if !holds(change, &holder, garden)? {
                return Ok(None);
            }
            work(change).map(Some)
        })?;
        done.ok_or_else(|| StoreError::Elsewhere {
            garden: garden.to_owned(),
        })
    }
}

/// Whether a garden is a daemon's until the transaction ends: nobody takes it meanwhile.
fn holds(change: &Transaction<'_>, holder: &str, garden: &str) -> engine::Result<bool> {
    match &**change {
        Connection::Sqlite(_) => Ok(true),
        Connection::Postgres(_) => {
            let row = change.query_row(
                "SELECT 1 FROM lease
                 WHERE garden = ?1 AND holder = ?2 AND until > clock_timestamp() FOR SHARE",
                [garden, holder],
                |_| Ok(()),
            );
            Ok(row.optional()?.is_some())
        }
    }
}

/// Notes that a daemon is there, and forgets those that have not been for long.
fn be_there(change: &Transaction<'_>, holder: &str, lease: Duration) -> engine::Result<()> {
    change.execute(
        "INSERT INTO daemon (holder, until) VALUES (?1, clock_timestamp() + make_interval(secs => ?2))
         ON CONFLICT (holder) DO UPDATE SET until = excluded.until",
        params![holder, lease.as_secs_f64()],
    )?;
    change.execute(
        "DELETE FROM daemon WHERE until < clock_timestamp() - make_interval(secs => ?1)",
        [lease.as_secs_f64() * 10.0],
    )?;
    Ok(())
}

/// Gives each garden its row: those of the settings, and those of which a mail waits. Of its own a daemon drops the rows of
/// all others.
fn name_gardens(change: &Transaction<'_>, holder: &str, gardens: &[String]) -> engine::Result<()> {
    let names = Json(gardens);
    change.execute(
        "DELETE FROM lease WHERE holder = ?2
             AND garden NOT IN (SELECT json_array_elements_text(CAST(CAST(?1 AS text) AS json)))
             AND NOT EXISTS (SELECT 1 FROM outbox
                 WHERE outbox.garden = lease.garden AND (next_try_at IS NOT NULL OR state = 'sending'))",
        params![names, holder],
    )?;
    change.execute(
        "INSERT INTO lease (garden)
         SELECT garden FROM (
             SELECT json_array_elements_text(CAST(CAST(?1 AS text) AS json)) AS garden
             UNION SELECT garden FROM outbox WHERE next_try_at IS NOT NULL) AS named
         WHERE NOT EXISTS (SELECT 1 FROM lease WHERE lease.garden = named.garden)
         ON CONFLICT DO NOTHING",
        params![names],
    )?;
    Ok(())
}

/// Keeps a daemon's gardens for another while, gives those away that are beyond its share, and takes free ones up to it.
/// One whose mail is on its way stays.
fn share(change: &Transaction<'_>, holder: &str, lease: Duration) -> engine::Result<()> {
    let secs = lease.as_secs_f64();
    let (gardens, daemons): (i64, i64) = change.query_row(
        "SELECT (SELECT count(*) FROM lease), (SELECT count(*) FROM daemon WHERE until > clock_timestamp())",
        params![],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    let most = (gardens + daemons.max(1) - 1) / daemons.max(1);
    let own = change.execute(
        "UPDATE lease SET until = clock_timestamp() + make_interval(secs => ?2) WHERE holder = ?1",
        params![holder, secs],
    )?;
    let own = i64::try_from(own).unwrap_or(i64::MAX);
    change.execute(
        "UPDATE lease SET holder = '', until = '-infinity' WHERE garden IN (
             SELECT garden FROM lease WHERE holder = ?1 AND NOT EXISTS (
                 SELECT 1 FROM outbox WHERE outbox.garden = lease.garden AND outbox.state = 'sending')
             ORDER BY garden DESC LIMIT ?2)",
        params![holder, (own - most).max(0)],
    )?;
    change.execute(
        "UPDATE lease SET holder = ?1, until = clock_timestamp() + make_interval(secs => ?2)
         WHERE garden = ANY (ARRAY(
             SELECT garden FROM lease WHERE until <= clock_timestamp() AND holder <> ?1
             ORDER BY garden LIMIT ?3 FOR UPDATE SKIP LOCKED))",
        params![holder, secs, (most - own).max(0)],
    )?;
    Ok(())
}

/// The gardens that a daemon has; what their keepers told to others is noted by that.
fn leased(change: &Transaction<'_>, holder: &str, lease: Duration) -> engine::Result<Leased> {
    let names = |sql: &str| -> engine::Result<BTreeSet<String>> {
        change
            .prepare_cached(sql)?
            .query_map([holder], |row| row.get(0))?
            .collect()
    };
    Ok(Leased {
        gardens: names("SELECT garden FROM lease WHERE holder = ?1")?,
        to_look_at: names(
            "UPDATE lease SET asked = FALSE WHERE holder = ?1 AND asked RETURNING garden",
        )?,
        lease,
    })
}
