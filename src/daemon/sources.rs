//! The forecasts of a garden: each source is asked, what does not come is taken from the store, and silence is told.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, TimeDelta, Utc};
use tracing::{info, warn};

use super::gather::{chain, forecast_from};
use super::{DaemonError, House, Reach};
use crate::config::{ForecastSource, GardenSettings};
use crate::forecast::{Forecast, Freshness, Several};
use crate::look::FreshFor;
use crate::store::Turn;
use crate::weather::{ForecastFrom, NextStep, WeatherError};

/// A source that may answer later is asked again after this time at the soonest (estimate).
const AGAIN_AFTER: TimeDelta = TimeDelta::minutes(10);

/// Gardens whose sources did not answer: what each said, and when it is worth asking again.
#[derive(Debug, Clone, Default)]
pub struct Silence(Arc<Mutex<BTreeMap<String, Silent>>>);

#[derive(Debug, Clone, Default)]
struct Silent {
    again_at: Option<DateTime<Utc>>,
    reasons: Vec<String>,
    sources: usize,
    /// When each source was last heard by this program.
    heard_at: BTreeMap<String, DateTime<Utc>>,
}

impl Silence {
    /// When it is worth looking at a garden's weather again before its time; none when nothing is amiss or time does
    /// not help.
    pub fn again_at(&self, garden: &str) -> Option<DateTime<Utc>> {
        self.of(garden)?.again_at
    }

    fn of(&self, garden: &str) -> Option<Silent> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(garden).cloned()
    }

    fn set(&self, garden: &str, silent: Silent) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(garden.to_owned(), silent);
    }
}

impl Silent {
    fn add(&mut self, error: &WeatherError, now: DateTime<Utc>) {
        self.reasons.push(chain(error));
        let NextStep::Retry { after } = error.next_step() else {
            return;
        };
        let after = after.and_then(|after| TimeDelta::from_std(after).ok());
        let at = now + after.unwrap_or_default().max(AGAIN_AFTER);
        self.again_at = Some(self.again_at.map_or(at, |other| other.min(at)));
    }
}

/// How old the data of a source may be and still support a go.
pub(super) fn fresh_for(garden: &GardenSettings) -> FreshFor {
    let of_source = |one: &ForecastSource| (forecast_from(&one.from).name(), one.fresh_for);
    FreshFor {
        by_source: garden.forecasts.iter().map(of_source).collect(),
        otherwise: garden.fresh_for,
    }
}

impl House {
    /// The forecasts of a garden's sources: each the newest that is known at a moment.
    pub(super) async fn forecasts(
        &self,
        garden: &GardenSettings,
        now: DateTime<Utc>,
        reach: Reach,
    ) -> Result<Several, DaemonError> {
        let before = self.silence.of(&garden.garden.name).unwrap_or_default();
        let mut silent = Silent {
            sources: garden.forecasts.len(),
            heard_at: before.heard_at,
            ..Silent::default()
        };
        let mut all = Vec::new();
        for source in &garden.forecasts {
            let from = forecast_from(&source.from);
            let kept = self.kept_run(garden, &from, now).await?;
            let heard_at = silent.heard_at.get(&from.name()).copied();
            let is_due = kept.is_none() || self.is_due_since(garden, heard_at, now);
            let heard = if from.is_service() && !(reach == Reach::Everywhere && is_due) {
                None
            } else {
                self.hear(garden, (&from, kept.as_ref()), (now, reach), &mut silent)
                    .await?
            };
            let newest = heard.or(kept);
            all.extend(newest.map(|run| (run, source.fresh_for)));
        }
        if reach == Reach::Everywhere {
            self.silence.set(&garden.garden.name, silent);
        }
        let several = Several::of(all, now);
        for odd in &several.odd {
            warn!(
                garden = garden.garden.name,
                source = odd.source,
                lowest = odd.lowest.degrees(),
                others = odd.others.degrees(),
                "a source is out of step and left out"
            );
        }
        Ok(several)
    }

