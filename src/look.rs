//! One look at a garden: what is known of its weather and of the work done in it, through all stages at once.
//!
//! In: record, kept forecasts, own readings, sightings, deeds, the look before, a moment. Out: a [`Seen`], the verdicts
//! with what they trust, what the own thermometer taught and the cuts under watch. Does not gather the weather, tell
//! anybody or remember anything.

mod readings;

use chrono::{DateTime, TimeDelta, Utc};

use crate::climate::{Climate, DailyRecord};
use crate::forecast::Forecast;
use crate::garden::{Deed, Garden, PlannedCut, Sighting};
use crate::outlook::{Inputs, Kept, Outlook, Skill, SourceSkill, measured_days};
use crate::risk::Sensitivity;
use crate::thermometer::{Hung, OwnThermometer};
use crate::verdict::{Sky, Verdict, assess, moved_dates};
use crate::watch::{Watch, watches};

pub use readings::Readings;

/// The weather that was gathered for a garden.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Its record of past years.
    pub record: Option<DailyRecord>,
    /// Its newest forecast.
    pub forecast: Option<Forecast>,
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

/// From where a garden is looked at.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// How old a forecast may be and still support a go.
    pub fresh_for: TimeDelta,
    /// What the place usually does; none without a usable record.
    pub climate: Option<&'a Climate>,
    /// Where its own thermometer hangs; none where it has none.
    pub hung: Option<&'a Hung>,
}

impl View<'_> {
    /// The verdicts on a garden's cuts and what they trust, without telling anybody.
    pub fn look(&self, weather: &Weather, now: DateTime<Utc>) -> Seen {
        self.under_sky(weather, now, |(garden, thermometer), sky, skills| Seen {
            verdicts: assess(&garden, sky, &weather.before, now),
            skills,
            watches: watches_of(&garden, sky, now),
            thermometer,
            garden,
        })
    }

    /// How the dates of one cut move when a parameter moves by its uncertainty.
    pub fn moved(
        &self,
        cut: &PlannedCut,
        weather: &Weather,
        now: DateTime<Utc>,
    ) -> Vec<Sensitivity> {
        self.under_sky(weather, now, |(garden, _), sky, _| {
            let cut = garden.cuts.iter().find(|known| known.name == cut.name);
            cut.map_or_else(Vec::new, |cut| moved_dates(&garden, cut, sky, now))
        })
    }

    /// Does a piece of work with what is known of the weather at a garden, and how far it can be trusted.
    fn under_sky<T>(
        &self,
        weather: &Weather,
        now: DateTime<Utc>,
        work: impl FnOnce((Garden, Option<OwnThermometer>), &Sky<'_>, Vec<SourceSkill>) -> T,
    ) -> T {
        let skills = self.skills(weather, now);
        let of_source = weather.forecast.as_ref().and_then(|forecast| {
            let learned = skills.iter().find(|skill| skill.source == forecast.source);
            learned.map(|skill| skill.learned.skill.clone())
        });
        let skill = of_source.unwrap_or_default();
        let place = &self.garden.place;
        let runs = weather.runs.iter().chain(&weather.forecast);
        let measured = measured_days(weather.record.as_ref(), runs, place, place.zone.date(now));
        let sky = Sky {
            climate: self.climate,
            measured: &measured,
            sightings: &weather.sightings,
            forecast: weather.forecast.as_ref(),
            skill: &skill,
            fresh_for: self.fresh_for,
            deeds: &weather.deeds,
        };
        work(self.taught(weather, &sky), &sky, skills)
    }

    /// The garden with its spots as its own thermometer has taught, and what that was.
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
            newest: weather.forecast.as_ref(),
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
    let outlook = Outlook::of(&Inputs {
        now,
        place: &garden.place,
        climate: sky.climate,
        forecast: sky.forecast,
        skill: sky.skill,
        fresh_for: sky.fresh_for,
    });
    watches(garden, sky.deeds, &outlook, sky.measured)
}
