//! Past years as they were read last: the gardens and the looks that ask for the same ones share them.

use std::collections::{BTreeMap, VecDeque};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError, Weak};

use tokio::sync::OwnedMutexGuard;

use crate::climate::{DailyRecord, PastYears};

/// So many are remembered: thirty years and what is made of them take about a megabyte, and gardens of one place are looked
/// at one after the other.
const KEPT: usize = 16;

/// The past years that were asked for last.
#[derive(Debug, Clone, Default)]
pub(super) struct Pasts {
    kept: Arc<Mutex<VecDeque<Kept>>>,
    turns: Arc<Mutex<BTreeMap<String, Weak<Turn>>>>,
}

/// Whose turn it is to ask.
type Turn = tokio::sync::Mutex<()>;

#[derive(Debug)]
struct Kept {
    /// Where they are from.
    origin: String,
    /// What is different when they are.
    state: String,
    past: Arc<PastYears>,
}

impl Pasts {
    /// Waits until nobody else asks a question: what the first one hears the next ones need not ask for.
    pub(super) async fn turn(&self, question: &str) -> OwnedMutexGuard<()> {
        let turn = {
            let mut turns = self.turns.lock().unwrap_or_else(PoisonError::into_inner);
            turns.retain(|_, turn| turn.strong_count() > 0);
            let turn = turns.get(question).and_then(Weak::upgrade);
            turn.unwrap_or_else(|| {
                let turn = Arc::default();
                turns.insert(question.to_owned(), Arc::downgrade(&turn));
                turn
            })
        };
        turn.lock_owned().await
    }

    /// Those of an origin in a state, if they are remembered.
    pub(super) fn find(&self, origin: &str, state: &str) -> Option<Arc<PastYears>> {
        let mut all = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
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
        let mut all = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
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
