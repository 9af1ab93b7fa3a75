//! The official warnings: asked for beside the forecasts and between the looks, and kept until their cold has ended.

use chrono::{DateTime, TimeDelta, Utc};
use tracing::warn;

use super::gather::forecast_from;
use super::thermometer::LastLooks;
use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::store::chain;

/// Warnings are given at any hour, and for the same night: between the looks they are asked for so often (estimate).
const ASK_EVERY: TimeDelta = TimeDelta::minutes(30);

impl House {
    /// Asks for the warnings where some time has passed; tells whether there are others than before.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn watch_warnings(
        &self,
        garden: &GardenSettings,
        looks: &mut LastLooks,
    ) -> Result<bool, DaemonError> {
        let (now, name) = (self.clock.now(), &garden.garden.name);
        let is_soon = looks
            .get(name)
            .is_some_and(|at| *at <= now && now - *at < ASK_EVERY);
        if is_soon {
            return Ok(false);
        }
        looks.insert(name.clone(), now);
        self.hear_warnings(garden, now).await
    }

    /// Asks for the warnings now; what cannot be had leaves those that are known.
    pub(super) async fn hear_warnings(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
    ) -> Result<bool, DaemonError> {
        let place = &garden.garden.place;
        let mut is_new = false;
        for source in &garden.forecasts {
            let from = forecast_from(&source.from);
            match self.fetcher.warnings(&from, place, now).await {
                Ok(None) => {}
                Ok(Some(warnings)) => {
                    let (name, source) = (garden.garden.name.clone(), from.name());
                    let save = move |store: &mut crate::store::Store| {
                        store.save_warnings(&name, &source, &warnings, now)
                    };
                    is_new |= self.keeper.with(save).await?;
                }
                Err(error) => {
                    let (garden, source) = (&garden.garden.name, from.name());
                    let error = chain(&error);
                    warn!(garden, source, error, "no official warnings came");
                }
            }
        }
        Ok(is_new)
    }
}
