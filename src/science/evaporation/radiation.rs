//! The sun's energy on level ground in a day, and what of it the ground keeps.
//!
//! In: place, date, temperatures. Out: [`MegajoulesPerSquareMetre`] of that day. Does not know clouds hour by hour.

use std::f64::consts::{PI, TAU};

use chrono::{Datelike, NaiveDate};

use super::{Site, Weather};
use crate::units::{Celsius, Kilopascals, MegajoulesPerSquareMetre, Metres};

/// How the sun stands to a place on a date, as FAO-56 has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolarGeometry {
    /// Inverse relative distance of earth and sun (equation 23).
    pub nearness: f64,
    /// Declination of the sun, in radians (equation 24).
    pub declination: f64,
    /// Hour angle of sunset, in radians; 0 in the polar night, π in the polar day (equation 25).
    pub sunset_angle: f64,
}

/// The sun's place in the sky on a date.
///
/// - Shape: one latitude and one date.
/// - Unit: degrees north in, radians out.
/// - Domain: latitudes on the earth; otherwise no number.
/// - Accuracy: the declination within 0.01 rad; for times of rise and set take `science::sun`.
/// - Source: FAO-56, 1998, equations 23 to 25.
pub fn solar_geometry(latitude: f64, date: NaiveDate) -> Option<SolarGeometry> {
    let year = TAU * f64::from(date.ordinal()) / 365.0;
    let declination = 0.409 * (year - 1.39).sin();
    let cosine = -latitude.to_radians().tan() * declination.tan();
    (-90.0..=90.0).contains(&latitude).then(|| SolarGeometry {
        nearness: 1.0 + 0.033 * year.cos(),
        declination,
        sunset_angle: cosine.clamp(-1.0, 1.0).acos(),
    })
}

/// Radiation above the air on a level surface in a day.
///
/// - Shape: one latitude and one date.
/// - Unit: degrees north in, MJ/m² out.
/// - Domain: latitudes on the earth; otherwise no number.
/// - Accuracy: within 1 % below 60° of latitude.
/// - Source: FAO-56, 1998, equation 21.
pub fn extraterrestrial_radiation(
    latitude: f64,
    date: NaiveDate,
) -> Option<MegajoulesPerSquareMetre> {
    /// The solar constant in MJ/m² a minute.
    const SOLAR_CONSTANT: f64 = 0.0820;
    let sun = solar_geometry(latitude, date)?;
    let phi = latitude.to_radians();
    let height = sun.sunset_angle * phi.sin() * sun.declination.sin()
        + phi.cos() * sun.declination.cos() * sun.sunset_angle.sin();
    let energy = 24.0 * 60.0 / PI * SOLAR_CONSTANT * sun.nearness * height;
    Some(MegajoulesPerSquareMetre(energy.max(0.0)))
}

/// The greatest possible hours of sunshine.
///
/// - Shape: one latitude and one date.
/// - Unit: degrees north in, hours out.
/// - Domain: latitudes on the earth; otherwise no number.
/// - Accuracy: without refraction and the sun's width, so some 8 minutes short at 45°; for day length take `science::sun`.
/// - Source: FAO-56, 1998, equation 34.
pub fn daylight_hours(latitude: f64, date: NaiveDate) -> Option<f64> {
    Some(24.0 / PI * solar_geometry(latitude, date)?.sunset_angle)
}

/// Radiation on the ground by hours of sunshine.
///
/// - Shape: latitude, date and the hours of bright sunshine.
/// - Unit: degrees north and hours in, MJ/m² out.
/// - Domain: sunshine from none to the daylight hours; more counts as these, less gives no number.
/// - Accuracy: about 10 % with the usual coefficients 0.25 and 0.50 (estimate).
/// - Source: FAO-56, 1998, equation 35 (Ångström).
pub fn solar_by_sunshine(
    latitude: f64,
    date: NaiveDate,
    sunshine: f64,
) -> Option<MegajoulesPerSquareMetre> {
    let above = extraterrestrial_radiation(latitude, date)?;
    let daylight = daylight_hours(latitude, date)?;
    let share = if sunshine < daylight {
        sunshine / daylight
    } else {
        1.0
    };
    (sunshine >= 0.0).then_some(MegajoulesPerSquareMetre((0.25 + 0.50 * share) * above.0))
}

/// Whether the sea evens out a place's temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coast {
    /// Land all around: 0.16.
    Interior,
    /// On or near a coast: 0.19.
    Coastal,
}

