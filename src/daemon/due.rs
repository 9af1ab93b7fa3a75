//! Which looks are due.

use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::store::Slot;

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
        let is_owed = self
            .keeper
            .recall(move |store| {
                let restored = store.restored(&name)?;
                let is_untold = restored.is_some_and(|restored| restored.told_at.is_none());
                Ok(is_untold || store.last_round(&name)?.is_none())
            })
            .await?;
        Ok(is_owed || self.slot_due(garden, now).await?.is_some())
    }

    /// The look of the schedule that is due and was not made; of several that were missed the last.
    pub(super) async fn slot_due(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Option<Slot>, DaemonError> {
        let (name, schedule) = (garden.garden.name.clone(), &self.settings.schedule);
        let Some((local, at)) = schedule.last_until(now, &garden.garden.place.zone) else {
            return Ok(None);
        };
        let slot = Slot {
            schedule: schedule.text().to_owned(),
            day: local.date(),
            time: local.time(),
        };
        let late = TimeDelta::from_std(self.fetcher.stagger(&name, STAGGER)).unwrap_or_default();
        self.keeper
            .recall(move |store| {
                let last = store.last_round(&name)?;
                // A round of later than now is of a clock that was ahead: it says nothing of this look.
                let is_open = match last {
                    None => true,
                    Some(last) => (at > last || last > now) && at + late <= now,
                };
                let is_due = is_open && !store.has_looked(&name, &slot)?;
                Ok(is_due.then_some(slot))
            })
            .await
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
