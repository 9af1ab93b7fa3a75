//! Past years as they were read last: the gardens and the looks that ask for the same ones share them.

use std::collections::VecDeque;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use crate::climate::{DailyRecord, PastYears};

/// So many are remembered: thirty years and what is made of them take about a megabyte, and gardens of one place are looked
/// at one after the other.
const KEPT: usize = 16;

/// The past years that were asked for last.
#[derive(Debug, Clone, Default)]
pub(super) struct Pasts(Arc<Mutex<VecDeque<Kept>>>);

#[derive(Debug)]
struct Kept {
    /// Where they are from.
    origin: String,
    /// What is different when they are.
    state: String,
    past: Arc<PastYears>,
}

impl Pasts {
    /// Those of an origin in a state, if they are remembered.
    pub(super) fn find(&self, origin: &str, state: &str) -> Option<Arc<PastYears>> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let is_it = |kept: &Kept| kept.origin == origin && kept.state == state;
        let place = all.iter().position(is_it)?;
        let found = all.remove(place)?;
        let past = Arc::clone(&found.past);
        all.push_back(found);
        Some(past)
    }

    /// Remembers a record in place of the one of that origin before; the one that was asked for longest ago goes.
    pub(super) fn keep(&self, origin: &str, state: &str, record: DailyRecord) -> Arc<PastYears> {
        let past = Arc::new(PastYears::of(record));
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|kept| kept.origin != origin);
        if all.len() == KEPT {
            all.pop_front();
        }
        all.push_back(Kept {
            origin: origin.to_owned(),
            state: state.to_owned(),
            past: Arc::clone(&past),
        });
        past
    }
}

/// What is different when a file is; none where it cannot be asked.
pub(super) async fn state_of(path: &Path) -> Option<String> {
    let about = tokio::fs::metadata(path).await.ok()?;
    Some(format!("{} {:?}", about.len(), about.modified().ok()?))
}
