//! Heat, bright sun and drought: new light on old leaves burns them, and a dry plant cannot mend.

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::in_leaf::{is_in_leaf, is_woody, wounds};
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, WeatherHold};
use crate::garden::Mark;
use crate::risk::DateRange;
use crate::units::{Celsius, Millimetres};
use crate::work::{WaterBalance, WorkWeather};

/// Today and the days after it whose maxima count.
const HOT_DAYS: usize = 4;

/// Kinds that scald are not cut before days as hot as this, in °F.
const SENSITIVE_F: f64 = 90.0;

/// No kind is sheared or cut hard before days as hot as this, in °F (estimate).
const ANY_F: f64 = 95.0;

/// So many days without a good rain may be a drought (estimate).
const DRY_DAYS: usize = 14;

/// A good rain: half an inch in a day, in mm (estimate).
const GOOD_RAIN: f64 = 12.7;

/// It is a drought when the air took so much more than rain gave over the dry days, in mm: an inch, half of what a
/// garden is watered in that time (estimate).
const DEFICIT: f64 = 25.4;

/// Bright sun scorches from a day this warm on, in °F (estimate).
const SCORCH_F: f64 = 68.0;

/// From this share of covered sky on a day is dull (estimate).
const DULL: f64 = 0.6;

/// Days ahead that are looked through for dull ones.
const WEEK: usize = 7;

/// Days ahead in which the end of a hold is looked for.
const SEARCH_DAYS: u64 = 15;

const SOURCE: &str = "pieris that burnt when sheared before four days of 90 °F (garden record, Portland, Oregon, 2010); \
                      no hard cuts in hot dry weather (Craven County Master Gardeners, North Carolina, 2016); yew \
                      scorches when cut in bright sun (British hedge practice); other limits are estimates";

/// What heat, sun and drought have to say.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HeatFacts {
    /// The hottest of the next days, when it is too hot.
    pub hot: Option<HotDay>,
    /// A drought, when there is one and nobody waters.
    pub drought: Option<Drought>,
    /// The dull days of the coming week, when the kind scorches in bright sun and today is bright.
    pub dull: Option<Vec<NaiveDate>>,
}

/// A day that is too hot to cut before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HotDay {
    /// The day.
    pub day: NaiveDate,
    /// Its highest temperature.
    pub max: Celsius,
    /// From what temperature on it is too hot.
    pub limit: Celsius,
}

/// A drought.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Drought {
    /// The last day with a good rain, where it is known.
    pub last_rain: Option<NaiveDate>,
    /// What rain gave and the air took over the days that count.
    pub balance: WaterBalance,
}

/// Holds leafy cuts in heat and drought, and names dull days to those who cut what scorches.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let work = case.work?;
    if !wounds(case.cut.cut_kind()) || !is_in_leaf(case) {
        return None;
    }
    let facts = HeatFacts {
        hot: limit(case).and_then(|limit| hot_day(work, case.today, limit)),
        drought: drought(case, work),
        dull: dull(case, work),
    };
    let stand = if facts.hot.is_some() || facts.drought.is_some() {
        Stand::Hold {
            opens: opens(case, work, &facts),
        }
    } else if facts.dull.is_some() {
        Stand::Clear { until: None }
    } else {
        return None;
    };
    Some(Finding {
        stand,
        facts: Facts::Heat(facts),
        source: SOURCE.to_owned(),
    })
}

fn has(case: &Case<'_>, hold: WeatherHold) -> bool {
    case.cut.kind.holds.contains(&hold)
}

/// From what temperature on it is too hot for the cut; none when heat is no matter to it.
fn limit(case: &Case<'_>) -> Option<Celsius> {
    let sensitive = has(case, WeatherHold::Heat) || has(case, WeatherHold::BrightSun);
    let takes_much = matches!(case.cut.cut_kind(), CutKind::Shear | CutKind::Renewal);
    if sensitive {
        Some(Celsius::from_fahrenheit(SENSITIVE_F))
    } else if takes_much && is_woody(case) {
        Some(Celsius::from_fahrenheit(ANY_F))
    } else {
        None
    }
}

/// The hottest day of those that count from a date on, when it reaches the limit.
fn hot_day(work: &WorkWeather, from: NaiveDate, limit: Celsius) -> Option<HotDay> {
    work.days_from(from, HOT_DAYS)
        .filter_map(|day| Some((day.date, day.max?)))
        .filter(|(_, max)| *max >= limit)
        .max_by(|(_, a), (_, b)| a.degrees().total_cmp(&b.degrees()))
        .map(|(day, max)| HotDay { day, max, limit })
}

fn drought(case: &Case<'_>, work: &WorkWeather) -> Option<Drought> {
    let matters = has(case, WeatherHold::Drought) || case.cut.cut_kind() == CutKind::Renewal;
    if !matters || !is_woody(case) || case.cut.facts.is(Mark::Watered) {
        return None;
    }
    let balance = work.balance(DRY_DAYS)?;
    let good = |rain: Option<Millimetres>| rain.is_some_and(|rain| rain.0 >= GOOD_RAIN);
    let before = |date: NaiveDate| work.days.iter().rev().filter(move |day| day.date < date);
    let last_rain = before(case.today)
        .find(|day| good(day.rain))
        .map(|day| day.date);
    let first = before(case.today).nth(DRY_DAYS - 1)?.date;
    let dry = last_rain.is_none_or(|day| day < first) && balance.deficit().0 >= DEFICIT;
    // A good rain that has begun today ends it.
    let over = work.day(case.today).is_some_and(|day| good(day.rain));
    (dry && !over).then_some(Drought { last_rain, balance })
}

/// The dull days of the week, for a kind that scorches, on a bright warm day.
fn dull(case: &Case<'_>, work: &WorkWeather) -> Option<Vec<NaiveDate>> {
    let today = work.day(case.today)?;
    let warm = today.max? >= Celsius::from_fahrenheit(SCORCH_F);
    let bright = today.cloud? < DULL;
    if !has(case, WeatherHold::BrightSun) || !warm || !bright {
        return None;
    }
    let week = work.days_from(case.today, WEEK);
    let dull = week.filter(|day| day.cloud.is_some_and(|cloud| cloud >= DULL));
    Some(dull.map(|day| day.date).collect())
}

/// The first day on which neither heat nor drought is left, as far as the forecast reaches.
fn opens(case: &Case<'_>, work: &WorkWeather, facts: &HeatFacts) -> Option<DateRange> {
    let days = (1..=SEARCH_DAYS).filter_map(|n| case.today.checked_add_days(Days::new(n)));
    let cool = |day: NaiveDate| {
        let known = work
            .days_from(day, HOT_DAYS)
            .filter(|day| day.max.is_some())
            .count();
        known == HOT_DAYS && limit(case).is_none_or(|limit| hot_day(work, day, limit).is_none())
    };
    let rained = |day: NaiveDate| {
        let rain = |date| work.day(date).and_then(|day| day.rain);
        let until = case
            .today
            .iter_days()
            .skip(1)
            .take_while(|date| *date < day);
        until.filter_map(rain).any(|rain| rain.0 >= GOOD_RAIN)
    };
    let mut open = days.filter(|day| cool(*day) && (facts.drought.is_none() || rained(*day)));
    open.next().map(|day| DateRange { from: day, to: day })
}
