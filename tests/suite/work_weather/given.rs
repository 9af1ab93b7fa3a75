//! Given weather and given cuts for the tests of the rules.

use std::sync::{Arc, LazyLock};

use budward::almanac::{CutKind, Disease, Kind, WeatherHold, embedded};
use budward::climate::{Climate, read_record};
use budward::forecast::{Condition, Conditions};
use budward::garden::{Hemisphere, Mark, Place, PlannedCut, Planting, Spot, Zone};
use budward::locale::Locale;
use budward::message::words;
use budward::rules::{Case, Facts, Finding, Stand, findings};
use budward::units::{Celsius, CelsiusStep, Chance, Metres, MetresPerSecond, UnitSystem};
use budward::work::WorkWeather;
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use crate::support::{Quiet, project};

/// Days before and after today that the given weather has.
pub(super) const BACK: i64 = 31;
pub(super) const AHEAD: i64 = 16;

/// An invented place at 40° north, whose clock is UTC all year and whose noon is about 12:00.
pub(super) fn place() -> Place {
    Place::new(40.0, 0.0, Some(Metres(100.0)), Zone::utc()).unwrap()
}

/// Weather by the hour about a moment, to be changed hour by hour.
pub(crate) struct Weather {
    pub(super) now: DateTime<Utc>,
    pub(super) conditions: Conditions,
}

impl Weather {
    /// Calm, dry, half cloudy: from 50 °F at night to 68 °F by day, at 08:00 on a day of 2027.
    pub(super) fn mild(month: u32, day: u32) -> Self {
        let date = NaiveDate::from_ymd_opt(2027, month, day).unwrap();
        let now = date.and_hms_opt(8, 0, 0).unwrap().and_utc();
        let start = date.and_hms_opt(0, 0, 0).unwrap().and_utc() - TimeDelta::days(BACK);
        let hours = (0..(BACK + AHEAD) * 24).map(|hour| {
            let of_day = (hour % 24) as f64;
            let sun = ((of_day + 0.5 - 6.0) / 12.0 * std::f64::consts::PI).sin();
            Condition {
                temperature: Some(air(hour, 50.0, 68.0)),
                dew_point: Some(Celsius::from_fahrenheit(40.0)),
                rain_mm: Some(0.0),
                wind: Some(MetresPerSecond(2.0)),
                gust: Some(MetresPerSecond(4.0)),
                cloud: Some(0.7),
                radiation_w_m2: Some(500.0 * sun.max(0.0)),
                thunder: Some(false),
            }
        });
        Self {
            now,
            conditions: Conditions {
                start,
                hours: hours.collect(),
            },
        }
    }

    /// Changes every hour of so many days from one on; day 0 is today.
    pub(super) fn on(
        mut self,
        days: std::ops::Range<i64>,
        change: impl Fn(&mut Condition),
    ) -> Self {
        for day in days {
            let first = usize::try_from((BACK + day) * 24).unwrap();
            self.conditions.hours[first..first + 24]
                .iter_mut()
                .for_each(&change);
        }
        self
    }

    /// Changes so many hours from one on, counted from now.
    pub(super) fn hours_from_now(
        mut self,
        hours: std::ops::Range<i64>,
        change: impl Fn(&mut Condition),
    ) -> Self {
        let now = (self.now - self.conditions.start).num_hours();
        for hour in hours {
            let at = usize::try_from(now + hour).unwrap();
            change(&mut self.conditions.hours[at]);
        }
        self
    }

    /// The same weather with other highs and lows, in °F.
    pub(super) fn warmed(mut self, days: std::ops::Range<i64>, low: f64, high: f64) -> Self {
        for hour in days.start * 24..days.end * 24 {
            let at = usize::try_from(BACK * 24 + hour).unwrap();
            let air = air(hour, low, high);
            let condition = &mut self.conditions.hours[at];
            condition.temperature = Some(air);
            condition.dew_point = Some(air - CelsiusStep::new(8.0));
        }
        self
    }

    pub(super) fn work(&self) -> WorkWeather {
        WorkWeather::of(&self.conditions, &place(), self.now)
    }

    pub(super) fn today(&self) -> NaiveDate {
        self.now.date_naive()
    }

