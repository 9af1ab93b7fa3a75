//! The weather of a garden: from the service or the file, or what the store has kept of it.

use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};

use super::keeper::or_nothing;
use super::kept_runs::questions;
use super::{DaemonError, House};
use crate::config::{ForecastSettings, GardenSettings};
use crate::look::Weather;
use crate::outlook::RunDays;
use crate::store::{Store, StoreError};
use crate::weather::ForecastFrom;

/// How far gathering may reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// To services, files and the store.
    Everywhere,
    /// To files and the store only: for a moment that is not now.
    Here,
}

impl House {
    /// The weather of a garden at a moment. What cannot be had is missing, and the log says why.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn gather(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
        reach: Reach,
    ) -> Result<Weather, DaemonError> {
        let forecasts = self.forecasts(garden, now, reach).await?;
        if reach == Reach::Everywhere {
            self.hear_warnings(garden, now).await?;
        }
        let past = self.past(garden, now, reach).await?;
        let thermometer = self.thermometer(garden, &forecasts.used, now).await?;
        let name = garden.garden.name.clone();
        let zone = garden.garden.place.zone.clone();
        let (asked, kept_runs) = (questions(garden), self.kept_runs.clone());
        let read = move |store: &mut Store| {
            store.at_one_time(|store| {
                let runs = kept_runs.of(store, &asked, (now, &zone))?;
                known(store, &name, runs, now, zone.date(now))
            })
        };
        Ok(Weather {
            past,
            forecasts,
            thermometer,
            ..self.keeper.with(read).await?
        })
    }
}

/// What the store knows of a garden up to a moment, beside the forecasts and the readings.
fn known(
    store: &Store,
    garden: &str,
    mut runs: Vec<Arc<RunDays>>,
    now: DateTime<Utc>,
    today: NaiveDate,
) -> Result<Weather, StoreError> {
    runs.retain(|run| run.data_at <= now);
    let mut known = Weather {
        warnings: or_nothing(store.warnings(garden, now))?,
        runs,
        sightings: or_nothing(store.sightings(garden))?,
        before: or_nothing(store.footing(garden))?,
        deeds: or_nothing(store.deeds(garden))?,
        ..Weather::default()
    };
    known.sightings.retain(|seen| seen.on <= today);
    known.before.retain(|left| left.at <= now);
    known.deeds.retain(|deed| deed.on <= today);
    Ok(known)
}

/// Where the settings say that a forecast comes from.
pub(super) fn forecast_from(settings: &ForecastSettings) -> ForecastFrom {
    match settings.clone() {
        ForecastSettings::OpenMeteo {
            url,
            ensemble_url,
            ensemble_model,
            freshness_url,
            key,
        } => ForecastFrom::OpenMeteo {
            url,
            ensemble_url,
            ensemble_model,
            freshness_url,
            key,
        },
        ForecastSettings::MetNorway { url } => ForecastFrom::MetNorway { url },
        ForecastSettings::Nws { url } => ForecastFrom::Nws { url },
        ForecastSettings::Files {
            forecast,
            ensemble,
            data_at,
        } => ForecastFrom::Files {
            forecast,
            ensemble,
            data_at,
        },
    }
}
