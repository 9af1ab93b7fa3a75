//! Severe cold soon after a cut: a fresh wound has less hardiness than whole wood; and wood that is frozen.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::in_leaf::is_woody;
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, WeatherHold};
use crate::risk::DateRange;
use crate::units::{Celsius, CelsiusStep};
use crate::work::{Fall, WorkWeather};

/// A wound is most vulnerable for so many hours: severe cold in them holds every cut.
const FRESH_HOURS: i64 = 48;

/// Severe cold within so many days holds the hard cuts.
const HEALING_DAYS: i64 = 14;

/// A fall of the temperature that is sudden, in °F within [`FRESH_HOURS`] (estimate below the 50 to 60 °F of the source).
const SUDDEN_F: f64 = 40.0;

/// A night is severe up to so many °F above the lower edge of the hardiness zone (estimate).
const ABOVE_ZONE_F: f64 = 10.0;

/// Cold is severe only from a hard freeze on, in °F (National Weather Service).
const HARD_FREEZE_F: f64 = 28.0;

/// Days ahead in which the end of a hold is looked for.
const SEARCH_DAYS: i64 = 15;

const SOURCE: &str = "Penn State Extension, 2016 (a cut is most vulnerable for 48 hours and heals over two weeks; sudden \
                      falls do the harm); Cornell Cooperative Extension, Lake Ontario Fruit Program (the 10 to 14 days \
                      after the cut count); the limits are estimates";

const FROZEN_SOURCE: &str = "Virginia Cooperative Extension, 1993 (cut above freezing); University of Nevada Cooperative \
                             Extension (no harm to dormant trees): so only kinds that hold leaves or green canes wait";

/// What severe cold has to say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ColdFacts {
    /// The first severe night in the time that counts.
    pub severe: Option<Severe>,
    /// A sudden fall in the time that counts.
    pub fall: Option<SuddenFall>,
    /// The highest temperature of today, when it does not thaw and the wood is frozen.
    pub frozen: Option<Celsius>,
}

/// How soon after a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum After {
    /// In the first 48 hours.
    TwoDays,
    /// Later, within two weeks.
    TwoWeeks,
}

/// A severe night.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Severe {
    /// The date of its coldest hour.
    pub day: NaiveDate,
    /// The lowest temperature in the spot.
    pub lowest: Celsius,
    /// From what temperature down it is severe here.
    pub limit: Celsius,
    /// How soon after a cut made now.
    pub after: After,
}

/// A sudden fall of the temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SuddenFall {
    /// The date on which it has reached its bottom.
    pub day: NaiveDate,
    /// From what temperature.
    pub from: Celsius,
    /// Down to what.
    pub to: Celsius,
    /// How soon after a cut made now.
    pub after: After,
}

/// Holds cuts before severe cold: every cut for two days, the hard ones for two weeks.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let work = case.work?;
    if matches!(
        case.cut.cut_kind(),
        CutKind::Deadhead | CutKind::Pinch | CutKind::StormRepair
    ) {
        return None;
    }
    let facts = look(case, work, case.at);
    if facts.is_clear() {
        return None;
    }
    let only_frozen = facts.severe.is_none() && facts.fall.is_none();
    Some(Finding {
        stand: Stand::Hold {
            opens: opens(case, work),
        },
        facts: Facts::FreshCutCold(facts),
        source: if only_frozen { FROZEN_SOURCE } else { SOURCE }.to_owned(),
    })
}

impl After {
    fn of(span: TimeDelta) -> Self {
        if span < TimeDelta::hours(FRESH_HOURS) {
            Self::TwoDays
        } else {
            Self::TwoWeeks
        }
    }
}

impl ColdFacts {
    fn is_clear(&self) -> bool {
        self.severe.is_none() && self.fall.is_none() && self.frozen.is_none()
    }
}

