//! Which looks are due.

use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};

use super::keeper::or_nothing;
use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::store::{Slot, Store, StoreError};

/// How late a look of the schedule may come (estimate).
const STAGGER: Duration = Duration::from_mins(5);

impl House {
    /// Whether a cycle is due. The first is due at once, and so is the first after the store was restored; of those that
    /// were missed one is run, and a source that was silent is asked again between the looks of the schedule. Looks of the
    /// schedule come up to five minutes late, so that not everybody who asks a service does so at the same minute.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn is_due(&self, garden: &GardenSettings) -> Result<bool, DaemonError> {
        let name = garden.garden.name.clone();
        let now = self.clock.now();
        if self.silence.again_at(&name).is_some_and(|at| at <= now) {
            return Ok(true);
        }
        let due = self.slot_of(garden, now);
        self.keeper
            .recall(move |store| {
                store.at_one_time(|store| {
                    // A garbled row must not keep a garden from being looked at: the look writes it anew.
                    let restored = or_nothing(store.restored(&name))?;
                    let is_untold = restored.is_some_and(|restored| restored.told_at.is_none());
                    if is_untold || or_nothing(store.last_round(&name))?.is_none() {
                        return Ok(true);
                    }
                    due.map_or(Ok(false), |due| due.is_open(store, &name, now))
                })
            })
            .await
    }

    /// The look of the schedule that is due and was not made; of several that were missed the last.
    pub(super) async fn slot_due(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Option<Slot>, DaemonError> {
        let Some(due) = self.slot_of(garden, now) else {
            return Ok(None);
        };
        let name = garden.garden.name.clone();
        let work = move |store: &mut Store| {
            let is_open = due.is_open(store, &name, now)?;
            Ok(is_open.then_some(due.slot))
        };
        self.keeper.recall(work).await
    }

    /// The last look of the schedule.
    fn slot_of(&self, garden: &GardenSettings, now: DateTime<Utc>) -> Option<Due> {
        let schedule = &self.settings.schedule;
        let (local, at) = schedule.last_until(now, &garden.garden.place.zone)?;
        let stagger = self.fetcher.stagger(&garden.garden.name, STAGGER);
        Some(Due {
            slot: Slot {
                schedule: schedule.text().to_owned(),
                day: local.date(),
                time: local.time(),
            },
            at,
            late: TimeDelta::from_std(stagger).unwrap_or_default(),
        })
    }

    /// When the cycle after the last one is due; now when there was none.
    pub(super) fn due_after(
        &self,
        garden: &GardenSettings,
        last: Option<DateTime<Utc>>,
    ) -> Option<DateTime<Utc>> {
        let now = self.clock.now();
        match last {
            Some(last) => self
                .settings
                .schedule
                .next_after(last.min(now), &garden.garden.place.zone),
            None => Some(now),
        }
    }
}

/// A look of the schedule.
struct Due {
    slot: Slot,
    at: DateTime<Utc>,
    /// How late it may come.
    late: TimeDelta,
}

impl Due {
    /// Whether it is to be made and was not.
    fn is_open(&self, store: &Store, garden: &str, now: DateTime<Utc>) -> Result<bool, StoreError> {
        // A round of later than now is of a clock that was ahead: it says nothing of this look.
        let is_open = match or_nothing(store.last_round(garden))? {
            None => true,
            Some(last) => (self.at > last || last > now) && self.at + self.late <= now,
        };
        Ok(is_open && !store.has_looked(garden, &self.slot)?)
    }
}
