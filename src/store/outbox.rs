//! The outbox: every mail from the moment it is decided until its end is known.
//!
//! A mail is `queued`, then `sending` from before the first byte goes out, then `sent`, or `queued` again, or
//! `failed`. One that a stop of the program leaves at `sending` may or may not have arrived: it is tried again later
//! under the same Message-ID, so that a second copy can be recognised.

use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ValueRef};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};

use super::columns::{At, Json};
use super::journal::{self, JournalLine};
use super::{Store, StoreError};
use crate::message::Message;

/// After how long a mail whose sending never ended is tried again.
const LOST_AFTER: TimeDelta = TimeDelta::hours(1);

/// How long a mail is tried; the news in it is old by then.
const TRIED_FOR: TimeDelta = TimeDelta::days(3);

/// How many mails are handed out at once.
const DUE_MAX: i64 = 100;

/// The most characters of a reply that are kept.
const REPLY_MAX: usize = 500;

/// One mail of the outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutboxItem {
    /// Its number.
    pub id: i64,
    /// The garden's short name.
    pub garden: String,
    /// The cut's name in that garden.
    pub cut: String,
    /// The mail.
    pub message: Message,
    /// What has become of it so far.
    pub delivery: Delivery,
    /// When it was queued; its date, whenever it goes out.
    pub queued_at: DateTime<Utc>,
    /// How often it was tried.
    pub tries: u32,
    /// When it is tried next; none when it is not.
    pub next_try_at: Option<DateTime<Utc>>,
    /// The last answer of the mail server.
    pub last_reply: Option<String>,
}

/// What has become of a mail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delivery {
    /// It waits for its time.
    Queued,
    /// It is being handed over, or a stop of the program left it at that.
    Sending,
    /// The mail server has taken it.
    Sent,
    /// It is given up.
    Failed,
}

/// When to try a mail again after `tries` tries in vain; none when its news is too old by then.
///
/// Five minutes get past a greylisting server, a quarter of an hour past a restart, the hours past an outage.
pub fn retry_at(tries: u32, queued_at: DateTime<Utc>, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let pause = match tries {
        0 | 1 => TimeDelta::minutes(5),
        2 => TimeDelta::minutes(15),
        3 => TimeDelta::hours(1),
        4 => TimeDelta::hours(4),
        _ => TimeDelta::hours(8),
    };
    Some(now + pause).filter(|next| *next - queued_at <= TRIED_FOR)
}

impl Store {
    /// The mails whose time has come and is not over, oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn due(&self, now: DateTime<Utc>) -> Result<Vec<OutboxItem>, StoreError> {
        self.read("the mails that are due", |conn| {
            conn.prepare_cached(
                "SELECT * FROM outbox WHERE next_try_at <= ?1 AND (until IS NULL OR until >= ?1)
                 ORDER BY id LIMIT ?2",
            )?
            .query_map(params![At(now), DUE_MAX], item)?
            .collect()
        })
    }

    /// The mails of which it is not known whether they have arrived, oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn in_flight(&self) -> Result<Vec<OutboxItem>, StoreError> {
        self.read("the mails in flight", |conn| {
            conn.prepare_cached(
                "SELECT * FROM outbox WHERE state = 'sending' ORDER BY id LIMIT ?1",
            )?
            .query_map([DUE_MAX], item)?
            .collect()
        })
    }

    /// Notes that a mail is now being handed over; to be called before the first byte goes out.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it is not due, such as when another process has taken it.
    pub fn mark_sending(&mut self, id: i64, now: DateTime<Utc>) -> Result<(), StoreError> {
        let marked = self.write("the start of a sending", |change| {
            let before = find(change, id)?;
            let marked = change.execute(
                "UPDATE outbox SET state = 'sending', tries = tries + 1, next_try_at = ?2
                 WHERE id = ?1 AND next_try_at <= ?3",
                params![id, At(now + LOST_AFTER), At(now)],
            )?;
            if let Some(lost) =
                before.filter(|before| marked > 0 && before.delivery == Delivery::Sending)
            {
                let detail = format!(
                    "the end of try {} is not known; it may arrive twice",
                    lost.tries
                );
                note(change, &lost, now, "mail-unconfirmed", &detail)?;
            }
            Ok(marked)
        })?;
        in_step(marked, id, "due")
    }

    /// Notes that the mail server has taken a mail.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it was not being sent.
    pub fn mark_sent(
        &mut self,
        id: i64,
        now: DateTime<Utc>,
        reply: &str,
    ) -> Result<(), StoreError> {
        let reply = shortened(reply);
        let marked = self.write("the end of a sending", |change| {
            let marked = change.execute(
                "UPDATE outbox SET state = 'sent', next_try_at = NULL, last_reply = ?2
                 WHERE id = ?1 AND state = 'sending'",
                params![id, reply],
            )?;
            if let Some(sent) = find(change, id)?.filter(|_| marked > 0) {
                note(change, &sent, now, "mail-sent", &reply)?;
            }
            Ok(marked)
        })?;
        in_step(marked, id, "being sent")
    }

    /// Notes that a mail did not go out, and when it is tried again; none gives it up, and so does a newer mail on
    /// the same cut and topic, or a time after which the mail is no use.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it was not being sent.
    pub fn mark_failed(
        &mut self,
        id: i64,
        now: DateTime<Utc>,
        reply: &str,
        retry_at: Option<DateTime<Utc>>,
    ) -> Result<(), StoreError> {
        let reply = shortened(reply);
        let marked = self.write("the failure of a sending", |change| {
            let marked = change.execute(
                "UPDATE outbox SET last_reply = ?2,
                     next_try_at = iif(next_try_at IS NULL OR ?3 > until, NULL, ?3),
                     state = iif(next_try_at IS NULL OR ?3 IS NULL OR ?3 > until, 'failed', 'queued')
                 WHERE id = ?1 AND state = 'sending'",
                params![id, reply, retry_at.map(At)],
            )?;
            if let Some(failed) = find(change, id)?.filter(|_| marked > 0) {
                let what = if failed.next_try_at.is_some() {
                    "mail-deferred"
                } else {
                    "mail-given-up"
                };
                note(change, &failed, now, what, &reply)?;
            }
            Ok(marked)
        })?;
        in_step(marked, id, "being sent")
    }
}

