//! Sources that do not answer: when to ask again, and what the keeper is told of it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, TimeDelta, Utc};
use tracing::warn;

use super::gather::forecast_from;
use super::sources::fresh_for;
use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::forecast::{Freshness, Odd, Several};
use crate::message::{Beside, Message, SourceNews};
use crate::notice::{Spell, WeatherNews, after_quiet};
use crate::store::chain;
use crate::store::{Store, Trouble};
use crate::weather::{NextStep, WeatherError};

/// A source that may answer later is asked again after this time at the soonest (estimate).
const AGAIN_AFTER: TimeDelta = TimeDelta::minutes(10);

/// Gardens whose sources did not answer: what each said, and when it is worth asking again.
#[derive(Debug, Clone, Default)]
pub struct Silence(Arc<Mutex<BTreeMap<String, Silent>>>);

#[derive(Debug, Clone, Default)]
pub(super) struct Silent {
    pub(super) again_at: Option<DateTime<Utc>>,
    /// What the sources said that did not answer.
    pub(super) reasons: Vec<String>,
    /// When each source was last heard by this program.
    pub(super) heard_at: BTreeMap<String, DateTime<Utc>>,
}

/// Whether usable weather has come, and what the sources said that did not answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Usable {
    pub(super) is_usable: bool,
    pub(super) silent: Vec<String>,
}

impl Silence {
    /// When it is worth looking at a garden's weather again before its time; none when nothing is amiss or time does
    /// not help.
    pub fn again_at(&self, garden: &str) -> Option<DateTime<Utc>> {
        self.of(garden)?.again_at
    }

    /// A record did not come; it is worth another look as soon as a forecast that did not.
    pub(super) fn hurry(&self, garden: &GardenSettings, error: &WeatherError, now: DateTime<Utc>) {
        let name = &garden.garden.name;
        let mut silent = self.of(name).unwrap_or_default();
        silent.hurry(error, now);
        self.set(name, silent);
    }

    pub(super) fn of(&self, garden: &str) -> Option<Silent> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(garden).cloned()
    }

    pub(super) fn set(&self, garden: &str, silent: Silent) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(garden.to_owned(), silent);
    }
}

impl Silent {
    pub(super) fn add(&mut self, error: &WeatherError, now: DateTime<Utc>) {
        self.reasons.push(chain(error));
        self.hurry(error, now);
    }

    fn hurry(&mut self, error: &WeatherError, now: DateTime<Utc>) {
        let NextStep::Retry { after } = error.next_step() else {
            return;
        };
        let after = after.and_then(|after| TimeDelta::from_std(after).ok());
        let at = now + after.unwrap_or_default().max(AGAIN_AFTER);
        self.again_at = Some(self.again_at.map_or(at, |other| other.min(at)));
    }
}

impl House {
    /// Whether usable weather has come; while some comes, tells once of a source that has been silent for a day.
    pub(super) async fn usable(
        &self,
        garden: &GardenSettings,
        several: &Several,
        now: DateTime<Utc>,
    ) -> Result<Usable, DaemonError> {
        let silent = self.silence.of(&garden.garden.name).unwrap_or_default();
        let fresh_for = fresh_for(garden);
        let is_fresh = several
            .used
            .iter()
            .any(|run| run.freshness(now, fresh_for.of(&run.source)) == Freshness::Fresh);
        let is_usable = is_fresh && silent.reasons.len() < garden.forecasts.len();
        if is_usable {
            self.tell_of_sources(garden, several, now).await?;
        }
        Ok(Usable {
            is_usable,
            silent: silent.reasons,
        })
    }

    /// Tells once that a source has been silent for a day while others speak.
    async fn tell_of_sources(
        &self,
        garden: &GardenSettings,
        several: &Several,
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        if garden.forecasts.len() < 2 {
            return Ok(());
        }
        for source in &garden.forecasts {
            let source = forecast_from(&source.from).name();
            let (name, key) = (garden.garden.name.clone(), source.clone());
            let work = move |store: &mut Store| store.trouble(&name, &key, Trouble::Silent);
            let Some(spell) = self.keeper.recall(work).await? else {
                continue;
            };
            if let (_, Some(news)) = Spell::go_on(Some(spell), now) {
                let others = several.used.iter().map(|run| run.source.clone());
                let others = others.filter(|other| *other != source).collect();
                self.tell_of_source(garden, (&source, others), news, now)
                    .await?;
            }
        }
        Ok(())
    }

    /// Tells that a source is silent or back, with the sources that speak beside it.
    pub(super) async fn tell_of_source(
        &self,
        garden: &GardenSettings,
        (source, others): (&str, Vec<String>),
        news: WeatherNews,
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        let about = SourceNews {
            source: source.to_owned(),
            others,
            news,
        };
        let message = {
            let beside = Beside {
                links: Some(&self.links),
                ..Beside::NOTHING
            };
            Message::source(&about, &garden.garden, now, &beside)
        };
        let goes_at = after_quiet(&garden.garden.letters, &garden.garden.place.zone, now);
        let mail = message.map(|message| (message, goes_at));
        let (name, source) = (garden.garden.name.clone(), source.to_owned());
        self.keeper
            .with(move |store| store.tell_of_source(&name, &source, now, (news, mail)))
            .await
    }

    /// Writes into log and journal, once, that a source is out of step with the others, or in step again.
    pub(super) async fn note_odd(
        &self,
        garden: &GardenSettings,
        odd: &[Odd],
        now: DateTime<Utc>,
    ) -> Result<(), DaemonError> {
        for source in &garden.forecasts {
            let source = forecast_from(&source.from).name();
            let odd = odd.iter().find(|odd| odd.source == source);
            let problem = odd.map(|odd| {
                let (lowest, others) = (odd.lowest.degrees(), odd.others.degrees());
                format!("{source}: {lowest:.1} °C for the next night, the others {others:.1} °C")
            });
            let (name, key, said) = (garden.garden.name.clone(), source.clone(), problem.clone());
            let note = move |store: &mut Store| {
                store.note_trouble(&name, (&key, Trouble::Odd), now, said.as_deref())
            };
            let turn = self.keeper.with(note).await?;
            let garden = &garden.garden.name;
            match (turn, problem) {
                (Some(_), Some(problem)) => {
                    warn!(
                        garden,
                        source, problem, "a source is out of step and left out"
                    );
                }
                (Some(_), None) => warn!(garden, source, "a source is in step again"),
                (None, _) => {}
            }
        }
        Ok(())
    }
}
