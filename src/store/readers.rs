//! Who of a garden's readers has had which letters: what waits for whom.
//!
//! Of several readers one may have a letter that still waits for another. Then it was said; but the other one is behind,
//! and gets what holds now in a letter of its own.

use rusqlite::{Connection, params};

use super::columns::{At, Json};
use super::letters::{Says, TOPIC, Unsent};
use super::outbox::NEVER;

/// A letter with a mail that waits.
pub(super) struct Open {
    pub(super) says: Says,
    /// Whether it went out to any reader, or may have, or says to those who are behind what the others had.
    pub(super) has_gone: bool,
    /// Whether it stays and does not go.
    is_held: bool,
    /// The mails that wait and their readers.
    pub(super) waits: Vec<(i64, String)>,
}

impl Open {
    /// What it is to a group of readers; nothing when none of its mails waits for them. One that went out to nobody waits
    /// for all.
    fn of(&self, readers: &[String]) -> Option<Unsent> {
        let waits = self.waits.iter();
        let own = waits.filter(|(_, reader)| !self.has_gone || readers.contains(reader));
        let ids: Vec<i64> = own.map(|(id, _)| *id).collect();
        (!ids.is_empty()).then(|| Unsent {
            ids,
            says: self.says.clone(),
            is_held: self.is_held,
        })
    }
}

/// The readers in groups for whom the same letters wait.
pub(super) fn groups(open: &[Open], readers: &[String]) -> Vec<(Vec<String>, Vec<Unsent>)> {
    let waiting = |reader: &String| -> Vec<bool> {
        let is_open = |letter: &Open| letter.of(std::slice::from_ref(reader)).is_some();
        open.iter().map(is_open).collect()
    };
    let mut groups: Vec<(Vec<bool>, Vec<String>)> = Vec::new();
    for reader in readers {
        let waits = waiting(reader);
        match groups.iter_mut().find(|(other, _)| *other == waits) {
            Some((_, together)) => together.push(reader.clone()),
            None => groups.push((waits, vec![reader.clone()])),
        }
    }
    if groups.is_empty() {
        groups.push((Vec::new(), Vec::new()));
    }
    groups.sort_by_key(|(waits, _)| waits.iter().filter(|waits| **waits).count());
    let unsent = |(_, readers): (Vec<bool>, Vec<String>)| {
        let unsent = open
            .iter()
            .filter_map(|letter| letter.of(&readers))
            .collect();
        (readers, unsent)
    };
    groups.into_iter().map(unsent).collect()
}

/// The letters of which a mail waits, oldest first.
pub(super) fn unsent(conn: &Connection, garden: &str) -> rusqlite::Result<Vec<Open>> {
    let mut found = conn.prepare_cached(
        "SELECT id, letter, recipient, says,
             next_try_at IS NOT NULL AND state IN ('queued', 'deferred') AS waits,
             state IN ('sent', 'sending', 'unknown') AS has_gone,
             next_try_at IS NOT NULL AND next_try_at >= ?3 AS is_held
         FROM outbox WHERE letter IN (
             SELECT letter FROM outbox WHERE garden = ?1 AND topic = ?2
                 AND next_try_at IS NOT NULL AND state IN ('queued', 'deferred'))
         ORDER BY id",
    )?;
    let mut rows = found.query(params![garden, TOPIC, At(NEVER)])?;
    let mut open: Vec<(String, Open)> = Vec::new();
    while let Some(row) = rows.next()? {
        let letter: String = row.get("letter")?;
        if open.last().is_none_or(|(last, _)| *last != letter) {
            let says: Says = row.get("says").map(|Json(says)| says)?;
            let new = Open {
                has_gone: says.is_behind,
                says,
                is_held: false,
                waits: Vec::new(),
            };
            open.push((letter, new));
        }
        if let Some((_, last)) = open.last_mut() {
            let has_gone: bool = row.get("has_gone")?;
            last.has_gone |= has_gone;
            last.is_held |= row.get::<_, bool>("is_held")?;
            if row.get("waits")? {
                last.waits.push((row.get("id")?, row.get("recipient")?));
            }
        }
    }
    Ok(open.into_iter().map(|(_, open)| open).collect())
}
