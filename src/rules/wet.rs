//! Wet leaves and the weather in which diseases get into fresh cuts.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::in_leaf::{holds_today, is_in_leaf, wounds};
use super::season::span;
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{Anchor, Disease, Event, WeatherHold};
use crate::risk::DateRange;
use crate::science::infection::{APPLE_FLOWER, Infection, boxwood_blight, fire_blight};
use crate::science::wetness;
use crate::units::{Celsius, Millimetres};
use crate::work::{Half, WaterBalance, WetSpell, WorkWeather};

/// A spell of the last day may have brought spores onto the leaves.
const BEFORE_HOURS: i64 = 24;

/// A cut is open to infection for so long (estimate; 48 h is the dry time that the sources ask for).
const AFTER_HOURS: i64 = 48;

/// Boxwood blight develops from so many °F on (BASF, about 2012) and stops above the second (AGES, Austria: 30 °C, with
/// the margin of the suggested rule).
const BLIGHT_F: (f64, f64) = (50.0, 82.0);

/// So much rain in two days counts as rain, in mm (estimate: less dries off within the hour).
const RAIN: f64 = 1.0;

/// Up to this mean a wet spell is cool, in °F (estimate).
const COOL_F: f64 = 65.0;

/// The days whose water balance tells a dry time from a wet one.
const MONTH: usize = 30;

/// A month is dry with less rain than this and a larger deficit than the second, in mm: one inch, three inches (estimate).
const DRY_MONTH: (f64, f64) = (25.4, 76.2);

/// Days ahead in which the end of a hold is looked for.
const SEARCH_DAYS: i64 = 14;

const BLIGHT_SOURCE: &str = "Virginia Cooperative Extension, boxwood blight task force (most active at 64 to 77 °F, five to \
                             eight wet hours infect); Kodati et al., Connecticut Agricultural Experiment Station (steepest \
                             rise from twelve hours); AGES, Austria; BASF (from 50 °F)";
const PRESSURE_SOURCE: &str = "common practice, no source; what counts as dry is an estimate";
const FIRE_BLIGHT_SOURCE: &str =
    "Steiner, Acta Horticulturae 273, 1990 (warmth, wet flowers and a mean of 60 °F together)";
const RAIN_SOURCE: &str = "Colorado State University Extension, 2015 (a dry day with no rain due for 48 hours), written for \
                           fire blight; for other diseases common practice, no source";
const LEAVES_SOURCE: &str =
    "Virginia Cooperative Extension (cut dry leaves only); the hours are an estimate";

/// What wet weather has to say.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct WetFacts {
    /// The worst wet spell that would let boxwood blight in.
    pub blight: Option<BlightSpell>,
    /// The day on which open flowers would be infected with fire blight.
    pub blossom: Option<BlossomBlight>,
    /// Rain before the cut is dry.
    pub rain: Option<RainAhead>,
    /// Leaves that are wet now.
    pub leaves: Option<WetLeaves>,
    /// The balance of a month so dry that boxwood blight has little to live on.
    pub dry_month: Option<WaterBalance>,
}

/// A wet spell that would let boxwood blight in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BlightSpell {
    /// The spell.
    pub spell: WetSpell,
    /// Whether it has begun already.
    pub begun: bool,
}

/// A day on which open flowers would be infected with fire blight.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BlossomBlight {
    /// The day.
    pub day: NaiveDate,
    /// Its mean temperature.
    pub mean: Celsius,
    /// Warmth for the bacteria, as a share of what they need.
    pub growth: f64,
}

/// Rain within two days of the cut.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RainAhead {
    /// How much.
    pub amount: Millimetres,
    /// Why the cut has to stay dry.
    pub why: WhyDry,
}

/// Why a cut has to stay dry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WhyDry {
    /// Rain splashes boxwood blight about at these temperatures.
    BoxwoodBlight,
    /// The kind's wounds take in disease with rain.
    Wounds,
    /// New leaves are soft and the spell is cool.
    SoftLeaves,
}

/// Leaves that are wet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WetLeaves {
    /// The first half-day of the week in which they are dry.
    pub dry: Option<(NaiveDate, Half)>,
}

