//! From forecast and climate to the set of futures.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::blend::{Blend, future_days};
use super::skill::Skill;
use super::templates::{Template, steady_levels, templates};
use super::{Basis, Bound, CUT_DAYS, Future, Missing, Outlook, TAIL_DAYS};
use crate::climate::{Climate, Normals, Season};
use crate::forecast::{Extremes, Forecast, ForecastDay, Freshness, local_days};
use crate::garden::Place;
use crate::units::{Celsius, CelsiusStep, count};

/// By how many kelvin the air cools with each metre of height, for a forecast that speaks of another height.
///
/// Source: ICAO standard atmosphere, Doc 7488, 1993: 6.5 K per km.
const COOLING_PER_METRE: f64 = 0.0065;

/// The spread of night minima about their normal where no record tells it; 2 to 4.5 K over a dozen stations in
/// spring and autumn (own evaluation; estimate).
const SPREAD_UNKNOWN: f64 = 4.0;

/// All that an outlook is made of.
#[derive(Debug, Clone, Copy)]
pub struct Inputs<'a> {
    /// The moment.
    pub now: DateTime<Utc>,
    /// Where.
    pub place: &'a Place,
    /// What the place usually does.
    pub climate: Option<&'a Climate>,
    /// The newest forecast.
    pub forecast: Option<&'a Forecast>,
    /// How far the forecast can be trusted.
    pub skill: &'a Skill,
    /// How old a forecast may be and still release a cut.
    pub fresh_for: TimeDelta,
}

impl Outlook {
    /// The futures from today on.
    ///
    /// With a climate they reach over a whole year. Without one they reach as far as the forecast, each at a steady
    /// distance from it, so that the chance of one cold night among several is not overstated: what comes after is
    /// not known, and a chance summed over them is a lower bound.
    pub fn of(inputs: &Inputs<'_>) -> Self {
        let guidance = Guidance::of(inputs);
        match inputs.climate {
            Some(climate) => guidance.with_past_years(climate, inputs.skill),
            None => guidance.alone(inputs.skill),
        }
    }
}

/// The forecast as days from today on, fitted to the place.
struct Guidance {
    today: NaiveDate,
    days: BTreeMap<NaiveDate, ForecastDay>,
    /// Days since the data were made: each lead is so much longer.
    age_days: usize,
    lift: CelsiusStep,
    warm_bias: CelsiusStep,
    members: usize,
    forecast_from: Option<String>,
    forecast_age_hours: Option<i64>,
    missing: Vec<Missing>,
}

impl Guidance {
    fn of(inputs: &Inputs<'_>) -> Self {
        let today = inputs.place.zone.date(inputs.now);
        let mut missing = Vec::new();
        let usable = inputs.forecast.filter(|forecast| {
            match forecast.freshness(inputs.now, inputs.fresh_for) {
                Freshness::Fresh => true,
                Freshness::Stale => {
                    missing.push(Missing::FreshForecast {
                        age_hours: forecast.age(inputs.now).num_hours(),
                    });
                    true
                }
                Freshness::Expired => false,
            }
        });
        let days = usable.map_or_else(BTreeMap::new, |forecast| {
            local_days(forecast, &inputs.place.zone)
        });
        if usable.is_none() {
            missing.push(Missing::Forecast);
        } else if !today
            .succ_opt()
            .and_then(|night| days.get(&night))
            .is_some_and(ForecastDay::is_known)
        {
            missing.push(Missing::ForecastNights);
        }
        if inputs.climate.is_none() {
            missing.push(Missing::History);
        }
        Self {
            today,
            days,
            age_days: usable.map_or(0, |f| {
                usize::try_from(f.age(inputs.now).num_days()).unwrap_or(0)
            }),
            lift: usable.map_or(CelsiusStep::default(), |forecast| {
                lift(forecast, inputs.place)
            }),
            warm_bias: inputs.skill.warm_bias,
            members: usable.map_or(0, |forecast| forecast.members.len().max(1)),
            forecast_from: usable.map(|forecast| forecast.attribution.clone()),
            forecast_age_hours: usable.map(|forecast| forecast.age(inputs.now).num_hours()),
            missing,
        }
    }

    /// The lead of a day, its data's age included; today's own lead counts as the first.
    fn lead(&self, index: usize) -> usize {
        (index + self.age_days).max(1)
    }

    fn date(&self, index: usize) -> NaiveDate {
        u64::try_from(index)
            .ok()
            .and_then(|days| self.today.checked_add_days(chrono::Days::new(days)))
            .unwrap_or(self.today)
    }

