//! The gardens of which something has changed since they were shown.

use std::collections::BTreeSet;
use std::sync::{Arc, Mutex, PoisonError};

/// Their names.
#[derive(Debug, Clone, Default)]
pub(super) struct Touched(Arc<Mutex<BTreeSet<String>>>);

impl Touched {
    /// Notes that something of a garden changes.
    pub(super) fn note(&self, garden: &str) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(garden.to_owned());
    }

    /// Those that were noted, and none any more.
    pub(super) fn take(&self) -> BTreeSet<String> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        std::mem::take(&mut all)
    }
}
