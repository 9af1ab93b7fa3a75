//! One look at a garden: what is known of its weather and of the work done in it, through all stages at once.
//!
//! In: record, kept forecasts, own readings, sightings, deeds, the look before, a moment. Out: a [`Seen`], the verdicts
//! with what they trust, what the own thermometer taught and the cuts under watch. Does not gather the weather, tell
//! anybody or remember anything.

mod prospect;
mod readings;

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};

use crate::climate::{Climate, DailyRecord, PastYears};
use crate::forecast::{Forecast, FrostWarning, Several};
use crate::foresight::{Shared, Shelf};
use crate::garden::{Deed, Garden, PlannedCut, Sighting};
use crate::outlook::{Kept, MeasuredDays, RunDays, Skill, SourceSkill, measured_days};
use crate::risk::Sensitivity;
use crate::thermometer::{Hung, OwnThermometer};
use crate::verdict::{Ahead, BySource, Footing, Sky, Verdict, most_careful};
use crate::watch::{Watch, watches};

pub use prospect::{EventOf, HALF_YEAR, Prospect, UsualWindow};
pub use readings::Readings;

/// The weather that was gathered for a garden.
#[derive(Debug, Clone, Default)]
pub struct Weather {
    /// Its past years.
    pub past: Option<Arc<PastYears>>,
    /// The newest forecasts of its sources.
    pub forecasts: Several,
    /// The official warnings that are known.
    pub warnings: Vec<FrostWarning>,
    /// The days of the forecasts that were kept, to learn from.
    pub runs: Vec<Arc<RunDays>>,
    /// What the keeper saw of the plantings, the oldest report first.
    pub sightings: Vec<Sighting>,
    /// What the look before left.
    pub before: Vec<Footing>,
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
    /// The garden, its spots as its own thermometer has taught; none where it has none.
    pub garden: Option<Garden>,
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
    /// Where what is foreseen lies for other gardens under the same sky; the climate is that of the weather's past years
    /// then. None for a garden that shares nothing.
    pub shelf: Option<&'a Shelf>,
}

/// What the weather teaches before it is judged.
struct Taught<'a> {
    skills: Vec<SourceSkill>,
    /// One for each source that counts; where none does, one without.
    sources: Vec<BySky<'a>>,
    /// Which of them is the coldest.
    coldest: usize,
}

/// What one source says of a garden.
struct BySky<'a> {
    forecast: Option<&'a Forecast>,
    skill: Skill,
    measured: MeasuredDays,
    /// The garden, its spots as its own thermometer has taught. Told apart by source: what a night of the thermometer
    /// lacks to the place's depends on the source's own bias.
    garden: Cow<'a, Garden>,
    thermometer: Option<OwnThermometer>,
}

