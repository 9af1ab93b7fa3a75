//! Where everything that has to outlast the process is kept: one SQLite file.
//!
//! In: records, forecast runs, verdicts, deeds, sightings and mails, by garden name. Out: the same again, after any kind of stop.
//! Does not fetch, judge or send anything, and does not read the clock. Every change is one transaction: what was
//! decided, what was said and what is to be mailed are written together or not at all.

mod answers;
mod columns;
mod deeds;
mod error;
mod journal;
mod letters;
mod open;
mod outbox;
mod queue;
mod readings;
mod record;
mod round;
mod runs;
mod schema;
mod silence;
mod warned;
mod watched;

use rusqlite::{Connection, Transaction, TransactionBehavior};

pub use answers::{GivenAnswer, Noted, Quiet};
pub use error::{NextStep, StoreError};
pub use journal::JournalLine;
pub use letters::{Before, Says, Unsent};
pub use outbox::{Delivery, OutboxItem, retry_at};
pub use readings::{Kept, SENSOR};
pub use round::{Letter, Round, Told, WeatherTurn};
pub use runs::KEPT_FOR;
pub use silence::{Trouble, Turn};
pub use watched::ToldAfter;

/// An open store; one connection, used by one thread at a time.
#[derive(Debug)]
pub struct Store {
    conn: Connection,
}

impl Store {
    /// Reads from the store; `what` names it in an error.
    fn read<T>(
        &self,
        what: &'static str,
        work: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, StoreError> {
        work(&self.conn).map_err(|cause| StoreError::reading(what, cause))
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
        change().map_err(|cause| StoreError::writing(what, cause))
    }
}
