//! What can go wrong with the store, and what to do then.

use std::error::Error;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::engine::{EngineError, Kind};

/// Trouble with the store.
#[derive(Debug, Error)]
pub enum StoreError {
    /// The file or something in it cannot be read.
    #[error("cannot read {what}")]
    Unreadable {
        /// What was to be read.
        what: String,
        /// What the system or SQLite says.
        #[source]
        cause: Box<dyn Error + Send + Sync>,
    },
    /// The store cannot be changed; nothing of the change was kept.
    #[error("cannot write {what}")]
    Unwritable {
        /// What was to be written.
        what: String,
        /// What the system or SQLite says.
        #[source]
        cause: Box<dyn Error + Send + Sync>,
    },
    /// Another daemon has the store.
    #[error(
        "the store {} is in use by another budward{}; end that one first, or name another store",
        path.display(),
        pid.map(|pid| format!(", process {pid}")).unwrap_or_default()
    )]
    Held {
        /// The store.
        path: PathBuf,
        /// The process that has it, where it could be learned.
        pid: Option<u32>,
    },
    /// Nothing can be written where the store lies.
    #[error("cannot write {}: the file, its folder or its disk is read-only", path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
    },
    /// The file is a store and is not sound.
    #[error("the store {} is damaged: {found}", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        found: String,
    },
    /// The store cannot be changed for now: the disk is full or read-only, or another program holds the file. Nothing of
    /// the change was kept.
    #[error("cannot write {what} for now")]
    Blocked {
        /// What was to be written.
        what: String,
        /// What the engine says.
        #[source]
        cause: EngineError,
    },
    /// The line to the database server is lost; nothing of the change was kept that the server had not kept before.
    #[error("the database server cannot be reached under {what}")]
    Lost {
        /// What was to be read or written.
        what: String,
        /// What the line says.
        #[source]
        cause: EngineError,
    },
    /// The disk has not the room that the program needs to go on.
    #[error("there is no room beside the store {}", path.display())]
    NoRoom {
        /// The store.
        path: PathBuf,
        /// What the system says.
        #[source]
        cause: io::Error,
    },
    /// The disk failed; nothing of the change was kept, and the file has to be opened anew.
    #[error("the disk failed under {what}")]
    Broken {
        /// What was to be read or written.
        what: String,
        /// How often in a row.
        times: u32,
        /// What the engine says.
        #[source]
        cause: EngineError,
    },
    /// The store is a database and no file.
    #[error(
        "the store is a database, which has no file to copy: make a copy with the database's own pg_dump, and put one \
         back with its pg_restore"
    )]
    NoFile,
    /// Another daemon looks after the garden; nothing was changed.
    #[error("another daemon looks after {garden}")]
    Elsewhere {
        /// The garden's short name.
        garden: String,
    },
    /// A file that is to be written is there already.
    #[error("{} is there already; name another file, nothing is written over", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a newer program.
    #[error(
        "cannot open the store {}: its format is {found}, this program knows up to {known}; use the newer program, \
         or name another file",
        path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// The format number in it.
        found: u32,
        /// The newest one that this program knows.
        known: u32,
    },
    /// The file is something else; it was not touched.
    #[error(
        "cannot open the store {}: it is {found}, not a store of this program; it was left as it is",
        path.display()
    )]
    Foreign {
        /// The file.
        path: PathBuf,
        /// What it seems to be.
        found: String,
    },
    /// An entry is there but its content makes no sense to this program, such as after a change of its form.
    #[error("cannot understand {what}")]
    Garbled {
        /// Which entry.
        what: String,
        /// What is wrong with it.
        #[source]
        cause: Box<dyn Error + Send + Sync>,
    },
    /// A mail is not in the state that the step needs; nothing was changed.
    #[error("cannot take the next step with mail {id}: it is not {wanted}")]
    OutOfStep {
        /// The number of the mail.
        id: i64,
        /// The state that was expected.
        wanted: &'static str,
    },
}

/// What the caller does about a [`StoreError`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextStep {
    /// Stop: without the store nothing may be sent, since it could be sent again.
    Stop,
    /// Go on as if the entry were not there; the next round writes it anew.
    UseFallback,
    /// Show what is known, decide and send nothing, and try again later.
    Wait,
    /// Leave it to the daemon that looks after it.
    LeaveIt,
    /// Open the file anew, see whether it is sound, and go on.
    Reopen,
}

/// So often in a row the disk may fail before it is left to whoever supervises the program (estimate).
const FAILURES_MAX: u32 = 3;

