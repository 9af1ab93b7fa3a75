//! Beside the verdict: the plan of a year, each cut with its windows in a usual year at this place.
//!
//! In: a garden, what the place usually does, the cuts that were made, storms. Out: a [`YearPlan`] in order of time.
//! Does not look at a forecast and releases nothing: the verdicts of the day do.

mod checks;
mod coming;
mod season;

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::almanac::{CutKind, Kind, Season};
use crate::climate::Climate;
use crate::events::{Ground, Seasons};
use crate::foresight::{Asked, Shared};
use crate::garden::{Deed, Garden, Hemisphere, PlannedCut, Sighting, Uncut};
use crate::outlook::{Daily, Horizon, MeasuredDays, Outlook, Skill};
use crate::risk::{DateRange, Risk, Risks};
use crate::rules::{Danger, Stage, chosen_season, dangers, renewal_stage};
use crate::units::Chance;

pub use checks::{Check, STORM_GUST, Storm, storms};
pub use coming::{coming_plan, twelve_months};

/// What is known of a garden beside its settings.
#[derive(Debug, Clone, Copy, Default)]
pub struct Known<'a> {
    /// What the place usually does; none when there is no usable record.
    pub climate: Option<&'a Climate>,
    /// The cuts that were made.
    pub deeds: &'a [Deed],
    /// The events that were seen.
    pub sightings: &'a [Sighting],
    /// The storms that came.
    pub storms: &'a [Storm],
    /// Where a usual year is shared with other gardens; the climate is that of its past years then.
    pub shared: Option<Shared<'a>>,
}

/// The plan of a year for a garden.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearPlan {
    /// The garden as people say it.
    pub garden: String,
    /// The year.
    pub year: i32,
    /// Which half of the year is summer.
    pub south: bool,
    /// The hardiness zone that the record shows; none without one, and the dates are those of zone 7 then.
    pub zone: Option<f64>,
    /// How many past years the frost rests on.
    pub years: usize,
    /// What there is to do, in order of time; what can be done at any time at the end.
    pub tasks: Vec<Task>,
    /// What needs no cut.
    pub uncut: Vec<Uncut>,
    /// What there is to look after.
    pub checks: Vec<Check>,
}

/// One thing to do in one time of the year.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Task {
    /// The cut's name in the garden.
    pub cut: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// The kind of plant, as people say it.
    pub kind: String,
    /// What the almanac knows of it.
    #[serde(skip)]
    pub of: Arc<Kind>,
    /// What to do.
    pub work: CutKind,
    /// When; none at any time.
    pub window: Option<DateRange>,
    /// From what to what the plant bears it.
    #[serde(serialize_with = "season::serialize")]
    pub season: Season,
    /// What frost has to say to it.
    pub frost: Frost,
    /// Which part of a renewal over several years; none where all may go at once.
    pub stage: Option<Stage>,
    /// What makes it a professional's work; nothing where it is not.
    pub dangers: Vec<Danger>,
    /// The days of the year on which it was made.
    pub done: Vec<NaiveDate>,
    /// How it is done.
    pub how: String,
    /// Why it is not made outside the season.
    pub outside: Option<String>,
    /// Where the season comes from.
    pub source: String,
}

/// What frost has to say to a cut in a usual year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Frost {
    /// It leaves nothing tender.
    NoMatter,
    /// In its window the chance of damage is within what the keeper accepts.
    Within {
        /// What is accepted.
        tolerance: Chance,
    },
    /// No day of its season is within it.
    Never {
        /// The least risky day.
        day: NaiveDate,
        /// Its chance.
        chance: Chance,
    },
    /// There is no record of past years.
    NotKnown,
}

/// A time within the tolerance shorter than this is no window to plan with (estimate).
const WINDOW_DAYS_MIN: i64 = 5;

/// The plan of a calendar year.
pub fn year_plan(garden: &Garden, known: &Known<'_>, year: i32) -> YearPlan {
    let hemisphere = garden.place.hemisphere();
    let days = season::whole(year);
    // A usual year: nothing is forecast, and nothing has come yet.
    let (skill, measured) = (Skill::default(), MeasuredDays::new());
    let asked = Asked {
        today: days.from,
        forecast: None,
        skill: &skill,
        measured: &measured,
        hemisphere,
    };
    let shared = known.shared.map(|shared| shared.foresight(&asked));
    let foresight = shared.unwrap_or_default();
    let start = Daily::none(days.from);
    let futures = || Outlook::of_days(&start, known.climate, &skill, Horizon::YEAR);
    let outlook = foresight.outlook_by(futures);
    let ground = Ground {
        outlook,
        climate: known.climate,
        measured: &measured,
        hemisphere,
    };
    let kinds: Vec<&Kind> = garden.cuts.iter().map(|cut| &*cut.kind).collect();
    let seasons = foresight.seasons(&ground, &kinds);
    let risks = known.climate.map(|_| Risks::of(outlook, foresight.sums()));
    if let Some(risks) = &risks {
        risks.prepare(garden.cuts.iter().filter_map(PlannedCut::tender));
    }
    let tasks = garden.cuts.iter().flat_map(|cut| {
        let season = chosen_season(cut, &garden.choices);
        season.map_or_else(Vec::new, |season| {
            tasks(cut, (season, days), known, (seasons, risks))
        })
    });
    let mut tasks: Vec<Task> = tasks.collect();
    tasks.sort_by_key(|task| (task.window.is_none(), task.window, task.cut.clone()));
    YearPlan {
        garden: garden.title.clone(),
        year,
        south: hemisphere == Hemisphere::South,
        zone: known.climate.map(Climate::hardiness_zone),
        years: known.climate.map_or(0, |climate| climate.years),
        tasks,
        uncut: garden.uncut.clone(),
        checks: checks::of_year(garden, known, days),
    }
}

