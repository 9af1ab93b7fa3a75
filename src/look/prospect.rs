//! What lies before a garden in figures to draw: the coming nights, the heat of the season, the year about today.
//!
//! In: the weather that was gathered, by the coldest source as plants under watch are looked at. Out: a [`Prospect`],
//! small enough to be kept beside the verdicts. Judges nothing; the curve of each cut stands in its finding on frost.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::almanac::{Event, Kind};
use crate::events::{HeatYear, Predicted, Seasons};
use crate::foresight::Shared;
use crate::garden::{Garden, Sighting};
use crate::outlook::NightFan;
use crate::plan::{Frost, Known, year_plan};
use crate::risk::DateRange;
use crate::units::Chance;
use crate::verdict::{Ahead, Sky};

/// The year about today goes so many days back and so many on.
pub const HALF_YEAR: usize = 183;

/// The next time that the same day of the year comes.
const YEAR: usize = 365;

/// The events of a plant that are shown along the heat of the season.
const EVENTS: [Event; 8] = [
    Event::BudBreak,
    Event::BloomBegin,
    Event::BloomEnd,
    Event::FullLeaf,
    Event::FlushEnd,
    Event::BudSet,
    Event::LeafFall,
    Event::LastFreeze,
];

/// What lies before a garden, in figures.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Prospect {
    /// The local date of the look.
    pub today: NaiveDate,
    /// The number of futures behind it.
    pub futures: usize,
    /// The coming nights, the one to tomorrow first, at tender leaves in the open; a spot adds its offset.
    pub nights: Vec<NightFan>,
    /// How often the nights from [`HALF_YEAR`] days before today to as many after freeze; those gone by as often as
    /// the same ones of the coming year. Empty where no past years are known.
    pub freezing: Vec<Chance>,
    /// The heat of the season at hand.
    pub heat: Option<HeatYear>,
    /// The events of each planting in that season.
    pub events: Vec<EventOf>,
    /// The windows of each cut in a usual year, in order of time.
    pub usual: Vec<UsualWindow>,
}

/// An event of a planting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct EventOf {
    /// The planting in the keeper's words.
    pub planting: String,
    /// What comes.
    pub event: Event,
    /// When.
    pub date: Predicted,
}

/// A time of the calendar year of today in which a cut is usually made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UsualWindow {
    /// The cut's name in the garden.
    pub cut: String,
    /// When; none at any time.
    pub window: Option<DateRange>,
    /// What frost has to say to it.
    pub frost: Frost,
}

impl Prospect {
    /// What lies before a garden under a sky.
    pub(super) fn of(ahead: &Ahead<'_>, shared: Option<Shared<'_>>) -> Self {
        let (garden, sky, outlook) = (ahead.garden, &ahead.sky, ahead.outlook());
        let foresight = ahead.foresight();
        Self {
            today: outlook.basis.today,
            futures: outlook.basis.futures,
            nights: foresight.nights(outlook).to_vec(),
            freezing: about_today(foresight.freezing(outlook)),
            heat: foresight.heat(&ahead.ground()).cloned(),
            events: events(garden, ahead.seasons(), sky.sightings),
            usual: usual(garden, (sky, shared), outlook.basis.today),
        }
    }
}

/// The days about today from the days to come: half a year that is gone by lies most of a year ahead.
fn about_today(coming: &[Chance]) -> Vec<Chance> {
    let before = coming.get(YEAR - HALF_YEAR..YEAR);
    let after = coming.get(..=HALF_YEAR);
    let whole = before.zip(after);
    whole.map_or_else(Vec::new, |(before, after)| [before, after].concat())
}

/// The events of every planting in the season at hand.
fn events(garden: &Garden, seasons: &Seasons, sightings: &[Sighting]) -> Vec<EventOf> {
    let mut plantings: Vec<(&str, &Kind)> = Vec::new();
    for cut in &garden.cuts {
        if !plantings.iter().any(|(known, _)| *known == cut.planting) {
            plantings.push((&cut.planting, &cut.kind));
        }
    }
    let of_planting = |(planting, kind): &(&str, &Kind)| -> Vec<EventOf> {
        let seen = sightings.iter().filter(|seen| seen.planting == *planting);
        let events = seasons.events(kind, &seen.cloned().collect::<Vec<_>>());
        let of = |event: Event| {
            let date = events.in_season(event, seasons.year())?;
            Some(EventOf {
                planting: (*planting).to_owned(),
                event,
                date: date.clone(),
            })
        };
        EVENTS.into_iter().filter_map(of).collect()
    };
    plantings.iter().flat_map(of_planting).collect()
}

/// The windows of a usual year.
fn usual(
    garden: &Garden,
    (sky, shared): (&Sky<'_>, Option<Shared<'_>>),
    today: NaiveDate,
) -> Vec<UsualWindow> {
    let known = Known {
        climate: sky.climate,
        deeds: sky.deeds,
        sightings: sky.sightings,
        storms: &[],
        shared,
    };
    let plan = year_plan(garden, &known, chrono::Datelike::year(&today));
    let window = |task: crate::plan::Task| UsualWindow {
        cut: task.cut,
        window: task.window,
        frost: task.frost,
    };
    plan.tasks.into_iter().map(window).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_days_gone_by_are_those_of_the_coming_year() {
        let coming: Vec<Chance> = (0..547)
            .map(|day| Chance::of(f64::from(day) / 1000.0))
            .collect();
        let about = about_today(&coming);
        assert_eq!(about.len(), 2 * HALF_YEAR + 1);
        assert_eq!(about[HALF_YEAR], coming[0], "today in the middle");
        assert_eq!(about[HALF_YEAR - 1], coming[YEAR - 1], "yesterday");
        assert!(about_today(&coming[..99]).is_empty());
    }
}
