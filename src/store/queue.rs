//! How mails come into the outbox and leave it in the end.

use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::params;

use super::columns::{At, Json, execute};
use super::engine::{self, Optional as _, Transaction};
use super::letters::{self, Says};
use super::outbox::{GIVE_UP, OutboxItem, item, note};
use super::round::Letter;
use super::{Store, StoreError};
use crate::message::Message;

/// How long a mail is kept with which nothing more will be done.
const KEPT_FOR: TimeDelta = TimeDelta::days(90);

impl Store {
    /// Whether a mail of that key was ever queued, as far back as mails are kept.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn knows_mail(&self, key: &str) -> Result<bool, StoreError> {
        self.read("whether a mail is known", |conn| {
            conn.prepare_cached("SELECT EXISTS (SELECT 1 FROM outbox WHERE letter = ?1)")?
                .query_row([key], |row| row.get(0))
        })
    }
}

/// What a mail is about.
pub(super) struct Place<'a> {
    pub(super) garden: &'a str,
    pub(super) cut: &'a str,
    /// A newer mail takes the place of an older one on the same cut and topic; of letters a round takes back those that
    /// are overtaken.
    pub(super) topic: &'a str,
    /// Before which it does not go out.
    pub(super) goes_at: DateTime<Utc>,
    /// After which it is not tried any more.
    pub(super) until: Option<DateTime<Utc>>,
}

/// Whether a reader of a garden's letters wants none.
fn is_unwanted(change: &Transaction<'_>, garden: &str, reader: &str) -> engine::Result<bool> {
    change.query_row(
        "SELECT EXISTS (SELECT 1 FROM answer
             WHERE garden = ?1 AND reader IN ('', ?2) AND answer = 'no-letters' AND undone_at IS NULL)",
        [garden, reader],
        |row| row.get(0),
    )
}

/// Gives up every mail of a garden that has not gone out to a reader who wants none; to any, if that one is not named.
pub(super) fn give_up(change: &Transaction<'_>, garden: &str, reader: &str) -> engine::Result<()> {
    execute(
        change,
        &format!(
            "{GIVE_UP} WHERE garden = ?1 AND ?2 IN ('', recipient) AND next_try_at IS NOT NULL"
        ),
        [garden, reader],
    )?;
    Ok(())
}

/// Queues a mail for each reader of a message, and says whether any is new; a key that is known changes nothing, nor does
/// a mail to a reader who wants none.
///
/// A mail on the same cut and topic that still waits is given up: it must not come after this one and say the
/// opposite. One that is being handed over right now is not tried again. `says` is what the mail says, for a letter
/// that may be taken back.
pub(super) fn add(
    change: &Transaction<'_>,
    place: &Place<'_>,
    at: DateTime<Utc>,
    message: &Message,
    says: &Says,
) -> engine::Result<bool> {
    let mut is_new = false;
    for mail in message.each() {
        is_new |= add_one(change, place, at, (&message.key, &mail), says)?;
    }
    Ok(is_new)
}

/// Queues a mail of a topic of its own, which no letter takes back.
pub(super) fn add_beside(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
    (topic, letter): (&str, Option<&Letter>),
) -> engine::Result<()> {
    let Some(letter) = letter else {
        return Ok(());
    };
    let place = Place {
        garden,
        cut: "",
        topic,
        goes_at: letter.goes_at,
        until: letter.until,
    };
    add(change, &place, at, &letter.message, &Says::default()).map(|_| ())
}

fn add_one(
    change: &Transaction<'_>,
    place: &Place<'_>,
    at: DateTime<Utc>,
    (letter, mail): (&str, &Message),
    says: &Says,
) -> engine::Result<bool> {
    if is_unwanted(change, place.garden, &mail.to)? {
        return Ok(false);
    }
    let Message {
        key,
        to,
        subject,
        text,
        html,
        enclosed,
    } = mail;
    let added: Option<i64> = change
        .query_row(
            "INSERT INTO outbox (key, garden, cut, recipient, subject, text, html, queued_at, state, next_try_at,
                 topic, until, enclosed, says, letter)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 'queued', ?9, ?10, ?11, ?12, ?13, ?14)
             ON CONFLICT (key) DO NOTHING RETURNING id",
            params![
                key,
                place.garden,
                place.cut,
                to,
                subject,
                text,
                html,
                At(at),
                At(place.goes_at),
                place.topic,
                place.until.map(At),
                Json(enclosed),
                Json(says),
                letter
            ],
            |row| row.get(0),
        )
        .optional()?;
    let Some(id) = added else {
        return Ok(false);
    };
    if place.topic != letters::TOPIC {
        replace_older(change, id, at)?;
    }
    Ok(true)
}

fn replace_older(change: &Transaction<'_>, id: i64, at: DateTime<Utc>) -> engine::Result<()> {
    let older: Vec<OutboxItem> = change
        .prepare_cached(
            "SELECT old.* FROM outbox AS old JOIN outbox AS new USING (garden, cut, topic, recipient)
             WHERE new.id = ?1 AND old.id < ?1 AND old.next_try_at IS NOT NULL",
        )?
        .query_map([id], item)?
        .collect::<engine::Result<_>>()?;
    for old in older {
        execute(change, &format!("{GIVE_UP} WHERE id = ?1"), [old.id])?;
        note(change, &old, at, "mail-replaced", &old.message.subject)?;
    }
    Ok(())
}

/// Gives up the mails that are no use any more.
pub(super) fn give_up_old(change: &Transaction<'_>, now: DateTime<Utc>) -> engine::Result<()> {
    execute(
        change,
        &format!("{GIVE_UP} WHERE next_try_at IS NOT NULL AND until < ?1"),
        [At(now)],
    )?;
    Ok(())
}

/// Drops the mails whose end is long past.
pub(super) fn forget_old(change: &Transaction<'_>, now: DateTime<Utc>) -> engine::Result<()> {
    execute(
        change,
        "DELETE FROM outbox WHERE next_try_at IS NULL AND queued_at < ?1",
        [At(now - KEPT_FOR)],
    )?;
    Ok(())
}
