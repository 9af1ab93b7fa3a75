//! The outbox: every mail from the moment it is decided until its end is known.
//!
//! A mail is `queued`, then `sending` from before the first byte goes out, then `sent`; or `deferred` until its next try;
//! or `refused`; or `unknown`, when the line broke after the mail itself was on its way; or `cancelled`, when it is no use
//! any more. How it goes from one to the next stands in `sending`.

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::params;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ValueRef};

use super::columns::{At, Json};
use super::engine::{self, Connection, Optional as _, Row, Transaction};
use super::journal::{self, JournalLine};
use super::letters::Says;
use super::{Store, StoreError};
use crate::message::Message;
use crate::notice::Alarm;

/// The first pause after a try in vain, and the longest; it doubles from try to try. Five minutes get past a server that
/// lets a stranger wait, four hours past an outage.
const PAUSE_FIRST: TimeDelta = TimeDelta::minutes(5);
const PAUSE_MOST: TimeDelta = TimeDelta::hours(4);

/// How long a mail is tried: four to five days are usual among mail servers (RFC 5321, section 4.5.4.1).
pub(super) const TRIED_FOR: TimeDelta = TimeDelta::days(5);

/// When a mail is tried that is held: the last second of the year 9999, which sorts as text after any other.
pub(super) const NEVER: DateTime<Utc> = match DateTime::from_timestamp(253_402_300_799, 0) {
    Some(at) => at,
    None => DateTime::<Utc>::MAX_UTC,
};

/// Ends whatever is still to be done with a mail; of one on its way the end is noted when it comes.
pub(super) const GIVE_UP: &str = "UPDATE outbox SET next_try_at = NULL, state = CASE WHEN state IN ('queued', 'deferred') THEN 'cancelled' ELSE state END";

/// How many mails are handed out at once.
const DUE_MAX: i64 = 100;

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
    /// How often a try ended so that nobody knows whether the mail arrived.
    pub doubts: u32,
    /// Whether it warns: then it had better come twice than never.
    pub warns: bool,
    /// When it is tried next; none when it is not.
    pub next_try_at: Option<DateTime<Utc>>,
    /// The last answer of the mail server.
    pub last_reply: Option<String>,
}

/// What has become of a mail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Delivery {
    /// It waits for its time.
    Queued,
    /// It is being handed over, or a stop of the program left it at that.
    Sending,
    /// The mail server has taken it.
    Sent,
    /// It did not go out, and is tried again.
    Deferred,
    /// The mail server will not have it.
    Refused,
    /// It may have arrived: the line was lost with the mail on its way.
    Unknown,
    /// It is no use any more.
    Cancelled,
}

/// When to try a mail again after `tries` tries in vain; none when its news is too old by then.
pub fn retry_at(tries: u32, queued_at: DateTime<Utc>, now: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let doublings = tries.saturating_sub(1).min(16);
    let pause = (PAUSE_FIRST * (1 << doublings)).min(PAUSE_MOST);
    Some(now + pause).filter(|next| *next - queued_at <= TRIED_FOR)
}

impl Store {
    /// The mails whose time has come and is not over, oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn due(&self, now: DateTime<Utc>) -> Result<Vec<OutboxItem>, StoreError> {
        self.read("the mails that are due", |conn| {
            let ours = self.ours("outbox");
            conn.prepare_cached(&format!(
                "SELECT * FROM outbox
                 WHERE next_try_at <= ?1 AND (until IS NULL OR until >= ?1) AND state <> 'sending' AND {ours}
                 ORDER BY id LIMIT ?2"
            ))?
            .query_map(params![At(now), DUE_MAX], item)?
            .collect()
        })
    }

    /// How many mails of a garden stand in each state, of those that are kept.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn mail_counts(&self, garden: &str) -> Result<BTreeMap<Delivery, u64>, StoreError> {
        self.read("how many mails stand how", |conn| {
            conn.prepare_cached(
                "SELECT state, count(*) AS mails FROM outbox WHERE garden = ?1 GROUP BY state",
            )?
            .query_map([garden], |row| {
                let mails: i64 = row.get("mails")?;
                Ok((row.get("state")?, mails.unsigned_abs()))
            })?
            .collect()
        })
    }

    /// Whether any mail is still to be tried, now or later.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn has_waiting_mail(&self) -> Result<bool, StoreError> {
        self.read("whether mails wait", |conn| {
            conn.prepare_cached("SELECT EXISTS (SELECT 1 FROM outbox WHERE next_try_at < ?1)")?
                .query_row([At(NEVER)], |row| row.get(0))
        })
    }
}

pub(super) fn find(conn: &Connection, id: i64) -> engine::Result<Option<OutboxItem>> {
    conn.prepare_cached("SELECT * FROM outbox WHERE id = ?1")?
        .query_row([id], item)
        .optional()
}

pub(super) fn item(row: &Row<'_>) -> engine::Result<OutboxItem> {
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
        doubts: row.get("doubts")?,
        warns: row.get("says").map(|Json(says): Json<Says>| says.warns())?
            || is_alarm(&row.get::<_, String>("topic")?),
        queued_at,
        tries: row.get("tries")?,
        next_try_at: next_try_at.map(|At(at)| at),
        last_reply: row.get("last_reply")?,
    })
}

/// Whether a mail of that topic tells of a danger to what was cut.
fn is_alarm(topic: &str) -> bool {
    [Alarm::CoverTonight, Alarm::FrostSeen, Alarm::BelowNow]
        .iter()
        .any(|alarm| alarm.name() == topic)
}

impl Delivery {
    /// Every state of a mail.
    pub const ALL: [Self; 7] = [
        Self::Queued,
        Self::Sending,
        Self::Sent,
        Self::Deferred,
        Self::Refused,
        Self::Unknown,
        Self::Cancelled,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Queued => "queued",
            Self::Sending => "sending",
            Self::Sent => "sent",
            Self::Deferred => "deferred",
            Self::Refused => "refused",
            Self::Unknown => "unknown",
            Self::Cancelled => "cancelled",
        }
    }
}

impl FromSql for Delivery {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let name = value.as_str()?;
        let mut all = Self::ALL.into_iter();
        all.find(|state| state.name() == name)
            .ok_or_else(|| FromSqlError::Other(format!("'{name}' is no state of a mail").into()))
    }
}

/// Writes what became of a mail into the journal.
pub(super) fn note(
    change: &Transaction<'_>,
    mail: &OutboxItem,
    at: DateTime<Utc>,
    what: &str,
    detail: &str,
) -> engine::Result<()> {
    let line = JournalLine {
        at,
        garden: mail.garden.clone(),
        cut: mail.cut.clone(),
        what: what.to_owned(),
        detail: detail.to_owned(),
    };
    journal::add(change, &line)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    #[test]
    fn tries_become_rarer_and_end_after_five_days() {
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
        assert_eq!(minutes[..6], [5, 10, 20, 40, 80, 160]);
        assert_eq!(minutes[6..], [240; 28]);
        assert_eq!(tried.last(), Some(&at("2027-04-27T03:15:00Z")));
    }

    #[test]
    fn a_mail_that_lay_too_long_is_not_tried_again() {
        let queued_at = at("2027-04-22T06:00:00Z");
        assert_eq!(retry_at(1, queued_at, at("2027-04-27T05:55:01Z")), None);
        assert!(retry_at(1, queued_at, at("2027-04-27T05:55:00Z")).is_some());
    }
}
