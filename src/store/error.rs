//! What can go wrong with the store, and what to do then.

use std::error::Error;
use std::path::{Path, PathBuf};

use thiserror::Error;

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
}

impl StoreError {
    /// What to do about it.
    pub const fn next_step(&self) -> NextStep {
        match self {
            Self::Unreadable { .. }
            | Self::Unwritable { .. }
            | Self::Newer { .. }
            | Self::Foreign { .. } => NextStep::Stop,
            Self::Garbled { .. } | Self::OutOfStep { .. } => NextStep::UseFallback,
        }
    }

    pub(super) fn reading(what: impl Into<String>, cause: rusqlite::Error) -> Self {
        let what = what.into();
        if let rusqlite::Error::FromSqlConversionFailure(_, _, cause) = cause {
            return Self::Garbled { what, cause };
        }
        let cause = Box::new(cause);
        Self::Unreadable { what, cause }
    }

    pub(super) fn writing(what: impl Into<String>, cause: rusqlite::Error) -> Self {
        Self::Unwritable {
            what: what.into(),
            cause: Box::new(cause),
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

/// A store file as an error names it.
pub(super) fn named(path: &Path) -> String {
    format!("the store {}", path.display())
}
