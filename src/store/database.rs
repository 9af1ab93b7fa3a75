//! Where a store is kept, and how a database server is reached.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// Where a store is kept.
#[derive(Debug, Clone)]
pub enum StoreAt {
    /// In memory, gone when it is dropped.
    Memory,
    /// In a file.
    File(PathBuf),
    /// In a database that several daemons share.
    Database(Arc<Database>),
}

/// A PostgreSQL database.
#[derive(Debug, Clone)]
pub struct Database {
    /// Its name in words, without what is secret.
    pub name: String,
    /// How its server is reached.
    pub server: tokio_postgres::Config,
    /// For how long a daemon has a garden before it has to say again that it is there.
    pub lease: Duration,
}

impl StoreAt {
    /// The file; none of a database or of memory.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Memory | Self::Database(_) => None,
        }
    }
}
