//! What page and status are shown: read from the store when something has changed, and not for its own sake.

use std::sync::Arc;
use std::time::Duration;

use tokio::sync::watch;
use tokio::time::Instant;

use super::{DaemonError, House};
use crate::store::State;
use crate::web::{Snapshot, Trouble};

/// What is shown faster than this may be shown after each look; else showing takes one part in so many of the time
/// (estimates).
const QUICK: Duration = Duration::from_millis(50);
const SHARE: u32 = 10;

/// So many gardens are read as a whole whenever anything changes; of more, those alone that were touched (estimate).
pub(super) const FEW: usize = 20;

/// All are read again after this time at the latest (estimate).
const WHOLE_EVERY: Duration = Duration::from_mins(10);

/// Shows what there is.
#[derive(Debug)]
pub(super) struct Showing {
    publish: watch::Sender<Arc<Snapshot>>,
    last: Option<Shown>,
}

/// What was shown last.
#[derive(Debug)]
struct Shown {
    store: State,
    troubles: Vec<Trouble>,
    snapshot: Arc<Snapshot>,
    /// When all gardens were read.
    whole_at: Instant,
    /// When it was ready, and how long that took.
    at: Instant,
    took: Duration,
}

impl Showing {
    /// Nothing was shown yet.
    pub(super) const fn to(publish: watch::Sender<Arc<Snapshot>>) -> Self {
        Self {
            publish,
            last: None,
        }
    }

    /// Shows what there is, if it is not what is shown.
    ///
    /// # Errors
    /// When the store cannot be read: what was shown before stays.
    pub(super) async fn show(&mut self, house: &House) -> Result<(), DaemonError> {
        let troubles = house.troubles.all();
        // Asked first: what changes in between is read once more, not missed.
        let store = house.keeper.with(|store| store.state()).await?;
        let is_same = |shown: &Shown| store == shown.store && troubles == shown.troubles;
        if self.last.as_ref().is_some_and(is_same) {
            return Ok(());
        }
        let begun = Instant::now();
        let touched = house.touched.take();
        let goes_on = |shown: &Shown| {
            house.gardens().len() > FEW
                && store.is_own_change_of(&shown.store)
                && shown.whole_at.elapsed() < WHOLE_EVERY
        };
        let (snapshot, whole_at) = match self.last.take().filter(goes_on) {
            Some(shown) => {
                let snapshot = house.snapshot_after(&shown.snapshot, touched).await?;
                (snapshot, shown.whole_at)
            }
            None => (house.snapshot().await?, begun),
        };
        self.publish.send_replace(Arc::clone(&snapshot));
        self.last = Some(Shown {
            store,
            troubles,
            snapshot,
            whole_at,
            at: Instant::now(),
            took: begun.elapsed(),
        });
        Ok(())
    }

    /// Whether showing takes long and was done a short while ago: of thousands of gardens each look brings news.
    pub(super) fn is_soon(&self) -> bool {
        let is_soon = |shown: &Shown| shown.took > QUICK && shown.at.elapsed() < shown.took * SHARE;
        self.last.as_ref().is_some_and(is_soon)
    }

    /// Shows what is amiss beside what was shown before.
    pub(super) fn show_troubles(&mut self, house: &House) {
        self.last = None;
        let troubles = house.troubles.all();
        self.publish.send_modify(|shown| {
            let mut changed = Snapshot::clone(shown);
            changed.troubles = troubles;
            *shown = Arc::new(changed);
        });
    }
}
