//! What is amiss with the program itself, for the status and whoever asks after its health.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Utc};
use tracing::{error, info};

use crate::web::{Trouble, Weight};

/// What is amiss, one thing of each kind at a time.
#[derive(Debug, Clone, Default)]
pub struct Troubles(Arc<Mutex<BTreeMap<String, Trouble>>>);

impl Troubles {
    /// Notes that something is amiss; the log says so once, and again only when the words change.
    pub(super) fn begin(&self, about: &str, (weight, says): (Weight, &str), at: DateTime<Utc>) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let before = all.get(about);
        if before.is_none_or(|before| before.says != says) {
            error!(about, problem = says, "trouble");
        }
        let trouble = Trouble {
            about: about.to_owned(),
            says: says.to_owned(),
            since: before.map_or(at, |before| before.since),
            weight,
        };
        all.insert(about.to_owned(), trouble);
    }

    /// Notes that it is over.
    pub(super) fn end(&self, about: &str) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(trouble) = all.remove(about) {
            info!(about, since = %trouble.since, "trouble is over");
        }
    }

    /// Whether something of that kind is amiss.
    pub(super) fn has(&self, about: &str) -> bool {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.contains_key(about)
    }

    /// All that is amiss.
    pub fn all(&self) -> Vec<Trouble> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.values().cloned().collect()
    }
}
