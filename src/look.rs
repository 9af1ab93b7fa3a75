//! One look at a garden: what is known of its weather and of the work done in it, through all stages at once.
//!
//! In: record, kept forecasts, own readings, sightings, deeds, the look before, a moment. Out: a [`Seen`], the verdicts
//! with what they trust, what the own thermometer taught and the cuts under watch. Does not gather the weather, tell
//! anybody or remember anything.

mod prospect;
mod readings;

use std::collections::BTreeMap;

use chrono::{DateTime, TimeDelta, Utc};

use crate::climate::{Climate, DailyRecord};
use crate::forecast::{Forecast, FrostWarning, Several};
use crate::garden::{Deed, Garden, PlannedCut, Sighting};
use crate::outlook::{Kept, Skill, SourceSkill, measured_days};
use crate::risk::Sensitivity;
use crate::thermometer::{Hung, OwnThermometer};
use crate::verdict::{BySource, Sky, Verdict, assess, most_careful, moved_dates};
use crate::watch::{Watch, watches};

pub use prospect::{EventOf, HALF_YEAR, Prospect, UsualWindow};
pub use readings::Readings;

/// The weather that was gathered for a garden.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Its record of past years.
    pub record: Option<DailyRecord>,
    /// The newest forecasts of its sources.
    pub forecasts: Several,
    /// The official warnings that are known.
    pub warnings: Vec<FrostWarning>,
    /// The forecasts that were kept, to learn from.
    pub runs: Vec<Forecast>,
    /// What the keeper saw of the plantings, the oldest report first.
    pub sightings: Vec<Sighting>,
    /// The verdicts of the look before.
    pub before: Vec<Verdict>,
    /// The cuts that were made.
    pub deeds: Vec<Deed>,
    /// What its own thermometer showed.
    pub thermometer: Readings,
}

/// What a look at a garden's weather gives.
#[derive(Debug, Clone)]
pub struct Seen {
    /// The verdict on each cut, in the order of the garden file.
    pub verdicts: Vec<Verdict>,
    /// How far each source's forecasts can be trusted here.
    pub skills: Vec<SourceSkill>,
    /// The cuts under watch.
    pub watches: Vec<Watch>,
    /// What its own thermometer taught.
    pub thermometer: Option<OwnThermometer>,
    /// The garden, its spots as the thermometer has taught.
    pub garden: Garden,
}

/// How old a forecast may be and still support a go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FreshFor {
    /// Of the sources that have a limit of their own, by their names.
    pub by_source: BTreeMap<String, TimeDelta>,
    /// Of all others.
    pub otherwise: TimeDelta,
}

impl FreshFor {
    /// One limit for every source.
    pub const fn all(otherwise: TimeDelta) -> Self {
        Self {
            by_source: BTreeMap::new(),
            otherwise,
        }
    }

    /// How old the data of a source may be.
    pub fn of(&self, source: &str) -> TimeDelta {
        self.by_source
            .get(source)
            .copied()
            .unwrap_or(self.otherwise)
    }
}

/// From where a garden is looked at.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// How old a forecast may be and still support a go.
    pub fresh_for: &'a FreshFor,
    /// What the place usually does; none without a usable record.
    pub climate: Option<&'a Climate>,
    /// Where its own thermometer hangs; none where it has none.
    pub hung: Option<&'a Hung>,
}