impl StoreError {
    /// What to do about it.
    pub const fn next_step(&self) -> NextStep {
        match self {
            Self::Unreadable { .. }
            | Self::Unwritable { .. }
            | Self::Held { .. }
            | Self::ReadOnly { .. }
            | Self::Damaged { .. }
            | Self::Exists { .. }
            | Self::NoFile
            | Self::Newer { .. }
            | Self::Foreign { .. } => NextStep::Stop,
            Self::Elsewhere { .. } => NextStep::LeaveIt,
            Self::Blocked { .. } | Self::NoRoom { .. } => NextStep::Wait,
            // However long the server is away: it is nobody's but its keeper's to bring it back.
            Self::Lost { .. } => NextStep::Reopen,
            Self::Broken { times, .. } => {
                if *times < FAILURES_MAX {
                    NextStep::Reopen
                } else {
                    NextStep::Stop
                }
            }
            Self::Garbled { .. } | Self::OutOfStep { .. } => NextStep::UseFallback,
        }
    }

    pub(super) fn reading(what: impl Into<String>, cause: impl Into<EngineError>) -> Self {
        match Self::of_disk(what.into(), cause.into()) {
            Ok(known) => known,
            Err((what, EngineError::Column { cause, .. })) => Self::Garbled { what, cause },
            Err((what, cause)) => Self::Unreadable {
                what,
                cause: Box::new(cause),
            },
        }
    }

    pub(super) fn writing(what: impl Into<String>, cause: impl Into<EngineError>) -> Self {
        Self::of_disk(what.into(), cause.into()).unwrap_or_else(|(what, cause)| Self::Unwritable {
            what,
            cause: Box::new(cause),
        })
    }

    /// Trouble of the disk and not of what is read or written; otherwise the same back.
    fn of_disk(what: String, cause: EngineError) -> Result<Self, (String, EngineError)> {
        match cause.kind() {
            Kind::Blocked | Kind::ReadOnly => Ok(Self::Blocked { what, cause }),
            Kind::Lost => Ok(Self::Lost { what, cause }),
            Kind::Broken => {
                let times = 1;
                Ok(Self::Broken { what, times, cause })
            }
            Kind::Other => Err((what, cause)),
        }
    }

    /// Trouble at opening the file.
    pub(super) fn opening(path: &Path, cause: impl Into<EngineError>) -> Self {
        let cause = cause.into();
        if cause.is_unsound() {
            return Self::Damaged {
                path: path.to_owned(),
                found: cause.to_string(),
            };
        }
        match cause.kind() {
            Kind::ReadOnly => Self::ReadOnly {
                path: path.to_owned(),
            },
            Kind::Blocked | Kind::Lost | Kind::Broken | Kind::Other => Self::file(path, cause),
        }
    }

    /// Trouble at making a file beside the store.
    pub(super) fn making(path: &Path, cause: io::Error) -> Self {
        let (path, kind) = (path.to_owned(), cause.kind());
        if matches!(
            kind,
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied
        ) {
            Self::ReadOnly { path }
        } else if kind == ErrorKind::AlreadyExists {
            Self::Exists { path }
        } else {
            Self::Unwritable {
                what: path.display().to_string(),
                cause: Box::new(cause),
            }
        }
    }

    /// The file as a whole cannot be read.
    pub(super) fn file(path: &Path, cause: impl Into<Box<dyn Error + Send + Sync>>) -> Self {
        Self::Unreadable {
            what: named(path),
            cause: cause.into(),
        }
    }
}

/// An error with what caused it, in one line.
pub(crate) fn chain(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(cause) = next {
        text = format!("{text}: {cause}");
        next = cause.source();
    }
    text
}

/// A store file as an error names it.
pub(super) fn named(path: &Path) -> String {
    format!("the store {}", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_is_waited_for_and_a_failing_one_is_opened_anew_a_few_times() {
        let next = |code, times| {
            let cause = rusqlite::ffi::Error::new(code);
            let cause = rusqlite::Error::SqliteFailure(cause, None);
            let mut error = StoreError::writing("a round", cause);
            if let StoreError::Broken { times: counted, .. } = &mut error {
                *counted = times;
            }
            error.next_step()
        };
        // SQLITE_FULL, _READONLY, _CANTOPEN, _BUSY (SQLite, result codes).
        for code in [13, 8, 14, 5] {
            assert_eq!(next(code, 1), NextStep::Wait, "{code}");
        }
        // SQLITE_IOERR_FSYNC, SQLITE_CORRUPT.
        for code in [1034, 11] {
            assert_eq!(next(code, 1), NextStep::Reopen, "{code}");
            assert_eq!(next(code, FAILURES_MAX), NextStep::Stop, "{code}");
        }
        // SQLITE_CONSTRAINT.
        assert_eq!(next(19, 1), NextStep::Stop);
    }
}