    /// The temperatures that each member gives for a day: of an ensemble its members, else the single run.
    fn temperatures(
        &self,
        index: usize,
        pick: fn(&Extremes) -> Celsius,
        correction: CelsiusStep,
    ) -> Vec<Option<Celsius>> {
        let Some(day) = self.days.get(&self.date(index)) else {
            return Vec::new();
        };
        let fitted = |extremes: &Option<Extremes>| extremes.as_ref().map(|e| pick(e) + correction);
        if day.members.iter().flatten().count() > 1 {
            day.members.iter().map(fitted).collect()
        } else {
            vec![fitted(&day.run)]
        }
    }

    fn night(&self, index: usize) -> Vec<Option<Celsius>> {
        self.temperatures(index, |(min, _)| *min, self.lift - self.warm_bias)
    }

    fn noon(&self, index: usize) -> Vec<Option<Celsius>> {
        self.temperatures(index, |(_, max)| *max, self.lift)
    }

    fn with_past_years(self, climate: &Climate, skill: &Skill) -> Outlook {
        let horizon = CUT_DAYS + TAIL_DAYS;
        let leads = skill.correlation.len();
        let normals = |season: &Season| -> Vec<Normals> {
            (0..horizon).map(|i| season.normals(self.date(i))).collect()
        };
        let (min_normals, max_normals) = (normals(&climate.min), normals(&climate.max));
        let blends = |normals: &[Normals],
                      values: &dyn Fn(usize) -> Vec<Option<Celsius>>|
         -> Vec<Option<Blend>> {
            let days = normals.iter().enumerate().take(leads + 1);
            days.map(|(i, normals)| Blend::of(&values(i), normals, skill, self.lead(i)))
                .collect()
        };
        let nights = blends(&min_normals, &|i| self.night(i));
        let noons = blends(&max_normals, &|i| self.noon(i));
        let future = |template: &Template| {
            let past = |season: &Season| -> Vec<f64> {
                season
                    .past(template.year, self.today, template.shift)
                    .take(horizon)
                    .collect()
            };
            let min = future_days(&nights, &past(&climate.min), &min_normals, template.member);
            let max = future_days(&noons, &past(&climate.max), &max_normals, template.member);
            Future::of(min, &max)
        };
        let futures: Vec<Future> = templates(climate.years, self.members)
            .iter()
            .map(future)
            .collect();
        let forecast_days = nights.iter().skip(1).flatten().count();
        self.outlook(futures, Some(climate), forecast_days)
    }

    fn alone(self, skill: &Skill) -> Outlook {
        let mean = |values: Vec<Option<Celsius>>| {
            let known: Vec<f64> = values.into_iter().flatten().map(Celsius::degrees).collect();
            (!known.is_empty()).then(|| known.iter().sum::<f64>() / count(known.len()))
        };
        let day = |index: usize| {
            let r = skill.correlation_at(self.lead(index))?;
            Some((
                mean(self.night(index))?,
                mean(self.noon(index))?,
                SPREAD_UNKNOWN * (1.0 - r * r).sqrt(),
            ))
        };
        // The day that is running may have lost its first hours; the nights to come start tomorrow.
        let days: Vec<_> = (1..).map_while(day).collect();
        let first = day(0).or_else(|| days.first().copied());
        let future = |level: f64| {
            let of = |pick: fn(&(f64, f64, f64)) -> f64| -> Vec<Celsius> {
                first
                    .iter()
                    .chain(&days)
                    .map(|day| Celsius::new(pick(day) + level * day.2))
                    .collect()
            };
            Future::of(of(|day| day.0), &of(|day| day.1))
        };
        let futures = if days.is_empty() {
            Vec::new()
        } else {
            steady_levels().into_iter().map(future).collect()
        };
        let forecast_days = days.len();
        self.outlook(futures, None, forecast_days)
    }

    fn outlook(
        self,
        futures: Vec<Future>,
        climate: Option<&Climate>,
        forecast_days: usize,
    ) -> Outlook {
        let bound = if climate.is_some() {
            Bound::Whole
        } else {
            Bound::AtLeast
        };
        let basis = Basis {
            today: self.today,
            futures: futures.len(),
            years: climate.map_or(0, |climate| climate.years),
            members: self.members,
            forecast_days,
            forecast_from: self.forecast_from,
            forecast_age_hours: self.forecast_age_hours,
            record_from: climate.map(Climate::title),
            missing: self.missing,
        };
        Outlook {
            basis,
            bound,
            futures,
        }
    }
}

/// What the place's height adds to temperatures that speak of another height.
fn lift(forecast: &Forecast, place: &Place) -> CelsiusStep {
    match (forecast.elevation, place.elevation) {
        (Some(theirs), Some(ours)) => CelsiusStep::new((theirs.0 - ours.0) * COOLING_PER_METRE),
        (None, _) | (_, None) => CelsiusStep::default(),
    }
}