impl View<'_> {
    /// The verdicts on a garden's cuts and what they trust, without telling anybody.
    ///
    /// Each source is assessed alone and the most careful verdict stands; plants under watch are looked at by the
    /// coldest.
    pub fn look(&self, weather: &Weather, now: DateTime<Utc>) -> Seen {
        let skills = self.skills(weather, now);
        let Several { used, odd } = &weather.forecasts;
        let verdicts = |forecast| {
            self.under_sky(weather, (forecast, &skills), now, |(garden, _), sky| {
                assess(&garden, sky, &weather.before, now)
            })
        };
        let by_source = used.iter().map(|forecast| BySource {
            source: forecast.source.clone(),
            verdicts: verdicts(Some(forecast)),
        });
        let verdicts = if used.is_empty() {
            verdicts(None)
        } else {
            most_careful(&by_source.collect::<Vec<_>>(), odd)
        };
        let coldest = weather.forecasts.coldest(now);
        let under_coldest = |(garden, thermometer): (Garden, _), sky: &Sky<'_>| {
            (watches_of(&garden, sky, now), thermometer, garden)
        };
        let (watches, thermometer, garden) =
            self.under_sky(weather, (coldest, &skills), now, under_coldest);
        Seen {
            verdicts,
            skills,
            watches,
            thermometer,
            garden,
        }
    }

    /// How the dates of one cut move when a parameter moves by its uncertainty, by the coldest source.
    pub fn moved(
        &self,
        cut: &PlannedCut,
        weather: &Weather,
        now: DateTime<Utc>,
    ) -> Vec<Sensitivity> {
        let skills = self.skills(weather, now);
        let coldest = weather.forecasts.coldest(now);
        self.under_sky(weather, (coldest, &skills), now, |(garden, _), sky| {
            let cut = garden.cuts.iter().find(|known| known.name == cut.name);
            cut.map_or_else(Vec::new, |cut| moved_dates(&garden, cut, sky, now))
        })
    }

    /// Does a piece of work with what one source says of the weather at a garden, and how far it can be trusted.
    fn under_sky<T>(
        &self,
        weather: &Weather,
        (forecast, skills): (Option<&Forecast>, &[SourceSkill]),
        now: DateTime<Utc>,
        work: impl FnOnce((Garden, Option<OwnThermometer>), &Sky<'_>) -> T,
    ) -> T {
        let of_source = forecast.and_then(|forecast| {
            let learned = skills.iter().find(|skill| skill.source == forecast.source);
            learned.map(|skill| skill.learned.skill.clone())
        });
        let skill = of_source.unwrap_or_default();
        let place = &self.garden.place;
        let runs = weather.runs.iter().chain(forecast);
        let measured = measured_days(weather.record.as_ref(), runs, place, place.zone.date(now));
        let limit = forecast.map(|forecast| self.fresh_for.of(&forecast.source));
        let sky = Sky {
            climate: self.climate,
            measured: &measured,
            sightings: &weather.sightings,
            forecast,
            warnings: &weather.warnings,
            skill: &skill,
            fresh_for: limit.unwrap_or(self.fresh_for.otherwise),
            deeds: &weather.deeds,
        };
        work(self.taught(weather, &sky), &sky)
    }

    /// The garden with its spots as its own thermometer has taught, and what that was.
    ///
    /// Told apart by source: what a night of the thermometer lacks to the place's depends on the source's own bias.
    fn taught(&self, weather: &Weather, sky: &Sky<'_>) -> (Garden, Option<OwnThermometer>) {
        let Some(hung) = self.hung else {
            return (self.garden.clone(), None);
        };
        let (readings, record) = (&weather.thermometer, weather.record.as_ref());
        let own = readings.taught(hung, record, sky, &self.garden.place);
        (hung.garden(self.garden, &own.own), Some(own))
    }

    /// What the kept forecasts of a garden teach.
    fn skills(&self, weather: &Weather, now: DateTime<Utc>) -> Vec<SourceSkill> {
        let place = &self.garden.place;
        let kept = Kept {
            runs: &weather.runs,
            newest: weather.forecasts.used.first(),
            record: weather.record.as_ref(),
            climate: self.climate,
            place,
        };
        Skill::default().by_source(&kept, place.zone.date(now))
    }
}

/// The cuts of a garden that are under watch.
fn watches_of(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> Vec<Watch> {
    if sky.deeds.is_empty() {
        return Vec::new();
    }
    let outlook = sky.outlook(garden, now);
    watches(garden, sky.deeds, &outlook, sky.measured)
}
