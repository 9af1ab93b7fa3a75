//! The start of the daemon's store: a damaged file is set aside and the newest good copy takes its place.
//!
//! What such a copy does not know counts as announced: mails that waited in it are given up, and the next round of each
//! garden says in one letter what holds. The file that is to take the place is made ready first, then the one that is there
//! is set aside, then the names change: a stop at any point leaves a start that ends at the same.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use rusqlite::params;

use super::columns::At;
use super::copies::{check_file, copies, named_in};
use super::engine::{self, Connection, Optional as _, Transaction};
use super::files::{beside, copy, remove, rename};
use super::journal::{self, JournalLine};
use super::open::is_sqlite;
use super::outbox::GIVE_UP;
use super::{Store, StoreError, StoreLock};

/// So many damaged files are kept.
const DAMAGED_MAX: usize = 3;

/// What was put in place of a store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// When.
    pub at: DateTime<Utc>,
    /// The last moment that the copy knows of; none where it knows of none.
    pub known_until: Option<DateTime<Utc>>,
    /// Why.
    pub why: String,
    /// Where the file is kept that was there before, if there was one.
    pub kept_as: Option<PathBuf>,
    /// When the keeper was told; none when that is still to be done.
    pub told_at: Option<DateTime<Utc>>,
}

impl Restored {
    /// Why, and where the file before is kept.
    pub fn in_words(&self) -> String {
        match &self.kept_as {
            Some(file) => format!(
                "{}; the file before is kept as {}",
                self.why,
                file.display()
            ),
            None => self.why.clone(),
        }
    }
}

/// When and for whom something is put in place of a store.
#[derive(Debug, Clone, Copy)]
pub struct Place<'a> {
    /// When.
    pub at: DateTime<Utc>,
    /// The gardens that are looked at.
    pub gardens: &'a [String],
}

impl Store {
    /// Opens the store of a daemon and reads all of it; one that is damaged, or gone while there are copies of it, is set
    /// aside and the newest good copy put in its place.
    ///
    /// # Errors
    /// As [`Store::open`], but for damage.
    pub fn open_or_rescue(lock: &StoreLock, turn: &Place<'_>) -> Result<Self, StoreError> {
        let path = lock.store();
        let ready = beside(path, "restored");
        if !path.exists() && ready.exists() {
            rename(&ready, path)?;
        }
        let Some(why) = what_is_wrong(path)? else {
            return Self::open(path);
        };
        let good = copies(path).into_iter().find_map(|(day, copy)| {
            let made = make_ready(&copy, &ready);
            made.ok().map(|store| (store, Some(day)))
        });
        let (store, day) = if let Some(good) = good {
            good
        } else {
            remove(&ready)?;
            (Self::open_bare(&ready)?, None)
        };
        let why = match day {
            Some(day) => format!("{why}; the copy of {day} is in its place"),
            None => format!("{why}; there is no good copy of it, and all is begun anew"),
        };
        put_in_place(store, (&ready, path), (&why, "damaged"), turn)
    }

    /// Puts a copy in place of the store, which is kept under another name; gives that name, if there was one.
    ///
    /// # Errors
    /// When the file is not a sound store of this program or of an older one, in which case the store stays as it is.
    pub fn restore(
        lock: &StoreLock,
        from: &Path,
        turn: &Place<'_>,
    ) -> Result<Option<PathBuf>, StoreError> {
        let path = lock.store();
        let ready = beside(path, "restored");
        let store = make_ready(from, &ready)?;
        let why = format!("{} was put in its place by hand", from.display());
        let store = put_in_place(store, (&ready, path), (&why, "replaced"), turn)?;
        let last = turn.gardens.first().map(|garden| store.restored(garden));
        Ok(last.transpose()?.flatten().and_then(|last| last.kept_as))
    }

    /// What was put in place of the store the last time, as a garden's keeper has to know it.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn restored(&self, garden: &str) -> Result<Option<Restored>, StoreError> {
        self.read("what was restored", |conn| {
            conn.prepare_cached(
                "SELECT at, known_until, why, kept_as, told_at FROM restored WHERE garden = ?1",
            )?
            .query_row([garden], |row| {
                let (At(at), known_until, told_at): (_, Option<At>, Option<At>) =
                    (row.get("at")?, row.get("known_until")?, row.get("told_at")?);
                let kept_as: Option<String> = row.get("kept_as")?;
                Ok(Restored {
                    at,
                    known_until: known_until.map(|At(at)| at),
                    why: row.get("why")?,
                    kept_as: kept_as.map(PathBuf::from),
                    told_at: told_at.map(|At(at)| at),
                })
            })
            .optional()
        })
    }
}

/// Remembers, as a part of the round that tells it, that the keeper knows.
pub(super) fn told(
    change: &Transaction<'_>,
    garden: &str,
    at: DateTime<Utc>,
) -> engine::Result<()> {
    change.execute(
        "UPDATE restored SET told_at = ?2 WHERE garden = ?1 AND told_at IS NULL",
        params![garden, At(at)],
    )?;
    Ok(())
}