    /// Asks one source now.
    async fn hear(
        &self,
        garden: &GardenSettings,
        (from, kept): (&ForecastFrom, Option<&Forecast>),
        (now, reach): (DateTime<Utc>, Reach),
        silent: &mut Silent,
    ) -> Result<Option<Forecast>, DaemonError> {
        let place = &garden.garden.place;
        let outcome = self.fetcher.forecast(from, place, now).await;
        let outcome = outcome.map(|run| match kept {
            Some(kept) if from.is_service() => dated(run, kept, now),
            _ => run,
        });
        match &outcome {
            Ok(_) => {
                silent.heard_at.insert(from.name(), now);
            }
            Err(error) => silent.add(error, now),
        }
        let problem = outcome.as_ref().err().map(|error| chain(error));
        let heard = outcome.ok();
        if reach == Reach::Everywhere {
            self.remember(garden, from, (heard.as_ref(), problem), now)
                .await?;
        }
        Ok(heard)
    }

    /// Whether a source has not been heard since the last look of the schedule: a look in between is for the others.
    fn is_due_since(
        &self,
        garden: &GardenSettings,
        heard_at: Option<DateTime<Utc>>,
        now: DateTime<Utc>,
    ) -> bool {
        let zone = &garden.garden.place.zone;
        let due = |at| self.settings.schedule.next_after(at, zone);
        heard_at.is_none_or(|at| at > now || due(at).is_some_and(|due| due <= now))
    }

    /// The run of a source that was kept last. One that was made after the moment in question was not known then.
    async fn kept_run(
        &self,
        garden: &GardenSettings,
        from: &ForecastFrom,
        now: DateTime<Utc>,
    ) -> Result<Option<Forecast>, DaemonError> {
        let (name, source) = (garden.garden.name.clone(), from.name());
        let work = move |store: &mut crate::store::Store| store.latest_run(&name, &source);
        let kept = self.keeper.recall(work).await?;
        Ok(kept.filter(|run| run.data_at <= now))
    }

    /// Keeps a run that was heard; writes into log and journal when a source falls silent or is back, once.
    async fn remember(
        &self,
        garden: &GardenSettings,
        from: &ForecastFrom,
        (heard, problem): (Option<&Forecast>, Option<String>),
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        let (name, source) = (garden.garden.name.clone(), from.name());
        let run = heard.cloned();
        let work = move |store: &mut crate::store::Store| {
            if let Some(run) = &run {
                store.save_run(&name, run, now)?;
            }
            let turn = store.hear(&name, &source, now, problem.as_deref())?;
            Ok((turn, problem))
        };
        let (turn, problem) = self.keeper.with(work).await?;
        let (garden, source) = (&garden.garden.name, from.name());
        match (turn, problem, heard) {
            (Some(Turn::Silent), Some(error), _) => {
                warn!(garden, source, error, "the source is silent");
            }
            (_, Some(error), _) => info!(garden, source, error, "still no new forecast"),
            (turn, None, Some(run)) => {
                if turn == Some(Turn::Back) {
                    warn!(garden, source, "the source is back");
                }
                info!(garden, source, data_at = %run.data_at, "forecast received");
            }
            (_, None, None) => {}
        }
        Ok(())
    }

    /// Whether usable weather has come.
    pub(super) fn usable(
        &self,
        garden: &GardenSettings,
        several: &Several,
        now: DateTime<Utc>,
    ) -> Usable {
        let silent = self.silence.of(&garden.garden.name).unwrap_or_default();
        let fresh_for = fresh_for(garden);
        let is_fresh = several
            .used
            .iter()
            .any(|run| run.freshness(now, fresh_for.of(&run.source)) == Freshness::Fresh);
        Usable {
            is_usable: is_fresh && silent.reasons.len() < silent.sources,
            silent: silent.reasons,
        }
    }
}

/// Whether usable weather has come, and what the sources said that did not answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Usable {
    pub(super) is_usable: bool,
    pub(super) silent: Vec<String>,
}

/// A run with the age of its data: one that only repeats the kept run is as old as that.
fn dated(run: Forecast, kept: &Forecast, now: DateTime<Utc>) -> Forecast {
    let data_at = if run.repeats(kept, now) {
        kept.data_at.min(run.data_at)
    } else {
        run.data_at
    };
    Forecast { data_at, ..run }
}
