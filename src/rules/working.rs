//! The half-days of the coming week in which people can work: wind, lightning, heat, cold, rain, daylight.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::season::span;
use super::{Case, Facts, Finding, Stand, chosen};
use crate::almanac::{CutKind, Habit, Season};
use crate::garden::Mark;
use crate::units::{Celsius, Metres, MetresPerSecond, count};
use crate::work::{Half, HalfDay, WorkWeather};

/// No ladder stands in gusts above so many miles an hour (estimate).
const LADDER_GUST_MPH: f64 = 25.0;

/// From this heat index on it is dangerous to work, in °F (National Weather Service, from memory).
const HEAT_F: f64 = 103.0;

/// From this heat index on whoever works needs shade and water, in °F (National Weather Service, from memory).
const WARM_F: f64 = 90.0;

/// At this wind chill skin freezes within half an hour, in °F (National Weather Service, wind chill chart, 2001).
const CHILL_F: f64 = -18.0;

/// So much rain in half a day keeps people in, in mm (estimate).
const RAIN: f64 = 1.0;

/// Less daylight than this is no half-day, in minutes (estimate).
const SHORTEST: i64 = 120;

/// A plant taller than this needs a ladder (estimate).
const LADDER_FROM: Metres = Metres(2.5);

/// So many half-days are named.
const NAMED: usize = 3;

/// A season that opens within so many days makes the week worth looking at.
const SOON_DAYS: i64 = 7;

const SOURCE: &str = "National Weather Service (30 minutes indoors after thunder; heat index; wind chill chart, 2001); \
                      limits of gusts, rain and daylight are estimates";

/// What the week has for those who work outdoors.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkingFacts {
    /// The best half-days, in the order of the week.
    pub best: Vec<Pick>,
    /// How many half-days are not fit, by the first reason of each.
    pub unfit: BTreeMap<Bar, usize>,
    /// How many half-days there are; none when the forecast has temperatures alone.
    pub half_days: Option<usize>,
    /// Where people stand.
    pub footing: Footing,
    /// Whether there may be thunder in the week.
    pub thunder: bool,
    /// The last day of the window, where it ends within the week.
    pub until: Option<NaiveDate>,
}

/// Where people stand at work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Footing {
    /// On the ground.
    Ground,
    /// On a ladder.
    Ladder,
}

/// A half-day to work in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pick {
    /// The date.
    pub date: NaiveDate,
    /// Which half.
    pub half: Half,
    /// Strongest gust.
    pub gust: Option<MetresPerSecond>,
    /// Warmest as it feels.
    pub heat_index: Option<Celsius>,
    /// Coldest as it feels.
    pub wind_chill: Option<Celsius>,
    /// What to mind.
    pub remarks: Vec<Remark>,
}

/// Why a half-day is not fit for work.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Bar {
    /// A thunderstorm.
    Lightning,
    /// Gusts too strong for a ladder.
    Gusts,
    /// Dangerous heat.
    Heat,
    /// Dangerous cold.
    Cold,
    /// Rain.
    Rain,
    /// Too little daylight is left.
    Short,
    /// Too little is known of it.
    Unknown,
}

/// What to mind in a half-day that is fit.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Remark {
    /// Too gusty for a ladder, which this work does not need.
    NoLadder,
    /// Shade and water.
    Warm,
    /// At or below freezing, as it feels.
    Chilly,
    /// The ground is wet: it slips, and feet pack the soil.
    WetGround,
    /// Leaves are wet for a part of it.
    WetLeaves,
    /// Whether it will thunder is not known.
    ThunderUnknown,
}

/// Names the best half-days; holds only when none of the week is fit.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    if !is_due(case) {
        return None;
    }
    let facts = facts(case);
    let all_unfit = facts.until.is_none()
        && case.work.is_some_and(WorkWeather::knows_the_week)
        && facts.best.is_empty()
        && !facts.unfit.contains_key(&Bar::Unknown);
    let stand = if all_unfit {
        Stand::Hold { opens: None }
    } else {
        Stand::Clear { until: None }
    };
    Some(Finding {
        stand,
        facts: Facts::WorkingConditions(facts),
        source: SOURCE.to_owned(),
    })
}

/// Whether the cut may come up in the week: its season is on or near, and frost is not what it waits for.
fn is_due(case: &Case<'_>) -> bool {
    if case.cut.cut_kind() == CutKind::StormRepair {
        return true;
    }
    let in_season = match chosen::season(case) {
        Season::AnyTime => true,
        Season::Between(from, to) => span(case, from, to)
            .is_some_and(|span| (span.from - case.today).num_days() <= SOON_DAYS),
    };
    let frost_waits = case
        .risk
        .is_some_and(|risk| risk.today().share() > risk.tolerance.share());
    in_season && !frost_waits
}

