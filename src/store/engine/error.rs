//! What an engine may say against a statement.

use rusqlite::ErrorCode;
use tokio_postgres::error::SqlState;

/// Trouble with an engine.
#[derive(Debug, thiserror::Error)]
pub enum EngineError {
    /// SQLite's.
    #[error(transparent)]
    Sqlite(#[from] rusqlite::Error),
    /// The server's, or of the line to it.
    #[error("the database server fails, or the line to it")]
    Postgres(#[from] tokio_postgres::Error),
    /// A column holds what this program does not understand.
    #[error("column {column}")]
    Column {
        /// Its name or place.
        column: String,
        /// What is wrong.
        #[source]
        cause: Box<dyn std::error::Error + Send + Sync>,
    },
    /// There is no such row.
    #[error("there is no such row")]
    NoRow,
    /// There is no line to the server.
    #[error("there is no line to the database server")]
    NoLine,
}

/// What an engine gives.
pub(in crate::store) type Result<T> = std::result::Result<T, EngineError>;

/// The kinds of trouble that the store tells apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::store) enum Kind {
    /// It passes by itself, or when somebody makes room.
    Blocked,
    /// What is open has to be opened anew before it is trusted again.
    Broken,
    /// The line to the server is lost: it is opened anew, as often as it takes.
    Lost,
    /// Nothing can be written there.
    ReadOnly,
    /// Any other.
    Other,
}

impl EngineError {
    /// Its kind.
    pub(in crate::store) fn kind(&self) -> Kind {
        match self {
            Self::Sqlite(cause) => cause.sqlite_error_code().map_or(Kind::Other, of_sqlite),
            Self::Postgres(cause) => of_postgres(cause),
            Self::NoLine => Kind::Lost,
            Self::Column { .. } | Self::NoRow => Kind::Other,
        }
    }

    /// Whether the file itself is not sound.
    pub(in crate::store) fn is_unsound(&self) -> bool {
        let Self::Sqlite(cause) = self else {
            return false;
        };
        cause.sqlite_error_code().is_some_and(is_unsound)
    }
}

fn of_sqlite(code: ErrorCode) -> Kind {
    let passes = [
        ErrorCode::DiskFull,
        ErrorCode::CannotOpen,
        ErrorCode::DatabaseBusy,
        ErrorCode::DatabaseLocked,
    ];
    if code == ErrorCode::ReadOnly {
        Kind::ReadOnly
    } else if passes.contains(&code) {
        Kind::Blocked
    } else if code == ErrorCode::SystemIoFailure || is_unsound(code) {
        Kind::Broken
    } else {
        Kind::Other
    }
}

const fn is_unsound(code: ErrorCode) -> bool {
    matches!(code, ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase)
}

/// By the server's code (PostgreSQL, appendix A): by its class what is lacking or is being stopped, and two that ask for
/// the change to be made once more.
fn of_postgres(cause: &tokio_postgres::Error) -> Kind {
    let Some(code) = cause.code() else {
        return Kind::Lost;
    };
    if *code == SqlState::READ_ONLY_SQL_TRANSACTION {
        return Kind::ReadOnly;
    }
    // 08 connection, 57P server is being stopped or starts.
    if code.code().starts_with("08") || code.code().starts_with("57P") {
        return Kind::Lost;
    }
    let again = [
        SqlState::T_R_SERIALIZATION_FAILURE,
        SqlState::T_R_DEADLOCK_DETECTED,
        SqlState::LOCK_NOT_AVAILABLE,
        SqlState::QUERY_CANCELED,
    ];
    // 53 lacks disk, memory or connections.
    if again.contains(code) || code.code().starts_with("53") {
        return Kind::Blocked;
    }
    // 58 an error of the system under it, XX data or index corrupted.
    if code.code().starts_with("58") || code.code().starts_with("XX") {
        return Kind::Broken;
    }
    Kind::Other
}

/// A row that may not be there.
pub(in crate::store) trait Optional<T> {
    /// None where there is no such row.
    fn optional(self) -> Result<Option<T>>;
}

impl<T> Optional<T> for Result<T> {
    fn optional(self) -> Result<Option<T>> {
        match self {
            Ok(found) => Ok(Some(found)),
            Err(EngineError::NoRow) => Ok(None),
            Err(other) => Err(other),
        }
    }
}
