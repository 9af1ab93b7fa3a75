//! The files beside a store: their names, and moving them so that a power cut finds the old or the new.

use std::ffi::OsString;
use std::fs::{self, File, OpenOptions};
use std::io;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};

use super::StoreError;

/// What SQLite keeps beside a file, in the order in which it is moved away: a log without its file is harmless where it
/// lies no more, a log of another file would be played into it.
const SIDES: [&str; 3] = ["-wal", "-shm", ""];

/// A file with its links followed, where it is there.
pub(super) fn real(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

/// The name of a store with an ending.
pub(super) fn beside(store: &Path, ending: &str) -> PathBuf {
    with(store, &format!(".{ending}"))
}

fn with(store: &Path, ending: &str) -> PathBuf {
    let mut name = OsString::from(store.as_os_str());
    name.push(ending);
    PathBuf::from(name)
}

/// Makes an empty file that its owner alone may read: a store has the key of the links in it.
pub(super) fn make_private(path: &Path) -> Result<(), StoreError> {
    OpenOptions::new()
        .write(true)
        .create_new(true)
        .mode(0o600)
        .open(path)
        .map(drop)
        .map_err(|cause| StoreError::making(path, cause))
}

/// Removes a store and what SQLite keeps beside it, if it is there.
pub(super) fn remove(store: &Path) -> Result<(), StoreError> {
    for side in SIDES {
        let path = with(store, side);
        match fs::remove_file(&path) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                return Err(StoreError::making(&path, cause));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Moves a store and what SQLite keeps beside it to another name; what is not there is not moved.
pub(super) fn rename(from: &Path, to: &Path) -> Result<(), StoreError> {
    for side in SIDES {
        let (from, to) = (with(from, side), with(to, side));
        match fs::rename(&from, &to) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                return Err(StoreError::making(&to, cause));
            }
            _ => {}
        }
    }
    settle(to)
}

/// Sees to it that a name is on the disk.
pub(super) fn settle(path: &Path) -> Result<(), StoreError> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let synced = File::open(folder).and_then(|folder| folder.sync_all());
    synced.map_err(|cause| StoreError::making(folder, cause))
}

/// Copies a store file and its log, where it has one, to a private file of another name.
pub(super) fn copy(from: &Path, to: &Path) -> Result<(), StoreError> {
    remove(to)?;
    make_private(to)?;
    for side in ["-wal", ""] {
        let (from, to) = (with(from, side), with(to, side));
        match fs::copy(&from, &to) {
            Err(cause) if side.is_empty() || cause.kind() != io::ErrorKind::NotFound => {
                return Err(StoreError::file(&from, cause));
            }
            _ => {}
        }
    }
    Ok(())
}
