//! How a mail goes out: each step is on disk before it is taken, and what became of it after.
//!
//! Two marks stand before the two things that cannot be taken back: the talk with the mail server begins, the mail itself
//! is about to go. A stop of the program between the two has sent nothing; a stop after the second leaves a mail that may
//! have arrived. One that warns of frost or puts a cut off is then sent once more, under the same Message-ID; any other is
//! not: a go is told once at most.

use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::params;

use super::columns::{At, execute};
use super::engine::{self, Transaction};
use super::outbox::{Delivery, GIVE_UP, OutboxItem, TRIED_FOR, find, item, note};
use super::{Store, StoreError, refusals};

/// A mail of which it is not known whether it arrived is sent again after this time at the soonest: a mail server may still
/// be at it (RFC 5321, section 4.5.3.2.6, grants it ten minutes to say so).
const DOUBT_PAUSE: TimeDelta = TimeDelta::minutes(30);

/// So often a mail of unknown fate is sent once more.
const DOUBTS_BORNE: u32 = 1;

/// The most characters of a reply that are kept.
const REPLY_MAX: usize = 500;

/// How a try ended that did not end well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failure {
    /// It is tried again at that time.
    Later(DateTime<Utc>),
    /// The mail server will never take it.
    Refused,
    /// The mail server does not know its reader, or takes nothing for that one.
    ReaderRefused,
    /// Nobody knows whether it arrived.
    Unknown,
    /// It has been tried long enough.
    TooOld,
}

impl Store {
    /// Notes that a mail is now being handed over; to be called before the first byte goes out.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it is not due, such as when newer news has taken its place.
    pub fn mark_sending(&mut self, id: i64, now: DateTime<Utc>) -> Result<(), StoreError> {
        let ours = self.ours("outbox");
        let marked = self.write("the start of a sending", |change| {
            let mark = format!(
                "UPDATE outbox SET state = 'sending', stage = 'talk', tries = tries + 1
                 WHERE id = ?1 AND next_try_at <= ?2 AND state IN ('queued', 'deferred', 'unknown') AND {ours}"
            );
            execute(change, &mark, params![id, At(now)])
        })?;
        in_step(marked, id, "due")
    }

