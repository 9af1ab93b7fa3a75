//! Local days: extremes, rain, reference evapotranspiration, and the balance of the two.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::hours::WorkHour;
use crate::forecast::HOURS_MIN;
use crate::garden::Place;
use crate::science::evaporation::{Site, Weather, hargreaves, penman_monteith, wind_at_two_metres};
use crate::science::humidity::saturation_over_water;
use crate::units::{
    Celsius, Kilopascals, MegajoulesPerSquareMetre, Metres, MetresPerSecond, Millimetres, count,
};

/// The height at which services give the wind.
const WIND_HEIGHT: Metres = Metres(10.0);

/// One local day.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkDay {
    /// The date.
    pub date: NaiveDate,
    /// Lowest temperature; this and all that follow are none where too many hours of the day are not known.
    pub min: Option<Celsius>,
    /// Highest temperature.
    pub max: Option<Celsius>,
    /// Mean temperature.
    pub mean: Option<Celsius>,
    /// Rain and melted snow.
    pub rain: Option<Millimetres>,
    /// Reference evapotranspiration.
    pub evapotranspiration: Option<Millimetres>,
    /// Hours in which leaves are wet.
    pub wet_hours: Option<usize>,
    /// Covered share of the sky while the sun is up.
    pub cloud: Option<f64>,
}

/// What rain gave and the air took.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WaterBalance {
    /// Over so many days.
    pub days: usize,
    /// The rain.
    pub rain: Millimetres,
    /// The reference evapotranspiration.
    pub evapotranspiration: Millimetres,
}

impl WaterBalance {
    /// What is missing; below zero where rain gave more.
    pub fn deficit(&self) -> Millimetres {
        Millimetres(self.evapotranspiration.0 - self.rain.0)
    }
}

/// The local days of hours in a row.
pub(super) fn days(hours: &[WorkHour], place: &Place) -> Vec<WorkDay> {
    hours
        .chunk_by(|one, next| one.local.date() == next.local.date())
        .filter_map(|of_day| Some(day(of_day.first()?.local.date(), of_day, place)))
        .collect()
}

/// Rain less evapotranspiration over days of which each has both.
pub(super) fn balance(days: &[WorkDay]) -> Option<WaterBalance> {
    let rain: Option<Vec<f64>> = days.iter().map(|day| Some(day.rain?.0)).collect();
    let taken: Option<Vec<f64>> = days
        .iter()
        .map(|day| Some(day.evapotranspiration?.0))
        .collect();
    Some(WaterBalance {
        days: days.len(),
        rain: Millimetres(rain?.iter().sum()),
        evapotranspiration: Millimetres(taken?.iter().sum()),
    })
}

fn day(date: NaiveDate, hours: &[WorkHour], place: &Place) -> WorkDay {
    let degrees = known(hours, |hour| {
        hour.condition.temperature.map(Celsius::degrees)
    });
    let degrees = degrees.as_deref();
    let extreme = |pick: fn(f64, f64) -> f64| {
        let degrees = degrees?.iter().copied();
        degrees.reduce(pick).map(Celsius::new)
    };
    let rain = known(hours, |hour| hour.condition.rain_mm);
    let day = WorkDay {
        date,
        min: extreme(f64::min),
        max: extreme(f64::max),
        mean: mean_of(degrees).map(Celsius::new),
        rain: rain.map(|rain| Millimetres(rain.iter().sum())),
        evapotranspiration: None,
        wet_hours: known(hours, |hour| hour.wet).map(|wet| wet.iter().filter(|wet| **wet).count()),
        cloud: mean_of(daylight_clouds(hours).as_deref()),
    };
    WorkDay {
        evapotranspiration: evapotranspiration(&day, hours, place),
        ..day
    }
}

/// By the full equation where all that it asks for is known, else by the day's extremes alone.
fn evapotranspiration(day: &WorkDay, hours: &[WorkHour], place: &Place) -> Option<Millimetres> {
    let (min, max) = (day.min?, day.max?);
    let full = || {
        let vapour = known(hours, |hour| {
            let dew_point = hour.condition.dew_point?;
            Some(saturation_over_water(dew_point).0)
        });
        let wind = known(hours, |hour| hour.condition.wind.map(|wind| wind.0));
        // A sum: the hours that are missing get the mean of those that are not.
        let sun = known(hours, |hour| hour.condition.radiation_w_m2);
        let sun = mean_of(sun.as_deref())?;
        let weather = Weather {
            min,
            max,
            vapour: Kilopascals(mean_of(vapour.as_deref())?),
            wind: wind_at_two_metres(MetresPerSecond(mean_of(wind.as_deref())?), WIND_HEIGHT)?,
            solar: MegajoulesPerSquareMetre::from_watt_hours(sun * 24.0),
            soil_heat: MegajoulesPerSquareMetre(0.0),
        };
        let site = Site {
            latitude: place.latitude(),
            elevation: place.elevation.unwrap_or(Metres(0.0)),
        };
        penman_monteith(site, day.date, &weather)
    };
    full()
        .or_else(|| hargreaves(place.latitude(), day.date, min, max))
        .map(|water| Millimetres(water.0.max(0.0)))
}

/// The values that are known, where enough of them are.
fn known<T>(hours: &[WorkHour], pick: impl Fn(&WorkHour) -> Option<T>) -> Option<Vec<T>> {
    let values: Vec<T> = hours.iter().filter_map(pick).collect();
    (values.len() >= HOURS_MIN).then_some(values)
}

fn daylight_clouds(hours: &[WorkHour]) -> Option<Vec<f64>> {
    let by_day = hours.iter().filter(|hour| {
        hour.condition
            .radiation_w_m2
            .is_some_and(|watts| watts > 0.0)
    });
    let clouds: Vec<f64> = by_day.filter_map(|hour| hour.condition.cloud).collect();
    (!clouds.is_empty()).then_some(clouds)
}

fn mean_of(values: Option<&[f64]>) -> Option<f64> {
    let values = values.filter(|values| !values.is_empty())?;
    Some(values.iter().sum::<f64>() / count(values.len()))
}
