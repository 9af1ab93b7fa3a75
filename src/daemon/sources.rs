//! The forecasts of a garden: each source is asked, what does not come is taken from the store, and silence is told.

use chrono::{DateTime, TimeDelta, Utc};
use tracing::{info, warn};

use super::gather::forecast_from;
use super::silence::Silent;
use super::{DaemonError, House, Reach};
use crate::config::{ForecastSource, GardenSettings};
use crate::forecast::{Forecast, Several, SourceState};
use crate::look::FreshFor;
use crate::notice::Spell;
use crate::outlook::RunDays;
use crate::store::chain;
use crate::store::{Store, Trouble, Turn, older_question};
use crate::weather::ForecastFrom;

/// A run that was kept so lately is not kept again (estimate).
const JUST_KEPT: TimeDelta = TimeDelta::minutes(10);

/// The question that a source of a garden answers, and the one of an older program.
fn asked(garden: &GardenSettings, from: &ForecastFrom) -> [String; 2] {
    let older = older_question(&garden.garden.name);
    [from.question(&garden.garden.place), older]
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
        let several = Several::of(all, now);
        if reach == Reach::Everywhere {
            self.silence.set(&garden.garden.name, silent);
            self.note_odd(garden, &several.odd, now).await?;
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
            self.remember(garden, (from, kept), (heard.as_ref(), problem), now)
                .await?;
        }
        Ok(heard)
    }

    /// How each source of a garden stands, in the keeper's order.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn source_states(
        &self,
        garden: &GardenSettings,
    ) -> Result<Vec<SourceState>, DaemonError> {
        let mut states = Vec::new();
        for source in &garden.forecasts {
            let name = garden.garden.name.clone();
            let from = forecast_from(&source.from);
            let [question, older] = asked(garden, &from);
            let mut state = SourceState {
                source: from.name(),
                heard: None,
                fresh_for_hours: source.fresh_for.num_hours(),
                silent_since: None,
                is_odd: false,
            };
            let work = move |store: &mut Store| {
                let trouble = |trouble| store.trouble(&name, &state.source, trouble);
                state.silent_since = trouble(Trouble::Silent)?.map(|spell| spell.since);
                state.is_odd = trouble(Trouble::Odd)?.is_some();
                state.heard = store.heard([&question, &older], &state.source)?;
                Ok(state)
            };
            states.push(self.keeper.with(work).await?);
        }
        Ok(states)
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
        let ([question, older], source) = (asked(garden, from), from.name());
        let last_runs = self.last_runs.clone();
        let work = move |store: &mut Store| last_runs.of(store, [&question, &older], &source);
        let kept = self.keeper.recall(work).await?;
        Ok(kept.filter(|run| run.data_at <= now))
    }

    /// Keeps a run that was heard; writes into log and journal when a source falls silent or is back, once.
    async fn remember(
        &self,
        garden: &GardenSettings,
        (from, kept): (&ForecastFrom, Option<&Forecast>),
        (heard, problem): (Option<&Forecast>, Option<String>),
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        let (name, source) = (garden.garden.name.clone(), from.name());
        let ([question, older], zone) = (asked(garden, from), garden.garden.place.zone.clone());
        let run = heard.cloned();
        let is_known = heard.is_some() && heard == kept;
        let work = move |store: &mut Store| {
            // What a garden of the same place has just kept need not be written once more.
            let is_kept = is_known
                && store
                    .heard([&question, &older], &source)?
                    .is_some_and(|kept| (now - JUST_KEPT..=now).contains(&kept.fetched_at));
            if let Some(run) = run.filter(|_| !is_kept) {
                store.save_run(&question, (&run, &RunDays::of(&run, &zone)), now)?;
            }
            let about = (source.as_str(), Trouble::Silent);
            let turn = store.note_trouble(&name, about, now, problem.as_deref())?;
            Ok((turn, problem))
        };
        let (turn, problem) = self.keeper.with(work).await?;
        let source = from.name();
        if let Some(Turn::Over(spell)) = turn
            && let Some(news) = Spell::end(Some(spell))
        {
            self.tell_of_source(garden, (&source, Vec::new()), news, now)
                .await?;
        }
        let garden = &garden.garden.name;
        match (turn, problem, heard) {
            (Some(_), Some(error), _) => {
                warn!(garden, source, error, "the source is silent");
            }
            (_, Some(error), _) => info!(garden, source, error, "still no new forecast"),
            (turn, None, Some(run)) => {
                if turn.is_some() {
                    warn!(garden, source, "the source is back");
                }
                info!(garden, source, data_at = %run.data_at, "forecast received");
            }
            (_, None, None) => {}
        }
        Ok(())
    }
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