    /// Notes that the mail itself is about to go; to be called before its first byte.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it is not being sent, or newer news has taken its place.
    pub fn mark_content(&mut self, id: i64) -> Result<(), StoreError> {
        let ours = self.ours("outbox");
        let marked = self.write("that a mail goes", |change| {
            let mark = format!(
                "UPDATE outbox SET stage = 'content'
                 WHERE id = ?1 AND state = 'sending' AND next_try_at IS NOT NULL AND {ours}"
            );
            execute(change, &mark, [id])
        })?;
        in_step(marked, id, "being sent")
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
            let marked = execute(
                change,
                "UPDATE outbox SET state = 'sent', next_try_at = NULL, last_reply = ?2
                 WHERE id = ?1 AND state = 'sending'",
                params![id, reply],
            )?;
            if let Some(sent) = find(change, id)?.filter(|_| marked > 0) {
                refusals::forget(change, &sent.message.to)?;
                note(change, &sent, now, "mail-sent", &reply)?;
            }
            Ok(marked)
        })?;
        in_step(marked, id, "being sent")
    }

    /// Notes that a try ended otherwise. A mail that newer news has replaced meanwhile is not tried again, nor is one that
    /// would be no use any more at its next try.
    ///
    /// # Errors
    /// [`StoreError::OutOfStep`] when it was not being sent.
    pub fn mark_failed(
        &mut self,
        id: i64,
        now: DateTime<Utc>,
        reply: &str,
        failure: Failure,
    ) -> Result<(), StoreError> {
        let reply = shortened(reply);
        let marked = self.write("the failure of a sending", |change| {
            let sending = find(change, id)?.filter(|mail| mail.delivery == Delivery::Sending);
            let Some(mail) = sending else { return Ok(0) };
            end(change, &mail, now, (&reply, failure))?;
            Ok(1)
        })?;
        in_step(marked, id, "being sent")
    }

    /// Ends the tries that a stop of the program broke off. To be called when nothing is being sent.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn settle_sending(&mut self, now: DateTime<Utc>) -> Result<(), StoreError> {
        let broken_off = self.read("the mails in flight", |conn| {
            let ours = self.ours("outbox");
            let find = format!(
                "SELECT *, stage FROM outbox WHERE state = 'sending' AND {ours} ORDER BY id"
            );
            conn.prepare_cached(&find)?
                .query_map(params![], |row| {
                    let stage: Option<String> = row.get("stage")?;
                    Ok((item(row)?, stage.as_deref() == Some("content")))
                })?
                .collect::<engine::Result<Vec<_>>>()
        })?;
        if broken_off.is_empty() {
            return Ok(());
        }
        self.write("the end of tries that were broken off", |change| {
            for (mail, was_going) in &broken_off {
                let (says, failure) = if *was_going {
                    (
                        "the program was stopped while the mail was on its way",
                        Failure::Unknown,
                    )
                } else {
                    (
                        "the program was stopped before the mail went",
                        Failure::Later(now),
                    )
                };
                end(change, mail, now, (says, failure))?;
            }
            Ok(())
        })
    }

    /// Puts off every mail that is due: what keeps one from going keeps them all. One that has been kept too long by then
    /// is given up.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn hold_mails(
        &mut self,
        now: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Result<(), StoreError> {
        self.write("that the mails wait", |change| {
            let old: Vec<OutboxItem> = change
                .prepare_cached(
                    "SELECT * FROM outbox WHERE next_try_at <= ?1 AND queued_at < ?2
                         AND state IN ('queued', 'deferred', 'unknown') ORDER BY id",
                )?
                .query_map(params![At(now), At(until - TRIED_FOR)], item)?
                .collect::<engine::Result<_>>()?;
            for mail in &old {
                execute(change, &format!("{GIVE_UP} WHERE id = ?1"), [mail.id])?;
                note(change, mail, now, "mail-given-up", "the mail server takes none")?;
            }
            execute(change,
                "UPDATE outbox SET next_try_at = ?2, state = CASE WHEN state = 'queued' THEN 'deferred' ELSE state END
                 WHERE next_try_at <= ?1 AND state IN ('queued', 'deferred', 'unknown')",
                params![At(now), At(until)],
            )
        })?;
        Ok(())
    }

    /// Gives up a mail of which its reader wants to know nothing any more.
    ///
    /// # Errors
    /// When the store cannot be written.
    pub fn cancel(&mut self, id: i64, now: DateTime<Utc>, why: &str) -> Result<(), StoreError> {
        self.write("that a mail is no use", |change| {
            if let Some(mail) = find(change, id)?.filter(|mail| mail.next_try_at.is_some()) {
                execute(change, &format!("{GIVE_UP} WHERE id = ?1"), [id])?;
                note(change, &mail, now, "mail-given-up", why)?;
            }
            Ok(())
        })
    }
}

/// Writes how a try ended, and into the journal what that comes to.
fn end(
    change: &Transaction<'_>,
    mail: &OutboxItem,
    now: DateTime<Utc>,
    (reply, failure): (&str, Failure),
) -> engine::Result<()> {
    let is_wanted = mail.next_try_at.is_some();
    let (state, next, what) = match failure {
        Failure::Later(next) if is_wanted => ("deferred", Some(next), "mail-deferred"),
        Failure::Later(_) | Failure::TooOld => ("cancelled", None, "mail-given-up"),
        Failure::Refused => ("refused", None, "mail-given-up"),
        Failure::ReaderRefused => {
            refusals::add(change, &mail.message.to, now, reply)?;
            ("refused", None, "mail-given-up")
        }
        Failure::Unknown => {
            let again = is_wanted && mail.warns && mail.doubts < DOUBTS_BORNE;
            (
                "unknown",
                again.then(|| now + DOUBT_PAUSE),
                "mail-unconfirmed",
            )
        }
    };
    execute(
        change,
        "UPDATE outbox SET last_reply = ?2, stage = NULL, doubts = doubts + ?5,
             next_try_at = CASE WHEN ?4 > until THEN NULL ELSE ?4 END,
             state = CASE WHEN ?3 = 'deferred' AND ?4 > until THEN 'cancelled' ELSE ?3 END
         WHERE id = ?1",
        params![
            mail.id,
            reply,
            state,
            next.map(At),
            u32::from(failure == Failure::Unknown)
        ],
    )?;
    let after = find(change, mail.id)?;
    let is_cancelled = after.is_some_and(|mail| mail.delivery == Delivery::Cancelled);
    let what = if is_cancelled { "mail-given-up" } else { what };
    note(
        change,
        mail,
        now,
        what,
        &format!("{}: {reply}", mail.message.to),
    )
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

    #[test]
    fn a_reply_is_kept_in_short() {
        assert_eq!(shortened(&"ä".repeat(501)), "ä".repeat(500));
    }
}
