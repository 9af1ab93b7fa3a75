//! The store behind a door: one user at a time, never on a thread that serves others.

use std::sync::{Arc, Mutex, PoisonError};

use tracing::warn;

use crate::daemon::DaemonError;
use crate::store::chain;
use crate::store::{NextStep, Store, StoreError};

/// Lends the store to one piece of work after another.
///
/// A blocking mutex and not the runtime's, since SQLite blocks and no guard lives across an await.
#[derive(Debug, Clone)]
pub struct Keeper(Arc<Mutex<Store>>);

impl Keeper {
    /// A keeper of that store.
    pub fn of(store: Store) -> Self {
        Self(Arc::new(Mutex::new(store)))
    }

    /// Does a piece of work on the store, on a thread that may block.
    ///
    /// When the disk failed under it the work is lost as a whole, and the file is closed, opened anew and checked before
    /// anybody gets it again.
    ///
    /// # Errors
    /// What the work returns, or [`DaemonError::Task`] when it broke down.
    pub async fn with<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Store) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<T, DaemonError> {
        let store = Arc::clone(&self.0);
        let task = tokio::task::spawn_blocking(move || {
            // Every write is one transaction: work that broke down before has left nothing half done.
            let mut store = store.lock().unwrap_or_else(PoisonError::into_inner);
            if !store.is_open() {
                store.reopen()?;
            }
            let done = work(&mut store);
            if let Err(error) = &done
                && error.next_step() == NextStep::Reopen
            {
                warn!(error = chain(error), "the store is opened anew");
                store.reopen()?;
            }
            done
        });
        Ok(task.await.map_err(DaemonError::Task)??)
    }

    /// Reads what can be done without: what is garbled is as good as not there, and the log says so.
    ///
    /// # Errors
    /// When the store itself cannot be read.
    pub async fn recall<T: Default + Send + 'static>(
        &self,
        work: impl FnOnce(&mut Store) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<T, DaemonError> {
        self.with(move |store| or_nothing(work(store))).await
    }
}

/// What was read; what is garbled is as good as not there, and the log says so.
///
/// # Errors
/// When the store itself cannot be read.
pub(super) fn or_nothing<T: Default>(read: Result<T, StoreError>) -> Result<T, StoreError> {
    match read {
        Err(error) if error.next_step() == NextStep::UseFallback => {
            warn!(error = chain(&error), "left aside");
            Ok(T::default())
        }
        other => other,
    }
}
