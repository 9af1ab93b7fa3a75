//! What a garden's own thermometer showed, as the store has it, and what it teaches.

use chrono::{DateTime, TimeDelta, Utc};

use super::{DaemonError, House};
use crate::climate::DailyRecord;
use crate::config::GardenSettings;
use crate::garden::Place;
use crate::outlook::{NightKinds, night_kinds, own_nights};
use crate::thermometer::{Hung, OwnOffset, OwnThermometer, Reading, Refused, night_minima, screen};
use crate::verdict::Sky;

/// So far back nights teach: the season at hand and the one before it (estimate).
const TEACH_FOR: TimeDelta = TimeDelta::days(240);

/// The readings of a garden and the kinds of its nights.
#[derive(Debug, Clone, Default)]
pub struct Readings {
    /// The readings that were let in, the oldest first.
    pub readings: Vec<Reading>,
    /// How many were not.
    pub refused: Refused,
    /// Of which kind each night was.
    pub kinds: NightKinds,
}

impl House {
    /// What a garden's thermometer showed up to a moment; nothing where it has none.
    pub(super) async fn thermometer(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Readings, DaemonError> {
        if garden.thermometer.is_none() {
            return Ok(Readings::default());
        }
        let name = garden.garden.name.clone();
        let since = now - TEACH_FOR;
        let first = garden.garden.place.zone.date(since);
        let (mut readings, conditions) = self
            .keeper
            .recall(move |store| {
                let conditions = store.latest_run(&name)?.and_then(|run| run.conditions);
                Ok((
                    Readings {
                        readings: store.readings(&name, since)?,
                        refused: store.refused_readings(&name)?,
                        kinds: store.nights(&name, first)?,
                    },
                    conditions,
                ))
            })
            .await?;
        let zone = &garden.garden.place.zone;
        if let Some(conditions) = conditions {
            readings.kinds.extend(night_kinds(&conditions, zone));
        }
        let today = zone.date(now);
        readings.kinds.retain(|morning, _| *morning <= today);
        readings.readings.retain(|reading| reading.at <= now);
        Ok(readings)
    }

    /// Writes down of which kind the nights were: the newest run alone keeps what tells it.
    pub(super) async fn note_nights(
        &self,
        garden: &GardenSettings,
        readings: &Readings,
    ) -> Result<(), DaemonError> {
        let (name, kinds) = (garden.garden.name.clone(), readings.kinds.clone());
        if kinds.is_empty() {
            return Ok(());
        }
        self.keeper
            .with(move |store| store.note_nights(&name, &kinds))
            .await
    }
}

impl Readings {
    /// What they make of the guess for the spot in which the thermometer hangs.
    pub(super) fn taught(
        &self,
        hung: &Hung,
        record: Option<&DailyRecord>,
        sky: &Sky<'_>,
        place: &Place,
    ) -> OwnThermometer {
        let screened = screen(&self.readings);
        let minima = night_minima(&screened.readings, &place.zone);
        let nights = own_nights(&minima, &self.kinds, (record, sky.measured), sky.skill.bias);
        let guess = hung.guess();
        let mut refused = self.refused.clone();
        refused.add_all(&screened.refused);
        OwnThermometer {
            spot: guess.name.clone(),
            own: OwnOffset::of(guess.offset, guess.doubt, &nights),
            last: screened.readings.last().copied(),
            refused,
        }
    }
}
