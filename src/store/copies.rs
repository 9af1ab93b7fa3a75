//! Copies of the whole store: one a day beside it, a few kept by rule, and one wherever the keeper wants it.
//!
//! A copy is made by SQLite's online backup while the store is in use, checked page by page, and takes its name only when
//! it is sound and on the disk.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

use chrono::{Datelike, Days, NaiveDate};
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};

use super::error::named;
use super::files::{beside, make_private, remove, settle};
use super::open::check_soundness;
use super::{Store, StoreError};

/// Of so many days up to today each has its copy (estimate).
const DAYS: u64 = 5;

/// Beside those the Mondays of so many days back (estimate).
const MONDAYS: u64 = 28;

impl Store {
    /// Writes a sound copy of the whole store to a file that is not there yet; the store may be in use meanwhile.
    ///
    /// # Errors
    /// [`StoreError::Exists`]; when the copy cannot be written or is not sound, in which case there is none.
    pub fn back_up(&self, to: &Path) -> Result<(), StoreError> {
        if to.exists() {
            let path = to.to_owned();
            return Err(StoreError::Exists { path });
        }
        let part = beside(to, "part");
        remove(&part)?;
        make_private(&part)?;
        let Some((conn, _)) = self.file() else {
            return Err(StoreError::NoFile);
        };
        let written = write_copy(conn, &part);
        if let Err(error) = written.and_then(|()| check_file(&part)) {
            remove(&part)?;
            return Err(error);
        }
        let synced = File::open(&part).and_then(|file| file.sync_all());
        synced.map_err(|cause| StoreError::making(&part, cause))?;
        fs::rename(&part, to).map_err(|cause| StoreError::making(to, cause))?;
        settle(to)
    }

    /// Keeps the copy of a day, unless there is one, and drops those that are kept no more; gives whether it is new.
    ///
    /// # Errors
    /// As [`Store::back_up`]; the copies before stay.
    pub fn keep_copy(&self, today: NaiveDate) -> Result<bool, StoreError> {
        let Some(store) = self.at.file() else {
            return Ok(false);
        };
        let folder = folder(store);
        let path = folder.join(format!("{today}.sqlite3"));
        if path.exists() {
            return Ok(false);
        }
        fs::create_dir_all(&folder).map_err(|cause| StoreError::making(&folder, cause))?;
        self.back_up(&path)?;
        let all = copies(store);
        let kept = kept(all.iter().map(|(day, _)| *day));
        for (_, path) in all.iter().filter(|(day, _)| !kept.contains(day)) {
            remove(path)?;
        }
        Ok(true)
    }

    /// Keeps the store as it was before its tables are changed, in place of the copy of an earlier change.
    pub(super) fn keep_before(&self, format: u32) -> Result<(), StoreError> {
        let Some(store) = self.at.file() else {
            return Ok(());
        };
        let folder = folder(store);
        fs::create_dir_all(&folder).map_err(|cause| StoreError::making(&folder, cause))?;
        let path = folder.join(format!("before-format-{format}.sqlite3"));
        if path.exists() {
            return Ok(());
        }
        for old in named_in(&folder, |name| name.starts_with("before-format-")) {
            remove(&old)?;
        }
        self.back_up(&path)
    }
}

fn write_copy(conn: &Connection, to: &Path) -> Result<(), StoreError> {
    let failed = |cause| StoreError::writing(named(to), cause);
    let mut copy = Connection::open(to).map_err(failed)?;
    let backup = Backup::new(conn, &mut copy).map_err(failed)?;
    // In one go: the copy is of one moment, and whoever writes meanwhile writes into the log.
    let step = backup.step(-1).map_err(failed)?;
    drop(backup);
    if step != StepResult::Done {
        let cause = "another program holds the store".into();
        let what = named(to);
        return Err(StoreError::Unwritable { what, cause });
    }
    // One file, without a log beside it.
    copy.pragma_update(None, "journal_mode", "DELETE")
        .map_err(failed)
}

/// Whether a file is a sound SQLite file, by reading all of it.
pub(super) fn check_file(path: &Path) -> Result<(), StoreError> {
    let conn = Connection::open(path).map_err(|cause| StoreError::opening(path, cause))?;
    check_soundness(&conn, path, "integrity_check")
}

/// The daily copies of a store, the newest first.
pub(super) fn copies(store: &Path) -> Vec<(NaiveDate, PathBuf)> {
    let day = |path: PathBuf| Some((path.file_stem()?.to_str()?.parse().ok()?, path));
    let files = named_in(&folder(store), |name| name.ends_with(".sqlite3"));
    let mut copies: Vec<(NaiveDate, PathBuf)> = files.into_iter().filter_map(day).collect();
    copies.sort();
    copies.reverse();
    copies
}

/// Where the copies of a store lie.
fn folder(store: &Path) -> PathBuf {
    beside(store, "copies")
}

/// The files of a folder whose name is wanted; none where there is no such folder.
pub(super) fn named_in(folder: &Path, is_wanted: impl Fn(&str) -> bool) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let wanted = entries.filter(|entry| entry.file_name().to_str().is_some_and(&is_wanted));
    wanted.map(|entry| entry.path()).collect()
}

/// Which days' copies are kept: the newest five days, and of the four weeks before the newest the Mondays.
fn kept(days: impl Iterator<Item = NaiveDate>) -> BTreeSet<NaiveDate> {
    let days: BTreeSet<NaiveDate> = days.collect();
    let Some(newest) = days.last().copied() else {
        return days;
    };
    let since = |back: u64| newest.checked_sub_days(Days::new(back)).unwrap_or(newest);
    let (dense, thin) = (since(DAYS - 1), since(MONDAYS));
    let is_monday = |day: NaiveDate| day.weekday().num_days_from_monday() == 0;
    let stays = |day: &NaiveDate| *day >= dense || (*day >= thin && is_monday(*day));
    days.into_iter().filter(stays).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_days_and_four_mondays_are_kept() {
        let first: NaiveDate = "2027-01-01".parse().unwrap();
        let mut there = BTreeSet::new();
        for day in first.iter_days().take(400) {
            there.insert(day);
            there = kept(there.into_iter());
            assert!(there.len() <= 9, "{there:?}");
        }
        let names: Vec<String> = there.iter().map(ToString::to_string).collect();
        assert_eq!(
            names,
            [
                "2028-01-10",
                "2028-01-17",
                "2028-01-24",
                "2028-01-31",
                "2028-02-01",
                "2028-02-02",
                "2028-02-03",
                "2028-02-04"
            ]
        );
    }
}
