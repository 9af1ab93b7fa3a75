//! Addresses that the mail server refuses: after refusals on three days one counts as bad, until a mail to it is taken.
//!
//! A bad address still gets its mails: a full mailbox is emptied one day, and they are few. But the others who look after
//! the garden are told, once.

use chrono::{DateTime, NaiveDate, Utc};
use rusqlite::params;

use super::columns::{At, Day, execute};
use super::engine::{self, Transaction};
use super::letters::Says;
use super::{Store, StoreError, queue};
use crate::message::Message;

/// Refusals on so many days make an address a bad one (estimate: a slip of the mail server passes within a day or two).
const DAYS: i64 = 3;

/// The topic of the mails that tell of bad addresses in the outbox.
const TOPIC: &str = "bad-address";

/// An address that was refused on several days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadAddress {
    /// The address, as the garden file gave it.
    pub address: String,
    /// The first and the last day on which it was refused.
    pub days: (NaiveDate, NaiveDate),
    /// The last answer of the mail server.
    pub reply: String,
    /// Whether the others know.
    pub is_told: bool,
}

impl Store {
    /// The addresses that the mail server has refused on three days or more and not taken since.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn bad_addresses(&self) -> Result<Vec<BadAddress>, StoreError> {
        self.read("the addresses that are refused", |conn| {
            conn.prepare_cached(
                "SELECT recipient, min(day) AS first, max(day) AS last, max(told_at) IS NOT NULL AS is_told,
                     (SELECT reply FROM refusal AS one WHERE one.recipient = refusal.recipient
                      ORDER BY day DESC LIMIT 1) AS reply
                 FROM refusal GROUP BY recipient HAVING count(*) >= ?1 ORDER BY recipient",
            )?
            .query_map([DAYS], |row| {
                let (Day(first), Day(last)) = (row.get("first")?, row.get("last")?);
                Ok(BadAddress {
                    address: row.get("recipient")?,
                    days: (first, last),
                    reply: row.get("reply")?,
                    is_told: row.get("is_told")?,
                })
            })?
            .collect()
        })
    }

    /// Queues the mails that tell the others of a bad address, each with its garden, and remembers that they know.
    ///
    /// # Errors
    /// When the store cannot be written; then nobody was told.
    pub fn tell_of_address(
        &mut self,
        address: &str,
        at: DateTime<Utc>,
        mails: &[(String, Message)],
    ) -> Result<(), StoreError> {
        self.write("who is told of a bad address", |change| {
            let untold = execute(
                change,
                "UPDATE refusal SET told_at = ?2 WHERE recipient = ?1 AND told_at IS NULL",
                params![address, At(at)],
            )?;
            if untold == 0 {
                // Another daemon of the database was first.
                return Ok(());
            }
            for (garden, message) in mails {
                let place = queue::Place {
                    garden,
                    cut: "",
                    topic: &format!("{TOPIC} {address}"),
                    goes_at: at,
                    until: None,
                };
                queue::add(change, &place, at, message, &Says::default())?;
            }
            Ok(())
        })
    }
}

/// Notes that a mail server refused an address on a day (of the world's clock).
pub(super) fn add(
    change: &Transaction<'_>,
    address: &str,
    at: DateTime<Utc>,
    reply: &str,
) -> engine::Result<()> {
    execute(
        change,
        "INSERT INTO refusal (recipient, day, reply, told_at)
         VALUES (?1, ?2, ?3, (SELECT max(told_at) FROM refusal WHERE recipient = ?1))
         ON CONFLICT (recipient, day) DO UPDATE SET reply = excluded.reply",
        params![address, Day(at.date_naive()), reply],
    )?;
    Ok(())
}

/// A mail to an address was taken.
pub(super) fn forget(change: &Transaction<'_>, address: &str) -> engine::Result<()> {
    execute(
        change,
        "DELETE FROM refusal WHERE recipient = ?1",
        [address],
    )?;
    Ok(())
}
