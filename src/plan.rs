//! Beside the verdict: the plan of a year, each cut with its windows in a usual year at this place.
//!
//! In: a garden, what the place usually does, the cuts that were made. Out: a [`YearPlan`] in order of time.
//! Does not look at a forecast and releases nothing: the verdicts of the day do.

mod season;
mod stage;

use chrono::NaiveDate;
use serde::Serialize;

use crate::almanac::{CutKind, HardCut, Season};
use crate::climate::{Calendar, Climate};
use crate::garden::{Deed, Garden, Hemisphere, PlannedCut};
use crate::outlook::{Daily, Horizon, Outlook, Skill};
use crate::risk::{DateRange, Risk, Risks};
use crate::units::Chance;

pub use stage::{STAGES, Stage};

use season::Place;

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
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
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
pub fn year_plan(
    garden: &Garden,
    climate: Option<&Climate>,
    deeds: &[Deed],
    year: i32,
) -> YearPlan {
    let hemisphere = garden.place.hemisphere();
    let calendar = climate.map(|climate| Calendar::of(climate, hemisphere));
    let place = Place {
        hemisphere,
        calendar: calendar.as_ref(),
    };
    let days = season::whole(year);
    let outlook = climate.map(|climate| {
        let start = Daily::none(days.from);
        Outlook::of_days(&start, Some(climate), &Skill::default(), Horizon::YEAR)
    });
    let mut risks = outlook.as_ref().map(Risks::of);
    let mut tasks = Vec::new();
    for cut in &garden.cuts {
        let tender = cut.cut.tender.as_ref();
        let risk = tender.zip(risks.as_mut());
        let risk = risk.map(|(tender, risks)| risks.risk(tender, &cut.spot, cut.tolerance));
        let made = deeds.iter().filter(|deed| deed.cut == cut.name);
        tasks.extend(tasks_of(
            cut,
            &place,
            risk.as_ref(),
            &made.collect::<Vec<_>>(),
            days,
        ));
    }
    tasks.sort_by_key(|task| (task.window.is_none(), task.window, task.cut.clone()));
    YearPlan {
        garden: garden.title.clone(),
        year,
        south: place.hemisphere == Hemisphere::South,
        zone: climate.map(Climate::hardiness_zone),
        years: climate.map_or(0, |climate| climate.years),
        tasks,
    }
}

/// One task for each window of a cut that touches the year.
fn tasks_of(
    cut: &PlannedCut,
    place: &Place<'_>,
    risk: Option<&Risk>,
    made: &[&Deed],
    days: DateRange,
) -> Vec<Task> {
    let is_staged = cut.cut_kind() == CutKind::Renewal && cut.kind.hard_cut == HardCut::Staged;
    let task = |(window, frost): (Option<DateRange>, Frost)| {
        let is_in = |day: &NaiveDate| {
            let own = window.is_none_or(|window| window.from <= *day && *day <= window.to);
            own && (days.from..=days.to).contains(day)
        };
        Task {
            cut: cut.name.clone(),
            planting: cut.planting.clone(),
            kind: cut.kind.common.clone(),
            work: cut.cut_kind(),
            window,
            season: cut.cut.season,
            frost,
            stage: is_staged.then(|| Stage::of(made, days.from)),
            done: made.iter().map(|deed| deed.on).filter(is_in).collect(),
            how: cut.cut.how.clone(),
            outside: cut.cut.outside.clone(),
            source: cut.cut.source.clone(),
        }
    };
    let seasons = season::of_year(cut, place, days);
    windows(cut, &seasons, risk, days)
        .into_iter()
        .map(task)
        .collect()
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