/// Radiation on the ground by the range of temperature: clear days have a wide one.
///
/// - Shape: site, date, the day's extremes and the lie of the place.
/// - Unit: °C in, MJ/m² out.
/// - Domain: lowest not above highest temperature; otherwise no number. Never more than under a clear sky.
/// - Accuracy: for means over several days; single days may be off by half (estimate).
/// - Source: FAO-56, 1998, equation 50 (Hargreaves).
pub fn solar_by_range(
    site: Site,
    date: NaiveDate,
    (min, max): (Celsius, Celsius),
    coast: Coast,
) -> Option<MegajoulesPerSquareMetre> {
    let factor = match coast {
        Coast::Interior => 0.16,
        Coast::Coastal => 0.19,
    };
    let above = extraterrestrial_radiation(site.latitude, date)?;
    let range = (max - min).kelvin();
    let clear = clear_sky_radiation(site.elevation, above).0;
    (range >= 0.0).then(|| MegajoulesPerSquareMetre((factor * range.sqrt() * above.0).min(clear)))
}

/// Radiation on the ground under a clear sky.
///
/// - Shape: one elevation, and the radiation above the air.
/// - Unit: m and MJ/m² in, MJ/m² out.
/// - Domain: places below 6000 m.
/// - Accuracy: about 5 %, for air without haze (estimate).
/// - Source: FAO-56, 1998, equation 37.
pub fn clear_sky_radiation(
    elevation: Metres,
    above: MegajoulesPerSquareMetre,
) -> MegajoulesPerSquareMetre {
    MegajoulesPerSquareMetre((0.75 + 2e-5 * elevation.0) * above.0)
}

/// Radiation that grass does not throw back.
///
/// - Shape: the radiation on the ground.
/// - Unit: MJ/m² in and out.
/// - Domain: any.
/// - Accuracy: exact for the reference grass.
/// - Source: FAO-56, 1998, equation 38 with the albedo of 0.23.
pub fn net_shortwave(solar: MegajoulesPerSquareMetre) -> MegajoulesPerSquareMetre {
    MegajoulesPerSquareMetre((1.0 - 0.23) * solar.0)
}

/// Heat that the ground loses to the sky.
///
/// - Shape: the day's extremes, vapour pressure, and radiation on the ground over that under a clear sky.
/// - Unit: °C, kPa and a share in, MJ/m² out.
/// - Domain: vapour of zero or more; a share above 1 counts as 1.
/// - Accuracy: about 1 MJ/m² (estimate).
/// - Source: FAO-56, 1998, equation 39.
pub fn net_longwave(
    (min, max): (Celsius, Celsius),
    vapour: Kilopascals,
    clearness: f64,
) -> MegajoulesPerSquareMetre {
    /// Stefan-Boltzmann constant in MJ/(m² K⁴) a day.
    const SIGMA: f64 = 4.903e-9;
    let fourth = |temperature: Celsius| (temperature.degrees() + 273.16).powi(4);
    let emitted = SIGMA * (fourth(min) + fourth(max)) / 2.0;
    let clouds = 1.35 * clearness.min(1.0) - 0.35;
    MegajoulesPerSquareMetre(emitted * (0.34 - 0.14 * vapour.0.sqrt()) * clouds)
}

/// Radiation that the ground keeps.
///
/// - Shape: a site, a date, the weather of that day.
/// - Unit: °C, kPa, MJ/m² in; MJ/m² out.
/// - Domain: latitudes on the earth, lowest not above highest temperature, nothing negative; otherwise no number. Where
///   the sun does not rise the sky counts as clear (estimate).
/// - Accuracy: that of its parts.
/// - Source: FAO-56, 1998, equation 40.
pub fn net_radiation(
    site: Site,
    date: NaiveDate,
    weather: &Weather,
) -> Option<MegajoulesPerSquareMetre> {
    let above = extraterrestrial_radiation(site.latitude, date)?;
    let clear = clear_sky_radiation(site.elevation, above).0;
    let clearness = if clear > 0.0 {
        weather.solar.0 / clear
    } else {
        1.0
    };
    let lost = net_longwave((weather.min, weather.max), weather.vapour, clearness).0;
    let kept = net_shortwave(weather.solar).0 - lost;
    (weather.min <= weather.max && weather.solar.0 >= 0.0 && kept.is_finite())
        .then_some(MegajoulesPerSquareMetre(kept))
}
