//! From the store to the snapshot that page and status show.

use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::web::{Board, GardenSnapshot, Snapshot};

/// A cycle that is so much late is overdue.
const GRACE: TimeDelta = TimeDelta::hours(1);

impl House {
    /// A copy of what the last cycles left.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn snapshot(&self) -> Result<Arc<Snapshot>, DaemonError> {
        let mut gardens = Vec::new();
        for garden in self.gardens() {
            gardens.push(self.garden_snapshot(garden).await?);
        }
        let next_by = gardens
            .iter()
            .filter_map(|garden| garden.next_round)
            .min()
            .map(|due| due + GRACE);
        Ok(Arc::new(Snapshot { gardens, next_by }))
    }

    async fn garden_snapshot(
        &self,
        settings: &GardenSettings,
    ) -> Result<GardenSnapshot, DaemonError> {
        let name = settings.garden.name.clone();
        let sources = self.source_states(settings).await?;
        let (board, last_round) = self
            .keeper
            .recall(move |store| {
                let board = Board {
                    verdicts: store.verdicts(&name)?,
                    skills: store.skills(&name)?,
                    watches: store.watches(&name)?,
                    sources,
                };
                Ok((board, store.last_round(&name)?))
            })
            .await?;
        Ok(GardenSnapshot::of(
            &settings.garden,
            board,
            last_round,
            self.due_after(settings, last_round),
        ))
    }

    /// When the cycle after the last one is due; now when there was none.
    pub(super) fn due_after(
        &self,
        garden: &GardenSettings,
        last: Option<DateTime<Utc>>,
    ) -> Option<DateTime<Utc>> {
        match last {
            Some(last) => self
                .settings
                .schedule
                .next_after(last, &garden.garden.place.zone),
            None => Some(self.clock.now()),
        }
    }
}