fn facts(case: &Case<'_>) -> WorkingFacts {
    let footing = footing(case);
    let until = window_end(case);
    let in_window = |half: &&HalfDay| until.is_none_or(|end| half.date <= end);
    let all = case.work.map_or(&[][..], |work| &work.half_days);
    let halves: Vec<&HalfDay> = all.iter().filter(in_window).collect();
    let mut unfit = BTreeMap::new();
    let mut fit: Vec<(f64, &HalfDay)> = Vec::new();
    for (position, half) in halves.iter().enumerate() {
        match bar(half, footing) {
            Some(bar) => *unfit.entry(bar).or_default() += 1,
            None => fit.push((discomfort(half, position), half)),
        }
    }
    fit.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    fit.truncate(NAMED);
    fit.sort_by_key(|(_, half)| half.from);
    WorkingFacts {
        best: fit
            .into_iter()
            .map(|(_, half)| pick(half, footing))
            .collect(),
        unfit,
        half_days: case.work.map(|_| halves.len()),
        footing,
        thunder: halves.iter().any(|half| half.thunder != Some(false)),
        until: until.filter(|end| all.last().is_some_and(|last| *end < last.date)),
    }
}

/// The last day on which the cut may be made, by its season and by the frost.
fn window_end(case: &Case<'_>) -> Option<NaiveDate> {
    let of_season = match chosen::season(case) {
        Season::AnyTime => None,
        Season::Between(from, to) => span(case, from, to).map(|span| span.to),
    };
    let of_frost = case.risk.and_then(|risk| risk.last_call);
    of_season.into_iter().chain(of_frost).min()
}

/// By what is told of the planting, else by its habit.
fn footing(case: &Case<'_>) -> Footing {
    let facts = &case.cut.facts;
    let by_habit = || matches!(case.cut.kind.habit, Habit::Tree | Habit::Climber);
    let ladder = facts.is(Mark::OffLadder)
        || facts
            .height
            .map_or_else(by_habit, |tall| tall > LADDER_FROM);
    if ladder {
        Footing::Ladder
    } else {
        Footing::Ground
    }
}

/// The first reason why a half-day is not fit.
fn bar(half: &HalfDay, footing: Footing) -> Option<Bar> {
    let ladder = footing == Footing::Ladder;
    if (half.to - half.from).num_minutes() < SHORTEST {
        Some(Bar::Short)
    } else if half.thunder == Some(true) {
        Some(Bar::Lightning)
    } else if half.rain.is_some_and(|rain| rain.0 >= RAIN) {
        Some(Bar::Rain)
    } else if half
        .heat_index
        .is_some_and(|felt| felt.fahrenheit() >= HEAT_F)
    {
        Some(Bar::Heat)
    } else if half
        .wind_chill
        .is_some_and(|felt| felt.fahrenheit() <= CHILL_F)
    {
        Some(Bar::Cold)
    } else if half.rain.is_none() || half.coldest.is_none() || (ladder && half.gust.is_none()) {
        Some(Bar::Unknown)
    } else if ladder && half.gust.is_some_and(is_gusty) {
        Some(Bar::Gusts)
    } else {
        None
    }
}

fn is_gusty(gust: MetresPerSecond) -> bool {
    gust.miles_per_hour() > LADDER_GUST_MPH
}

/// The smaller the better (estimate): wind, heat, cold, wet, and a little for each half-day that is further off, since it
/// is less sure.
fn discomfort(half: &HalfDay, position: usize) -> f64 {
    let wind = half.gust.map_or(2.0, |gust| gust.0 / 5.0);
    let heat = half
        .heat_index
        .map_or(0.0, |felt| (felt.degrees() - 26.0).max(0.0) / 2.0);
    let cold = half
        .wind_chill
        .map_or(0.0, |felt| (5.0 - felt.degrees()).max(0.0) / 3.0);
    let ground = if half.wet_ground == Some(true) {
        2.0
    } else {
        0.0
    };
    let leaves = half.wet_hours.map_or(0.0, count);
    wind + heat + cold + ground + leaves + 0.15 * count(position)
}

fn pick(half: &HalfDay, footing: Footing) -> Pick {
    let is = |felt: Option<Celsius>, test: fn(f64) -> bool| {
        felt.is_some_and(|felt| test(felt.fahrenheit()))
    };
    let remarks = [
        (
            footing == Footing::Ground && half.gust.is_some_and(is_gusty),
            Remark::NoLadder,
        ),
        (is(half.heat_index, |felt| felt >= WARM_F), Remark::Warm),
        (is(half.wind_chill, |felt| felt <= 32.0), Remark::Chilly),
        (half.wet_ground == Some(true), Remark::WetGround),
        (
            half.wet_hours.is_some_and(|hours| hours > 0),
            Remark::WetLeaves,
        ),
        (half.thunder.is_none(), Remark::ThunderUnknown),
    ];
    Pick {
        date: half.date,
        half: half.half,
        gust: half.gust,
        heat_index: half.heat_index,
        wind_chill: half.wind_chill,
        remarks: remarks
            .into_iter()
            .filter_map(|(applies, remark)| applies.then_some(remark))
            .collect(),
    }
}