/// What is wrong with the file of a store; nothing when it is sound, or is begun now.
fn what_is_wrong(path: &Path) -> Result<Option<String>, StoreError> {
    let has_copies = !copies(path).is_empty();
    let len = fs::metadata(path).map_or(0, |file| file.len());
    if len == 0 {
        let what = if path.exists() { "empty" } else { "gone" };
        return Ok(has_copies.then(|| format!("the store was {what}")));
    }
    if !is_sqlite(path)? {
        // A file that never was a store is left as it is; opening it says so.
        let what = "the first bytes of the store were destroyed";
        return Ok(has_copies.then(|| what.to_owned()));
    }
    match check_file(path) {
        Err(StoreError::Damaged { found, .. }) => {
            Ok(Some(format!("the store was damaged: {found}")))
        }
        // Whatever else there is, opening it says so.
        Ok(()) | Err(_) => Ok(None),
    }
}

/// A copy of a file as a store that is sound and up to date, beside the one whose place it is to take.
fn make_ready(from: &Path, ready: &Path) -> Result<Store, StoreError> {
    copy(from, ready)?;
    let name = |error| match error {
        // The file that was named is meant, not the one that was made of it.
        StoreError::Damaged { found, .. } => StoreError::Damaged {
            path: from.to_owned(),
            found,
        },
        StoreError::Foreign { found, .. } => StoreError::Foreign {
            path: from.to_owned(),
            found,
        },
        StoreError::Newer { found, known, .. } => StoreError::Newer {
            path: from.to_owned(),
            found,
            known,
        },
        other @ (StoreError::Unreadable { .. }
        | StoreError::Unwritable { .. }
        | StoreError::Held { .. }
        | StoreError::ReadOnly { .. }
        | StoreError::Blocked { .. }
        | StoreError::NoRoom { .. }
        | StoreError::Lost { .. }
        | StoreError::NoFile
        | StoreError::Elsewhere { .. }
        | StoreError::Broken { .. }
        | StoreError::Exists { .. }
        | StoreError::Garbled { .. }
        | StoreError::OutOfStep { .. }) => other,
    };
    let opened = Store::look_at(ready).and_then(|()| check_file(ready));
    let opened = opened.and_then(|()| Store::open_bare(ready)).map_err(name);
    if opened.is_err() {
        remove(ready)?;
    }
    opened
}

/// Marks a store as restored, sets the one aside that is there, and gives it its name.
fn put_in_place(
    mut store: Store,
    (ready, path): (&Path, &Path),
    (why, ending): (&str, &str),
    turn: &Place<'_>,
) -> Result<Store, StoreError> {
    let stamp = turn.at.format("%Y%m%dT%H%M%SZ");
    let aside = beside(path, &format!("{ending}-{stamp}"));
    let aside = path.exists().then_some(aside);
    store.write("what was restored", |change| {
        mark(change, (why, aside.as_deref()), turn)
    })?;
    if let Some((conn, _)) = store.file() {
        conn.pragma_update(None, "journal_mode", "DELETE")
            .map_err(|cause| StoreError::writing("the restored store", cause))?;
    }
    drop(store);
    if let Some(aside) = &aside {
        rename(path, aside)?;
        drop_oldest(path, ending)?;
    }
    rename(ready, path)?;
    Store::open(path)
}

/// Keeps a few of the files that were set aside.
fn drop_oldest(path: &Path, ending: &str) -> Result<(), StoreError> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let start = beside(path, &format!("{ending}-"));
    let start = start.file_name().and_then(|name| name.to_str());
    let is_aside =
        |name: &str| start.is_some_and(|start| name.starts_with(start)) && name.ends_with('Z');
    let mut aside = named_in(folder, is_aside);
    aside.sort();
    for old in aside.iter().rev().skip(DAMAGED_MAX) {
        remove(old)?;
    }
    Ok(())
}

/// What a copy does not know counts as announced.
fn mark(
    change: &Transaction<'_>,
    (why, kept_as): (&str, Option<&Path>),
    turn: &Place<'_>,
) -> engine::Result<()> {
    let known_until = known_until(change)?;
    let waiting: Vec<(String, String, String)> = change
        .prepare_cached("SELECT garden, cut, subject FROM outbox WHERE next_try_at IS NOT NULL")?
        .query_map(params![], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
        .collect::<engine::Result<_>>()?;
    change.execute(
        &format!("{GIVE_UP} WHERE next_try_at IS NOT NULL"),
        params![],
    )?;
    let note = |garden: &str, cut: &str, (what, detail): (&str, &str)| {
        let line = JournalLine {
            at: turn.at,
            garden: garden.to_owned(),
            cut: cut.to_owned(),
            what: what.to_owned(),
            detail: detail.to_owned(),
        };
        journal::add(change, &line)
    };
    for (garden, cut, subject) in waiting {
        note(&garden, &cut, ("mail-given-up", &subject))?;
    }
    for garden in turn.gardens {
        change.execute(
            "INSERT INTO restored (garden, at, known_until, why, kept_as) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (garden) DO UPDATE SET at = excluded.at, known_until = excluded.known_until,
                 why = excluded.why, kept_as = excluded.kept_as, told_at = NULL",
            params![
                garden,
                At(turn.at),
                known_until.map(At),
                why,
                kept_as.map(|path| path.display().to_string())
            ],
        )?;
        note(garden, "", ("store-restored", why))?;
    }
    Ok(())
}

/// The last moment of which a copy tells.
fn known_until(conn: &Connection) -> engine::Result<Option<DateTime<Utc>>> {
    let last: Option<At> =
        conn.query_row("SELECT max(at) FROM journal", params![], |row| row.get(0))?;
    Ok(last.map(|At(at)| at))
}