/// What there is to do of a cut in a year.
fn tasks(
    cut: &PlannedCut,
    (season, days): (Season, DateRange),
    known: &Known<'_>,
    (seasons, risks): (&Seasons, Option<Risks<'_>>),
) -> Vec<Task> {
    let risk = cut.cut.tender.as_ref().zip(risks);
    let risk = risk.map(|(tender, risks)| risks.risk(tender, &cut.spot, cut.tolerance));
    let seen = known.sightings.iter();
    let seen: Vec<Sighting> = seen
        .filter(|seen| seen.planting == cut.planting)
        .cloned()
        .collect();
    let events = seasons.events(&cut.kind, &seen);
    let spans = season::of_year(season, &events, days);
    let deeds = known.deeds.iter();
    let deeds = deeds.filter(|deed| deed.planting == cut.planting);
    let wanted = Wanted {
        cut,
        season,
        deeds: deeds.cloned().collect(),
    };
    let windows = windows(cut, &spans, risk.as_ref(), days);
    let tasks = windows.into_iter().map(|time| wanted.task(time, days));
    tasks.collect()
}

/// A cut with what tells of its part in the year.
struct Wanted<'a> {
    cut: &'a PlannedCut,
    /// As the almanac or the owner has it.
    season: Season,
    /// What was done to the planting.
    deeds: Vec<Deed>,
}

impl Wanted<'_> {
    /// What there is to do in one window.
    fn task(&self, (window, frost): (Option<DateRange>, Frost), days: DateRange) -> Task {
        let cut = self.cut;
        let is_in = |day: &NaiveDate| {
            let own = window.is_none_or(|window| window.from <= *day && *day <= window.to);
            own && (days.from..=days.to).contains(day)
        };
        let made = self.deeds.iter().filter(|deed| deed.cut == cut.name);
        Task {
            cut: cut.name.clone(),
            planting: cut.planting.clone(),
            kind: cut.kind.common.clone(),
            of: Arc::clone(&cut.kind),
            work: cut.cut_kind(),
            window,
            season: self.season,
            frost,
            stage: self.stage(window, days),
            dangers: dangers(cut),
            done: made.map(|deed| deed.on).filter(is_in).collect(),
            how: cut.cut.how.clone(),
            outside: cut.cut.outside.clone(),
            source: cut.cut.source.clone(),
        }
    }

    /// The part of a renewal that is due when a window ends, after the parts of the years before: a plan does not
    /// change in its year.
    fn stage(&self, window: Option<DateRange>, days: DateRange) -> Option<Stage> {
        let before = self.deeds.iter().filter(|deed| deed.on < days.from);
        let before: Vec<Deed> = before.cloned().collect();
        let end = window.map_or(days.from, |window| window.to.min(days.to));
        renewal_stage(self.cut, &before, end).map(|(stage, _)| stage)
    }
}

/// The windows of a cut: its seasons, of each the times within the tolerance.
fn windows(
    cut: &PlannedCut,
    seasons: &[Option<DateRange>],
    risk: Option<&Risk>,
    days: DateRange,
) -> Vec<(Option<DateRange>, Frost)> {
    if cut.cut.tender.is_none() {
        let free = |season: &Option<DateRange>| (*season, Frost::NoMatter);
        return seasons.iter().map(free).collect();
    }
    let Some(risk) = risk else {
        let unknown = |season: &Option<DateRange>| (*season, Frost::NotKnown);
        return seasons.iter().map(unknown).collect();
    };
    let within = Frost::Within {
        tolerance: risk.tolerance,
    };
    let of = |season: &Option<DateRange>| {
        // A season that began last year counts from the first day of this one: that is how far the futures go back.
        let span = season.unwrap_or(days);
        let open: Vec<_> = season::shared(&risk.open, span)
            .filter(|window| (window.to - window.from).num_days() + 1 >= WINDOW_DAYS_MIN)
            .map(|window| (Some(window), within))
            .collect();
        if !open.is_empty() {
            return open;
        }
        let least = season::least(risk, span);
        let never = least.map(|(day, chance)| (Some(span), Frost::Never { day, chance }));
        never.into_iter().collect()
    };
    seasons.iter().flat_map(of).collect()
}
