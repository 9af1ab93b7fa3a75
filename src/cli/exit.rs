//! Exit statuses, by the numbers of BSD's sysexits.h (1993), and which error has which.

use std::process::ExitCode;

use thiserror::Error;

use crate::almanac::nearest;
use crate::config::ConfigErrors;
use crate::daemon::DaemonError;
use crate::store::StoreError;
use crate::weather::WeatherError;
use crate::web::WebError;

/// The command cannot be used that way.
pub const USAGE: u8 = 64;
/// What was looked for is not there (as grep says it, POSIX.1-2017).
const NOT_FOUND: u8 = 1;
/// A service or an address cannot be reached.
const UNAVAILABLE: u8 = 69;
/// A fault of the program.
const SOFTWARE: u8 = 70;
/// A file cannot be made or written where it ought to be.
const CANNOT_CREATE: u8 = 73;
/// State cannot be read or written.
const IO_ERROR: u8 = 74;
/// Another program has the store; later it may be free.
const IN_USE: u8 = 75;
/// The garden file is wrong.
const CONFIG: u8 = 78;

/// An error of a command itself, with its exit status.
#[derive(Debug, Error)]
pub enum Exit {
    /// The command cannot be used that way.
    #[error("{0}")]
    Usage(String),
    /// What was looked for is not there.
    #[error("{0}")]
    NotFound(String),
    /// The daemon does not answer, or says that something is wrong.
    #[error("{0}")]
    Unwell(String),
    /// Files of gardens cannot be used.
    #[error("garden files with faults are left out")]
    LeftOut,
    /// A file or folder cannot be written.
    #[error("cannot write {what}")]
    Write {
        /// What.
        what: String,
        /// Why.
        source: std::io::Error,
    },
}

impl Exit {
    /// A name that the file does not have, such as that of a `cut`, with those that it has.
    pub(super) fn no_such(what: &str, written: &str, names: &[&str]) -> Self {
        Self::none_of((what, "the file has"), written, names)
    }

    /// A name that does not exist, with those that are allowed.
    pub(super) fn none_of((what, allowed): (&str, &str), written: &str, names: &[&str]) -> Self {
        let near = nearest(written, names.iter().copied())
            .map(|name| format!("; nearest: {name}"))
            .unwrap_or_default();
        Self::Usage(format!(
            "no {what} \"{written}\"{near}\n{allowed}: {}",
            names.join(", ")
        ))
    }
}

/// The exit status of an error.
pub fn exit_code(error: &anyhow::Error) -> ExitCode {
    let mut status = SOFTWARE;
    for cause in error.chain() {
        let known = if let Some(exit) = cause.downcast_ref::<Exit>() {
            Some(match exit {
                Exit::Usage(_) => USAGE,
                Exit::NotFound(_) => NOT_FOUND,
                Exit::Unwell(_) => UNAVAILABLE,
                Exit::LeftOut => CONFIG,
                Exit::Write { .. } => IO_ERROR,
            })
        } else if cause.is::<ConfigErrors>() {
            Some(CONFIG)
        } else if let Some(store) = cause.downcast_ref::<StoreError>() {
            Some(of_store(store))
        } else if cause.is::<std::io::Error>() {
            Some(IO_ERROR)
        } else if cause.is::<WeatherError>() || cause.is::<WebError>() {
            Some(UNAVAILABLE)
        } else {
            cause.downcast_ref::<DaemonError>().map(of_daemon)
        };
        if let Some(known) = known {
            status = known;
            break;
        }
    }
    ExitCode::from(status)
}

fn of_daemon(error: &DaemonError) -> u8 {
    match error {
        DaemonError::Store(error) => of_store(error),
        DaemonError::Weather(_)
        | DaemonError::Web(_)
        | DaemonError::Mail(_)
        | DaemonError::Door(_) => UNAVAILABLE,
        DaemonError::Signals(_) | DaemonError::Task(_) | DaemonError::Chance => SOFTWARE,
    }
}

fn of_store(error: &StoreError) -> u8 {
    match error {
        StoreError::Held { .. } => IN_USE,
        StoreError::ReadOnly { .. }
        | StoreError::Unwritable { .. }
        | StoreError::Blocked { .. }
        | StoreError::NoRoom { .. }
        | StoreError::Exists { .. } => CANNOT_CREATE,
        StoreError::Lost { .. } | StoreError::Elsewhere { .. } => UNAVAILABLE,
        StoreError::NoFile => USAGE,
        StoreError::Unreadable { .. }
        | StoreError::Newer { .. }
        | StoreError::Foreign { .. }
        | StoreError::Garbled { .. }
        | StoreError::OutOfStep { .. }
        | StoreError::Damaged { .. }
        | StoreError::Broken { .. } => IO_ERROR,
    }
}