    pub(super) fn day(&self, days: u64) -> NaiveDate {
        self.today() + Days::new(days)
    }
}

/// A wave from the low at 04:00 to the high at 16:00, in °F.
fn air(hour: i64, low: f64, high: f64) -> Celsius {
    let wave = ((hour.rem_euclid(24) - 4) as f64 / 24.0 * std::f64::consts::TAU).cos();
    Celsius::from_fahrenheit(f64::midpoint(low, high) - (high - low) / 2.0 * wave)
}

/// Rain of so many mm in each hour, with damp air.
pub(super) fn rain(mm: f64) -> impl Fn(&mut Condition) {
    move |hour| {
        hour.rain_mm = Some(mm);
        hour.dew_point = hour.temperature;
    }
}

/// A kind of the almanac with other holds and diseases.
pub(super) fn kind(id: &str, holds: &[WeatherHold], diseases: &[Disease]) -> Kind {
    let almanac = embedded().unwrap();
    let mut kind = Kind::clone(almanac.kind(id).unwrap());
    kind.holds = holds.to_vec();
    kind.diseases = diseases.to_vec();
    kind
}

/// A planned cut of a kind; of a cut that its row does not have, another of its cuts under that name.
pub(super) fn planned(kind: Kind, cut: CutKind, marks: &[Mark]) -> PlannedCut {
    let mut of_kind = kind.cut(cut).unwrap_or(&kind.cuts[0]).clone();
    Arc::make_mut(&mut of_kind).cut = cut;
    let facts = Planting {
        marks: marks.iter().copied().collect(),
        ..Planting::named("the planting")
    };
    PlannedCut {
        name: format!("planting-{}", cut.name()),
        planting: "the planting".to_owned(),
        facts: Arc::new(facts),
        kind: Arc::new(kind),
        cut: of_kind,
        spot: Spot {
            name: "the place itself".to_owned(),
            offset: CelsiusStep::new(0.0),
            doubt: CelsiusStep::new(1.0),
        },
        wished: None,
        tolerance: Chance::of(0.1),
    }
}

/// A climate of zone 7: its coldest nights have 5 °F in the mean.
pub(super) fn zone_7() -> &'static Climate {
    static ZONE_7: LazyLock<Climate> = LazyLock::new(read_zone_7);
    &ZONE_7
}

fn read_zone_7() -> Climate {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let record = read_record(&std::fs::read_to_string(file).unwrap(), "record").unwrap();
    Climate {
        yearly_minimum: Celsius::from_fahrenheit(5.0),
        ..Climate::of(&record).unwrap()
    }
}

/// What the rules find on a cut in given weather; without weather the forecast has temperatures alone.
pub(super) fn found(
    cut: &PlannedCut,
    weather: &Weather,
    climate: Option<&Climate>,
) -> Vec<Finding> {
    let work = weather.work();
    found_with(cut, weather, (climate, Some(&work)))
}

pub(super) fn found_with(
    cut: &PlannedCut,
    weather: &Weather,
    (climate, work): (Option<&Climate>, Option<&WorkWeather>),
) -> Vec<Finding> {
    let today = weather.today();
    let events = Quiet::events(cut, today, climate, Hemisphere::North);
    findings(&Case {
        at: weather.now,
        climate,
        work,
        ..Quiet::new().case(cut, &events, today)
    })
}

/// The finding of one rule.
pub(super) fn of_rule(findings: &[Finding], is: fn(&Facts) -> bool) -> Option<&Finding> {
    findings.iter().find(|finding| is(&finding.facts))
}

pub(super) fn holds(finding: Option<&Finding>) -> bool {
    finding.is_some_and(|finding| matches!(finding.stand, Stand::Hold { .. }))
}

/// When a finding that holds says that it ends.
pub(super) fn opens(finding: Option<&Finding>) -> Option<NaiveDate> {
    finding.unwrap().stand.opens().map(|range| range.from)
}

/// What a keeper reads of it, in U.S. units.
pub(super) fn said(finding: &Finding, weather: &Weather) -> String {
    words::reason(finding, weather.today(), Locale::english(UnitSystem::Us))
}
