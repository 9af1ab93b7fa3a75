//! Who of a garden's readers has had which letters: what waits for whom.
//!
//! Of several readers one may have a letter that still waits for another. Then it was said; but the other one is behind,
//! and gets what holds now in a letter of its own.

use rusqlite::params;

use super::columns::{At, Json};
use super::engine::{self, Connection, Row};
use super::letters::{Says, TOPIC, Unsent};
use super::outbox::NEVER;

/// A letter with a mail that waits.
pub(super) struct Open {
    pub(super) says: Says,
    /// Whether it went out to any reader, or may have, or says to those who are behind what the others had.
    pub(super) has_gone: bool,
    /// The mails that wait.
    pub(super) waits: Vec<Wait>,
}

/// A mail that waits.
pub(super) struct Wait {
    pub(super) id: i64,
    reader: String,
    /// What it says; of one that is held what its reader has not been told.
    says: Says,
    /// Whether it stays and does not go.
    is_held: bool,
}

impl Open {
    /// What it is to a group of the readers; nothing when none of its mails waits for them. One that went out to nobody
    /// waits for all: those to who reads no more are everybody's.
    fn of(&self, group: &[String], readers: &[String]) -> Option<Unsent> {
        let is_own = |wait: &&Wait| {
            let is_left = !self.has_gone && !readers.contains(&wait.reader);
            group.contains(&wait.reader) || is_left
        };
        let own = || self.waits.iter().filter(is_own);
        let first = own().next()?;
        Some(Unsent {
            ids: own().map(|wait| wait.id).collect(),
            says: first.says.clone(),
            is_held: first.is_held,
        })
    }
}

/// Of each letter what waits of it for a reader, and whether that is held.
type Waiting = Vec<Option<(Says, bool)>>;

/// The readers in groups for whom the same letters wait; first one that has had all that anybody has. Where each of them
/// lacks a letter that another has had, that is a group of nobody: what is new is new to all.
pub(super) fn groups(open: &[Open], readers: &[String]) -> Vec<(Vec<String>, Vec<Unsent>)> {
    let unsent = |group: &[String]| -> Vec<Option<Unsent>> {
        let letters = open.iter().map(|letter| letter.of(group, readers));
        letters.collect()
    };
    let waiting = |reader: &String| -> Waiting {
        let letters = unsent(std::slice::from_ref(reader)).into_iter();
        let says = letters.map(|letter| letter.map(|letter| (letter.says, letter.is_held)));
        says.collect()
    };
    let mut groups: Vec<(Waiting, Vec<String>)> = Vec::new();
    for reader in readers {
        let waits = waiting(reader);
        match groups.iter_mut().find(|(other, _)| *other == waits) {
            Some((_, together)) => together.push(reader.clone()),
            None => groups.push((waits, vec![reader.clone()])),
        }
    }
    let is_behind = |waits: &Waiting| {
        let lacks = open.iter().zip(waits);
        lacks
            .filter(|(letter, waits)| letter.has_gone && waits.is_some())
            .count()
            > 0
    };
    if groups.iter().all(|(waits, _)| is_behind(waits)) {
        groups.push((Vec::new(), Vec::new()));
    }
    groups.sort_by_key(|(waits, _)| (is_behind(waits), waits.iter().flatten().count()));
    let with_unsent = |(waits, group): (Waiting, Vec<String>)| {
        let is_anybody = !waits.is_empty() || readers.is_empty();
        let unsent = unsent(&group).into_iter().flatten();
        let unsent = unsent.filter(|_| is_anybody).collect();
        (group, unsent)
    };
    groups.into_iter().map(with_unsent).collect()
}

/// The letters of which a mail waits, oldest first.
pub(super) fn unsent(conn: &Connection, garden: &str) -> engine::Result<Vec<Open>> {
    let rows = conn
        .prepare_cached(
            "SELECT id, letter, recipient, says,
                 next_try_at IS NOT NULL AND state IN ('queued', 'deferred') AS waits,
                 state IN ('sent', 'sending', 'unknown') AS has_gone,
                 next_try_at IS NOT NULL AND next_try_at >= ?3 AS is_held
             FROM outbox WHERE letter IN (
                 SELECT letter FROM outbox WHERE garden = ?1 AND topic = ?2
                     AND next_try_at IS NOT NULL AND state IN ('queued', 'deferred'))
             ORDER BY id",
        )?
        .query_map(params![garden, TOPIC, At(NEVER)], mail)?;
    let mut open: Vec<(String, Open)> = Vec::new();
    for row in rows {
        let mail = row?;
        if open.last().is_none_or(|(last, _)| *last != mail.letter) {
            let new = Open {
                has_gone: false,
                says: mail.wait.says.clone(),
                waits: Vec::new(),
            };
            open.push((mail.letter, new));
        }
        if let Some((_, last)) = open.last_mut() {
            last.has_gone |= mail.wait.says.is_behind || mail.has_gone;
            if mail.waits {
                last.waits.push(mail.wait);
            }
        }
    }
    Ok(open.into_iter().map(|(_, open)| open).collect())
}

/// A mail of a letter of which one waits.
struct Mail {
    letter: String,
    has_gone: bool,
    waits: bool,
    wait: Wait,
}

fn mail(row: &Row<'_>) -> engine::Result<Mail> {
    let Json(says) = row.get("says")?;
    Ok(Mail {
        letter: row.get("letter")?,
        has_gone: row.get("has_gone")?,
        waits: row.get("waits")?,
        wait: Wait {
            id: row.get("id")?,
            reader: row.get("recipient")?,
            says,
            is_held: row.get("is_held")?,
        },
    })
}