fn find(conn: &Connection, id: i64) -> rusqlite::Result<Option<OutboxItem>> {
    conn.prepare_cached("SELECT * FROM outbox WHERE id = ?1")?
        .query_row([id], item)
        .optional()
}

pub(super) fn item(row: &Row<'_>) -> rusqlite::Result<OutboxItem> {
    let At(queued_at) = row.get("queued_at")?;
    let next_try_at: Option<At> = row.get("next_try_at")?;
    Ok(OutboxItem {
        id: row.get("id")?,
        garden: row.get("garden")?,
        cut: row.get("cut")?,
        message: Message {
            key: row.get("key")?,
            to: row.get("recipient")?,
            subject: row.get("subject")?,
            text: row.get("text")?,
            html: row.get("html")?,
            enclosed: row.get("enclosed").map(|Json(enclosed)| enclosed)?,
        },
        delivery: row.get("state")?,
        queued_at,
        tries: row.get("tries")?,
        next_try_at: next_try_at.map(|At(at)| at),
        last_reply: row.get("last_reply")?,
    })
}

impl FromSql for Delivery {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        match value.as_str()? {
            "queued" => Ok(Self::Queued),
            "sending" => Ok(Self::Sending),
            "sent" => Ok(Self::Sent),
            "failed" => Ok(Self::Failed),
            other => Err(FromSqlError::Other(
                format!("'{other}' is no state of a mail").into(),
            )),
        }
    }
}

/// Writes what became of a mail into the journal.
pub(super) fn note(
    change: &Transaction<'_>,
    mail: &OutboxItem,
    at: DateTime<Utc>,
    what: &str,
    detail: &str,
) -> rusqlite::Result<()> {
    let line = JournalLine {
        at,
        garden: mail.garden.clone(),
        cut: mail.cut.clone(),
        what: what.to_owned(),
        detail: detail.to_owned(),
    };
    journal::add(change, &line)
}

fn shortened(reply: &str) -> String {
    reply.chars().take(REPLY_MAX).collect()
}

fn in_step(marked: usize, id: i64, wanted: &'static str) -> Result<(), StoreError> {
    if marked == 0 {
        return Err(StoreError::OutOfStep { id, wanted });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    #[test]
    fn tries_become_rarer_and_end_after_three_days() {
        let queued_at = at("2027-04-22T06:00:00Z");
        let mut tried = vec![queued_at];
        while let Some(next) = retry_at(
            u32::try_from(tried.len()).unwrap(),
            queued_at,
            tried[tried.len() - 1],
        ) {
            tried.push(next);
        }
        let minutes: Vec<_> = tried
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).num_minutes())
            .collect();
        assert_eq!(minutes[..5], [5, 15, 60, 240, 480]);
        assert_eq!(minutes[5..], [480; 7]);
        assert_eq!(tried.last(), Some(&at("2027-04-25T03:20:00Z")));
    }

    #[test]
    fn a_mail_that_lay_too_long_is_not_tried_again() {
        let queued_at = at("2027-04-22T06:00:00Z");
        assert_eq!(retry_at(1, queued_at, at("2027-04-25T05:55:01Z")), None);
        assert!(retry_at(1, queued_at, at("2027-04-25T05:55:00Z")).is_some());
    }

    #[test]
    fn a_reply_is_kept_in_short() {
        assert_eq!(shortened(&"ä".repeat(501)), "ä".repeat(500));
    }
}