/// What a cut at a moment would meet.
fn look(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> ColdFacts {
    let fresh_until = at + TimeDelta::hours(FRESH_HOURS);
    let until = if is_hard(case) {
        at + TimeDelta::days(HEALING_DAYS)
    } else {
        fresh_until
    };
    ColdFacts {
        severe: severe(case, work, (at, until)),
        fall: fall(work, (at, until)),
        frozen: frozen(case, work, at),
    }
}

/// Whether the cut goes into old wood.
fn is_hard(case: &Case<'_>) -> bool {
    match case.cut.cut_kind() {
        CutKind::Renewal | CutKind::LimbUp => true,
        CutKind::CutBack => is_woody(case),
        CutKind::Shear
        | CutKind::ThinningCut
        | CutKind::Deadhead
        | CutKind::Pinch
        | CutKind::StormRepair => false,
    }
}

type Span = (DateTime<Utc>, DateTime<Utc>);

/// The first day with a severe night; none where the zone is not known.
fn severe(case: &Case<'_>, work: &WorkWeather, (from, until): Span) -> Option<Severe> {
    let zone = case.climate?.hardiness_zone();
    let limit = limit(zone);
    let offset = case.cut.spot.offset;
    let days = days_of(from, until);
    let (at, lowest) = days
        .filter_map(|(start, end)| work.coldest(start, end.min(until)))
        .map(|(at, t)| (at, t + offset))
        .find(|(_, t)| *t <= limit)?;
    Some(Severe {
        day: work.date(at)?,
        lowest,
        limit,
        after: After::of(at - from),
    })
}

/// From what temperature down a night is severe in a zone: 10 °F above the lower edge of the zone (USDA map legend: zone
/// 7 begins at 0 °F, each is 10 °F wide), and never above a hard freeze.
fn limit(zone: f64) -> Celsius {
    let edge = (zone.floor() - 7.0) * 10.0;
    Celsius::from_fahrenheit((edge + ABOVE_ZONE_F).min(HARD_FREEZE_F))
}

/// The deepest sudden fall that ends in a hard freeze.
fn fall(work: &WorkWeather, (from, until): Span) -> Option<SuddenFall> {
    let window = TimeDelta::hours(FRESH_HOURS);
    let is_sudden = |fall: &Fall| {
        fall.depth() >= CelsiusStep::from_fahrenheit(SUDDEN_F)
            && fall.to <= Celsius::from_fahrenheit(HARD_FREEZE_F)
    };
    // Of the first two days and of the whole, since the deepest fall of all need not be the one that comes first.
    [(from, (from + window).min(until)), (from, until)]
        .into_iter()
        .find_map(|(start, end)| work.deepest_fall(start, end, window).filter(is_sudden))
        .map(|fall| SuddenFall {
            day: fall.on,
            from: fall.from,
            to: fall.to,
            after: After::of(fall.at - from),
        })
}

/// The maximum of the day, when it stays at or below freezing and the kind is not cut frozen.
fn frozen(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> Option<Celsius> {
    let holds = case.cut.kind.holds.contains(&WeatherHold::FrozenWood);
    let max = work.day(work.date(at)?)?.max?;
    (holds && max.degrees() <= 0.0).then_some(max)
}

/// The first day on which a cut would meet nothing of it, as far as two days beyond it are known.
fn opens(case: &Case<'_>, work: &WorkWeather) -> Option<DateRange> {
    let is_open = |days: &i64| {
        let at = case.at + TimeDelta::days(*days);
        work.coldest(
            at + TimeDelta::hours(FRESH_HOURS - 1),
            at + TimeDelta::hours(FRESH_HOURS),
        )
        .is_some()
            && look(case, work, at).is_clear()
    };
    let days = (1..=SEARCH_DAYS).find(is_open)?;
    let day = work.date(case.at + TimeDelta::days(days))?;
    Some(DateRange { from: day, to: day })
}

/// Spans of 24 hours from one instant to another.
fn days_of(from: DateTime<Utc>, until: DateTime<Utc>) -> impl Iterator<Item = Span> {
    let day = TimeDelta::days(1);
    std::iter::successors(Some(from), move |start| Some(*start + day))
        .take_while(move |start| *start < until)
        .map(move |start| (start, start + day))
}