/// Holds cuts that wet weather would infect.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let work = case.work?;
    if !wounds(case.cut.cut_kind()) {
        return None;
    }
    let mut facts = look(case, work, case.at);
    facts.leaves = leaves(case, work);
    facts.dry_month = dry_month(case, work).filter(|_| !facts.holds(case));
    if facts == WetFacts::default() {
        return None;
    }
    let stand = if facts.holds(case) {
        Stand::Hold {
            opens: opens(case, work, &facts),
        }
    } else {
        Stand::Clear { until: None }
    };
    Some(Finding {
        stand,
        source: source(&facts),
        facts: Facts::Wetness(facts),
    })
}

impl WetFacts {
    fn holds(&self, case: &Case<'_>) -> bool {
        self.infects() || self.leaves.is_some_and(|leaves| !leaves.dry_today(case))
    }

    fn infects(&self) -> bool {
        self.blight.is_some() || self.blossom.is_some() || self.rain.is_some()
    }
}

impl WetLeaves {
    fn dry_today(self, case: &Case<'_>) -> bool {
        self.dry.is_some_and(|(day, _)| day == case.today)
    }
}

fn source(facts: &WetFacts) -> String {
    let blight = facts.blight.is_some()
        || facts
            .rain
            .is_some_and(|rain| rain.why == WhyDry::BoxwoodBlight);
    let rain = facts
        .rain
        .is_some_and(|rain| rain.why != WhyDry::BoxwoodBlight);
    let named = [
        (blight, BLIGHT_SOURCE),
        (facts.blossom.is_some(), FIRE_BLIGHT_SOURCE),
        (rain, RAIN_SOURCE),
        (facts.leaves.is_some(), LEAVES_SOURCE),
        (facts.dry_month.is_some(), PRESSURE_SOURCE),
    ];
    let named: Vec<&str> = named
        .into_iter()
        .filter(|(is, _)| *is)
        .map(|(_, name)| name)
        .collect();
    named.join("; ")
}

fn has(case: &Case<'_>, hold: WeatherHold) -> bool {
    case.cut.kind.holds.contains(&hold)
}

fn takes(case: &Case<'_>, disease: Disease) -> bool {
    case.cut.kind.diseases.contains(&disease)
}