impl View<'_> {
    /// The verdicts on a garden's cuts and what they trust, without telling anybody.
    ///
    /// Each source is assessed alone and the most careful verdict stands; plants under watch are looked at by the
    /// coldest.
    pub fn look(&self, weather: &Weather, now: DateTime<Utc>) -> Seen {
        let taught = self.taught(weather, now);
        let aheads = self.aheads(weather, &taught, now);
        Self::seen(weather, &taught, &aheads)
    }

    /// The same, and what lies before the garden by the coldest source.
    pub fn look_ahead(&self, weather: &Weather, now: DateTime<Utc>) -> (Seen, Prospect) {
        let taught = self.taught(weather, now);
        let aheads = self.aheads(weather, &taught, now);
        let shared = self.shared(weather);
        let coldest = aheads.get(taught.coldest);
        let prospect = coldest.map(|ahead| Prospect::of(ahead, shared));
        let seen = Self::seen(weather, &taught, &aheads);
        (seen, prospect.unwrap_or_default())
    }

    /// How the dates of one cut move when a parameter moves by its uncertainty, by the coldest source.
    pub fn moved(
        &self,
        cut: &PlannedCut,
        weather: &Weather,
        now: DateTime<Utc>,
    ) -> Vec<Sensitivity> {
        let taught = self.taught(weather, now);
        let aheads = self.aheads(weather, &taught, now);
        let coldest = aheads.get(taught.coldest);
        coldest.map_or_else(Vec::new, |ahead| {
            let mut cuts = ahead.garden.cuts.iter();
            let cut = cuts.find(|known| known.name == cut.name);
            cut.map_or_else(Vec::new, |cut| ahead.moved_dates(cut))
        })
    }

    /// What the kept forecasts of a garden and its own thermometer teach.
    fn taught<'w>(&'w self, weather: &'w Weather, now: DateTime<Utc>) -> Taught<'w> {
        let zone = &self.garden.place.zone;
        let used = &weather.forecasts.used;
        let runs: Vec<RunDays> = used.iter().map(|run| RunDays::of(run, zone)).collect();
        let skills = self.skills(weather, runs.first(), now);
        let by_sky = |source: Option<(&'w Forecast, &RunDays)>| {
            let of_source = source.and_then(|(forecast, _)| {
                let learned = skills.iter().find(|skill| skill.source == forecast.source);
                learned.map(|skill| skill.learned.skill.clone())
            });
            let kept = weather.runs.iter().map(Arc::as_ref);
            let kept = kept.chain(source.map(|(_, run)| run));
            let place = &self.garden.place;
            let measured = measured_days(weather.record(), kept, place, zone.date(now));
            let skill = of_source.unwrap_or_default();
            let (garden, thermometer) = self.own(weather, (&measured, &skill));
            BySky {
                forecast: source.map(|(forecast, _)| forecast),
                skill,
                measured,
                garden,
                thermometer,
            }
        };
        let sources = if used.is_empty() {
            vec![by_sky(None)]
        } else {
            let used = used.iter().zip(&runs);
            used.map(|source| by_sky(Some(source))).collect()
        };
        let coldest = weather.forecasts.coldest(now);
        let is_coldest =
            |forecast: &Forecast| coldest.is_some_and(|coldest| std::ptr::eq(coldest, forecast));
        let coldest = used.iter().position(is_coldest);
        Taught {
            skills,
            sources,
            coldest: coldest.unwrap_or(0),
        }
    }

    /// The garden under what each source says.
    fn aheads<'w>(
        &'w self,
        weather: &'w Weather,
        taught: &'w Taught<'_>,
        now: DateTime<Utc>,
    ) -> Vec<Ahead<'w>> {
        let ahead = |source: &'w BySky<'_>| {
            let limit = source.forecast.map(|run| self.fresh_for.of(&run.source));
            let sky = Sky {
                climate: self.climate,
                measured: &source.measured,
                sightings: &weather.sightings,
                forecast: source.forecast,
                warnings: &weather.warnings,
                skill: &source.skill,
                fresh_for: limit.unwrap_or(self.fresh_for.otherwise),
                deeds: &weather.deeds,
            };
            Ahead::of(&source.garden, sky, now).sharing(self.shared(weather))
        };
        taught.sources.iter().map(ahead).collect()
    }

    /// What it shares with other gardens.
    pub fn shared<'w>(&self, weather: &'w Weather) -> Option<Shared<'w>>
    where
        Self: 'w,
    {
        let (shelf, past) = self.shelf.zip(weather.past.as_ref())?;
        Some(Shared { shelf, past })
    }

    /// What all sources say together.
    fn seen(weather: &Weather, taught: &Taught<'_>, aheads: &[Ahead<'_>]) -> Seen {
        let verdicts = |ahead: &Ahead<'_>| ahead.verdicts(&weather.before);
        let by_source = |ahead: &Ahead<'_>| {
            let source = ahead.sky.forecast?.source.clone();
            let verdicts = verdicts(ahead);
            Some(BySource { source, verdicts })
        };
        let by_source: Vec<BySource> = aheads.iter().filter_map(by_source).collect();
        let verdicts = if by_source.is_empty() {
            aheads.first().map_or_else(Vec::new, verdicts)
        } else {
            most_careful(&by_source, &weather.forecasts.odd)
        };
        let coldest = taught.sources.get(taught.coldest);
        Seen {
            verdicts,
            skills: taught.skills.clone(),
            watches: aheads.get(taught.coldest).map_or_else(Vec::new, watched),
            thermometer: coldest.and_then(|source| source.thermometer.clone()),
            garden: coldest.and_then(|source| match &source.garden {
                Cow::Owned(taught) => Some(taught.clone()),
                Cow::Borrowed(_) => None,
            }),
        }
    }

    /// The garden with its spots as its own thermometer has taught, and what that was.
    fn own(
        &self,
        weather: &Weather,
        (measured, skill): (&MeasuredDays, &Skill),
    ) -> (Cow<'_, Garden>, Option<OwnThermometer>) {
        let Some(hung) = self.hung else {
            return (Cow::Borrowed(self.garden), None);
        };
        let came = (weather.record(), measured);
        let place = &self.garden.place;
        let own = weather.thermometer.taught(hung, came, skill.bias, place);
        (Cow::Owned(hung.garden(self.garden, &own.own)), Some(own))
    }

    /// What the kept forecasts of a garden teach.
    fn skills(
        &self,
        weather: &Weather,
        newest: Option<&RunDays>,
        now: DateTime<Utc>,
    ) -> Vec<SourceSkill> {
        let place = &self.garden.place;
        let kept = Kept {
            runs: &weather.runs,
            newest,
            record: weather.record(),
            climate: self.climate,
            place,
        };
        Skill::default().by_source(&kept, place.zone.date(now))
    }
}

impl Weather {
    /// The days of past years as they were recorded.
    pub fn record(&self) -> Option<&DailyRecord> {
        self.past.as_deref().map(PastYears::record)
    }
}

/// The cuts of a garden that are under watch.
fn watched(ahead: &Ahead<'_>) -> Vec<Watch> {
    let sky = &ahead.sky;
    if sky.deeds.is_empty() {
        return Vec::new();
    }
    let outlook = (ahead.outlook(), ahead.basis());
    watches(ahead.garden, sky.deeds, outlook, sky.measured)
}
