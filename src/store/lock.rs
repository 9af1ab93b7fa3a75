//! The one daemon of a store: a lock on a file beside it, which the system drops with the process.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::Read;
use std::os::unix::fs::{FileExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

use super::StoreError;
use super::files::{beside, real};

/// So many bytes of a lock file are read: more than any process number has digits.
const PID_MAX: u64 = 20;

/// Held by the one daemon of a store as long as it lives. Commands that read or note something go without.
#[derive(Debug)]
pub struct StoreLock {
    store: PathBuf,
    _file: File,
}

impl StoreLock {
    /// Takes the lock of a store, which need not be there yet.
    ///
    /// The lock file stays when the program ends: two programs could hold the locks of two files of one name.
    ///
    /// # Errors
    /// [`StoreError::Held`] at once when another process has it; else when the file cannot be made.
    pub fn take(store: &Path) -> Result<Self, StoreError> {
        let store = real(store);
        let path = beside(&store, "lock");
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .mode(0o600)
            .open(&path)
            .map_err(|cause| StoreError::making(&path, cause))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let pid = holder(&file);
                return Err(StoreError::Held { path: store, pid });
            }
            Err(TryLockError::Error(cause)) => return Err(StoreError::making(&path, cause)),
        }
        // In place and of one length, so that a full disk does not matter; without the number the lock holds as well.
        let pid = format!("{:<10}\n", std::process::id());
        file.write_all_at(pid.as_bytes(), 0).ok();
        Ok(Self { store, _file: file })
    }

    /// The store that is locked, its links followed.
    pub fn store(&self) -> &Path {
        &self.store
    }
}

/// The process that wrote its number into a lock file.
fn holder(mut file: &File) -> Option<u32> {
    let mut text = String::new();
    file.by_ref().take(PID_MAX).read_to_string(&mut text).ok()?;
    text.trim().parse().ok()
}