/// What a cut at a moment would meet of disease.
fn look(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> WetFacts {
    WetFacts {
        blight: blight(case, work, at),
        blossom: blossom(case, work, at),
        rain: rain(case, work, at),
        ..WetFacts::default()
    }
}

/// The longest spell that would infect: with rain in it from five hours on, of dew alone from twelve.
///
/// Dew of five hours falls on most summer nights; were that enough, boxwood could hardly ever be cut (estimate).
fn blight(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> Option<BlightSpell> {
    if !takes(case, Disease::BoxwoodBlight) {
        return None;
    }
    let (from, to) = around(at);
    let infects = |spell: &WetSpell| {
        let Some(mean) = spell.mean.filter(|mean| is_blight_weather(*mean)) else {
            return false;
        };
        let infection = boxwood_blight(&wetness::WetSpell {
            start: 0,
            hours: spell.hours,
            mean,
        });
        match infection {
            Infection::None => false,
            Infection::Possible => spell.rain.0 >= RAIN,
            Infection::Likely => true,
        }
    };
    let spells = work.wet_spells(from, to).into_iter().filter(infects);
    spells
        .max_by_key(|spell| spell.hours)
        .map(|spell| BlightSpell {
            spell,
            begun: spell.from <= at,
        })
}

fn is_blight_weather(mean: Celsius) -> bool {
    (BLIGHT_F.0..=BLIGHT_F.1).contains(&mean.fahrenheit())
}

fn around(at: DateTime<Utc>) -> (DateTime<Utc>, DateTime<Utc>) {
    (at - TimeDelta::hours(BEFORE_HOURS), after(at))
}

fn after(at: DateTime<Utc>) -> DateTime<Utc> {
    at + TimeDelta::hours(AFTER_HOURS)
}

/// The first day from the day before to the second day after on which open flowers are infected.
fn blossom(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> Option<BlossomBlight> {
    let is_host = takes(case, Disease::FireBlight) || has(case, WeatherHold::FireBlightWeather);
    if !is_host {
        return None;
    }
    let day = |event| Anchor { event, days: 0 };
    let bloom = span(case, day(Event::BloomBegin), day(Event::BloomEnd))?;
    let date = work.date(at)?;
    let known_from = work.days.iter().find(|day| day.mean.is_some())?.date;
    let first = bloom.from.max(known_from);
    let last = work.date(after(at))?.min(bloom.to);
    let days = date.pred_opt()?.iter_days().take_while(|day| *day <= last);
    days.filter(|day| *day >= first).find_map(|day| {
        let found = fire_blight(&work.blossom_days(first, day)?, APPLE_FLOWER)?;
        found.infects().then_some(BlossomBlight {
            day,
            mean: found.mean,
            growth: found.growth,
        })
    })
}

fn rain(case: &Case<'_>, work: &WorkWeather, at: DateTime<Utc>) -> Option<RainAhead> {
    let amount = work.rain(at, after(at)).filter(|rain| rain.0 >= RAIN)?;
    let mean = work.mean(at, after(at));
    // What takes boxwood blight has to stay dry for its sake, and in the cold that sleeps; fire blight sleeps in winter.
    let takes_blight = takes(case, Disease::BoxwoodBlight);
    let blight = takes_blight && mean.is_some_and(is_blight_weather);
    let soft = || {
        has(case, WeatherHold::CoolWetFlush)
            && holds_today(case, Event::BudBreak, Event::FlushEnd) == Some(true)
            && mean.is_some_and(|mean| mean.fahrenheit() <= COOL_F)
    };
    let why = if blight {
        WhyDry::BoxwoodBlight
    } else if has(case, WeatherHold::Rain48h) && !takes_blight && !fire_blight_sleeps(case) {
        WhyDry::Wounds
    } else if soft() {
        WhyDry::SoftLeaves
    } else {
        return None;
    };
    Some(RainAhead { amount, why })
}

/// Whether fire blight is all that the kind has to fear of rain, and it bears no leaves (Illinois Extension: no need of
/// care in dormancy). Cankers and silver leaf get in through wet wounds in winter too.
fn fire_blight_sleeps(case: &Case<'_>) -> bool {
    let in_winter = [
        Disease::Canker,
        Disease::BacterialCanker,
        Disease::SilverLeaf,
    ];
    takes(case, Disease::FireBlight)
        && !in_winter.into_iter().any(|disease| takes(case, disease))
        && !is_in_leaf(case)
}

/// Whether leaves are wet in the half-day that is on or next, and when they are dry; none when they are dry or do not
/// matter.
fn leaves(case: &Case<'_>, work: &WorkWeather) -> Option<WetLeaves> {
    let matters = has(case, WeatherHold::WetFoliage) || takes(case, Disease::BoxwoodBlight);
    if !matters || !is_in_leaf(case) {
        return None;
    }
    let mut halves = work.half_days.iter();
    let is_dry = |half: &crate::work::HalfDay| half.leaves_dry();
    let next = halves.next().filter(|half| half.date == case.today)?;
    if is_dry(next)? {
        return None;
    }
    let dry = halves.find(|half| is_dry(half) == Some(true));
    Some(WetLeaves {
        dry: dry.map(|half| (half.date, half.half)),
    })
}

/// A dry month lowers the pressure of boxwood blight.
fn dry_month(case: &Case<'_>, work: &WorkWeather) -> Option<WaterBalance> {
    if !takes(case, Disease::BoxwoodBlight) {
        return None;
    }
    work.balance(MONTH)
        .filter(|month| month.rain.0 < DRY_MONTH.0 && month.deficit().0 > DRY_MONTH.1)
}

/// The first day on which a cut would meet nothing of it, as far as the two days after it are known.
fn opens(case: &Case<'_>, work: &WorkWeather, facts: &WetFacts) -> Option<DateRange> {
    let free = |days: &i64| {
        let at = case.at + TimeDelta::days(*days);
        work.rain(at, after(at)).is_some()
            && work.knows_wetness(at, after(at))
            && !look(case, work, at).infects()
    };
    let of_disease = if facts.infects() {
        let days = (1..=SEARCH_DAYS).find(free)?;
        work.date(case.at + TimeDelta::days(days))?
    } else {
        case.today
    };
    let of_leaves = match facts.leaves {
        Some(leaves) => leaves.dry?.0,
        None => case.today,
    };
    let day = of_disease.max(of_leaves);
    Some(DateRange { from: day, to: day })
}
