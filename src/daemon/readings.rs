//! What a garden's own thermometer showed, as the store has it.

use chrono::{DateTime, TimeDelta, Utc};

use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::forecast::Forecast;
use crate::look::Readings;
use crate::outlook::night_kinds;

/// So far back nights teach: the season at hand and the one before it (estimate).
const TEACH_FOR: TimeDelta = TimeDelta::days(240);

impl House {
    /// What a garden's thermometer showed up to a moment, its nights as the forecasts tell; nothing where it has none.
    pub(super) async fn thermometer(
        &self,
        garden: &GardenSettings,
        forecasts: &[Forecast],
        now: DateTime<Utc>,
    ) -> Result<Readings, DaemonError> {
        if garden.thermometer.is_none() {
            return Ok(Readings::default());
        }
        let name = garden.garden.name.clone();
        let since = now - TEACH_FOR;
        let first = garden.garden.place.zone.date(since);
        let mut readings = self
            .keeper
            .recall(move |store| {
                Ok(Readings {
                    readings: store.readings(&name, since)?,
                    refused: store.refused_readings(&name)?,
                    kinds: store.nights(&name, first)?,
                })
            })
            .await?;
        let zone = &garden.garden.place.zone;
        // The first source that tells of a night has the last word on it.
        for conditions in forecasts
            .iter()
            .rev()
            .filter_map(|run| run.conditions.as_ref())
        {
            readings.kinds.extend(night_kinds(conditions, zone));
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
