//! The weather of a garden: from the service or the file, or what the store has kept of it.

use chrono::{DateTime, Utc};

use super::{DaemonError, House};
use crate::config::{ForecastSettings, GardenSettings};
use crate::garden::{Deed, Sighting};
use crate::look::Weather;
use crate::outlook::RunDays;
use crate::store::KEPT_FOR;
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
        let name = garden.garden.name.clone();
        let mut before = self
            .keeper
            .recall(move |store| store.verdicts(&name))
            .await?;
        before.retain(|verdict| verdict.at <= now);
        let forecasts = self.forecasts(garden, now, reach).await?;
        if reach == Reach::Everywhere {
            self.hear_warnings(garden, now).await?;
        }
        let past = self.past(garden, now, reach).await?;
        let thermometer = self.thermometer(garden, &forecasts.used, now).await?;
        Ok(Weather {
            past,
            forecasts,
            warnings: self.known_warnings(garden, now).await?,
            runs: self.kept_runs(garden, now).await?,
            sightings: self.sightings(garden, now).await?,
            before,
            deeds: self.deeds(garden, now).await?,
            thermometer,
        })
    }

    /// The days of the forecasts that were kept of a garden and known at a moment.
    async fn kept_runs(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Vec<RunDays>, DaemonError> {
        let name = garden.garden.name.clone();
        let zone = garden.garden.place.zone.clone();
        let mut runs = self
            .keeper
            .recall(move |store| store.days_since(&name, now - KEPT_FOR, &zone))
            .await?;
        runs.retain(|run| run.data_at <= now);
        Ok(runs)
    }

    /// The events that were seen up to a moment.
    async fn sightings(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Vec<Sighting>, DaemonError> {
        let name = garden.garden.name.clone();
        let today = garden.garden.place.zone.date(now);
        let mut sightings = self
            .keeper
            .recall(move |store| store.sightings(&name))
            .await?;
        sightings.retain(|seen| seen.on <= today);
        Ok(sightings)
    }

    /// The cuts that were made up to a moment.
    async fn deeds(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<Vec<Deed>, DaemonError> {
        let name = garden.garden.name.clone();
        let today = garden.garden.place.zone.date(now);
        let mut deeds = self.keeper.recall(move |store| store.deeds(&name)).await?;
        deeds.retain(|deed| deed.on <= today);
        Ok(deeds)
    }
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

/// An error with its causes on one line.
pub(super) fn chain(error: &dyn std::error::Error) -> String {
    let causes = std::iter::successors(error.source(), |cause| cause.source());
    causes.fold(error.to_string(), |text, cause| format!("{text}: {cause}"))
}
