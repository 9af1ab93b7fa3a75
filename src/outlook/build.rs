//! The outlook of a garden from a forecast as it was received.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::daily::Daily;
use super::leaf::colder_than_usual;
use super::skill::Skill;
use super::{Basis, Bound, Horizon, Missing, Outlook};
use crate::climate::Climate;
use crate::forecast::{Forecast, Freshness, local_days};
use crate::garden::Place;
use crate::units::{CelsiusStep, Metres};

/// By how many kelvin the air cools with each metre of height, for a forecast that speaks of another height.
///
/// Source: ICAO standard atmosphere, Doc 7488, 1993: 6.5 K per km.
const COOLING_PER_METRE: f64 = 0.0065;

/// So many coming nights are looked at for how their leaves differ; beyond, cloud and wind of a night are hardly foreseen
/// (estimate).
const LEAF_NIGHTS: usize = 5;

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

impl<'a> Inputs<'a> {
    /// The forecast, as long as it is not too old to be used at all.
    pub fn usable(&self) -> Option<&'a Forecast> {
        let is_usable = |_: &&Forecast| self.freshness() != Some(Freshness::Expired);
        self.forecast.filter(is_usable)
    }

    /// Whole days since the forecast was made.
    pub fn age_days(&self) -> usize {
        let age = self.forecast.map(|forecast| forecast.age(self.now));
        age.map_or(0, |age| usize::try_from(age.num_days()).unwrap_or(0))
    }

    /// What the place's height adds to the temperatures of the forecast.
    pub fn lift(&self) -> CelsiusStep {
        let theirs = self.forecast.and_then(|forecast| forecast.elevation);
        lift(theirs, self.place)
    }

    /// What an outlook rests on for this garden at this moment, where it was made for another one with the same futures.
    pub fn basis(&self, outlook: &Basis) -> Basis {
        let usable = self.usable();
        let age_hours = self
            .forecast
            .map(|forecast| forecast.age(self.now).num_hours());
        let mut missing = Vec::new();
        match self.freshness() {
            None | Some(Freshness::Expired) => missing.push(Missing::Forecast),
            Some(Freshness::Stale) => {
                missing.push(Missing::FreshForecast {
                    age_hours: age_hours.unwrap_or(0),
                });
            }
            Some(Freshness::Fresh) => {}
        }
        if outlook.missing.contains(&Missing::ForecastNights) {
            missing.push(Missing::ForecastNights);
        }
        if self.climate.is_none() {
            missing.push(Missing::History);
        }
        let site = self.climate.and_then(|climate| climate.site);
        Basis {
            forecast_from: usable.map(|forecast| forecast.attribution.clone()),
            forecast_age_hours: usable.and(age_hours),
            record_site: site.map(|site| site.from(self.place)),
            missing,
            ..outlook.clone()
        }
    }

    fn freshness(&self) -> Option<Freshness> {
        self.forecast
            .map(|forecast| forecast.freshness(self.now, self.fresh_for))
    }
}

impl Outlook {
    /// The futures from today on.
    ///
    /// With a climate they reach over a whole year. Without one they reach as far as the forecast, each at a steady
    /// distance from it, so that the chance of one cold night among several is not overstated: what comes after is
    /// not known, and a chance summed over them is a lower bound.
    pub fn of(inputs: &Inputs<'_>) -> Self {
        let today = inputs.place.zone.date(inputs.now);
        let usable = inputs.usable();
        let daily = usable.map_or_else(|| Daily::none(today), |forecast| daily(forecast, inputs));
        let mut outlook = Self::of_days(&daily, inputs.climate, inputs.skill, Horizon::YEAR);
        if usable.is_some() && !daily.has_coming_night() {
            outlook.basis.missing.push(Missing::ForecastNights);
        }
        outlook.basis = inputs.basis(&outlook.basis);
        outlook.leaf = usable.map_or_else(Vec::new, |run| leaf(run, inputs, outlook.basis.today));
        outlook
    }

    /// The futures from the days of a forecast, as far as the horizon asks; names nothing as missing.
    pub fn of_days(
        daily: &Daily,
        climate: Option<&Climate>,
        skill: &Skill,
        horizon: Horizon,
    ) -> Self {
        let built = match climate {
            Some(climate) => daily.with_past_years(climate, skill, horizon.days()),
            None => daily.alone(skill),
        };
        let basis = Basis {
            today: daily.today,
            futures: built.futures.len(),
            years: climate.map_or(0, |climate| climate.years),
            members: daily.members(),
            forecast_days: built.forecast_days,
            forecast_from: None,
            forecast_age_hours: None,
            record_from: climate.map(Climate::title),
            record_site: None,
            missing: Vec::new(),
        };
        let bound = if climate.is_some() {
            Bound::Whole
        } else {
            Bound::AtLeast
        };
        let midwinter = climate.map(|climate| climate.min.days_to_coldest(daily.today));
        let coming_nights = daily.coming_nights(climate, skill);
        Self {
            basis,
            bound,
            horizon,
            midwinter,
            coming_nights,
            leaf: Vec::new(),
            futures: built.futures,
        }
    }
}

/// The steps of today and the coming days as far as the forecast's conditions go; none where no night has any.
fn leaf(run: &Forecast, inputs: &Inputs<'_>, today: NaiveDate) -> Vec<CelsiusStep> {
    let Some(conditions) = &run.conditions else {
        return Vec::new();
    };
    let steps = colder_than_usual(conditions, &inputs.place.zone);
    let Some(last) = steps.keys().next_back().copied() else {
        return Vec::new();
    };
    today
        .iter_days()
        .take(1 + LEAF_NIGHTS)
        .take_while(|date| *date <= last)
        .map(|date| steps.get(&date).copied().unwrap_or_default())
        .collect()
}

fn daily(forecast: &Forecast, inputs: &Inputs<'_>) -> Daily {
    Daily {
        today: inputs.place.zone.date(inputs.now),
        measured: None,
        days: local_days(forecast, &inputs.place.zone),
        age_days: inputs.age_days(),
        lift: inputs.lift(),
    }
}

/// What the place's height adds to temperatures that speak of another height, to the tenth of a kelvin: forecasts come in
/// tenths, and gardens of one cell at about the same height have the same futures.
pub(super) fn lift(theirs: Option<Metres>, place: &Place) -> CelsiusStep {
    match (theirs, place.elevation) {
        (Some(theirs), Some(ours)) => {
            let exact = (theirs.0 - ours.0) * COOLING_PER_METRE;
            CelsiusStep::new((exact * 10.0).round() / 10.0)
        }
        (None, _) | (_, None) => CelsiusStep::default(),
    }
}
