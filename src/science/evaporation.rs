//! Reference evapotranspiration of a day: how much water a well-watered short grass gives off.
//!
//! In: a day's weather at a [`Site`]. Out: [`Millimetres`] of water. Does not know the water that plants get, nor what a
//! kind of plant takes against grass.
//!
//! All of it is FAO-56: Allen, Pereira, Raes & Smith, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998.

mod radiation;

use chrono::NaiveDate;

pub use self::radiation::{
    Coast, SolarGeometry, clear_sky_radiation, daylight_hours, extraterrestrial_radiation,
    net_longwave, net_radiation, net_shortwave, solar_by_range, solar_by_sunshine, solar_geometry,
};
use super::humidity::{saturation_over_water, saturation_slope};
use crate::units::{
    Celsius, Kilopascals, MegajoulesPerSquareMetre, Metres, MetresPerSecond, Millimetres,
    RelativeHumidity,
};

/// Evaporated water in mm for one MJ/m²: 1 over the latent heat of 2.45 MJ/kg (FAO-56 equation 20).
const MILLIMETRES_PER_MEGAJOULE: f64 = 0.408;

/// The wind that FAO-56 takes at 2 m where none is known, the mean of over 2000 stations (chapter 3, missing wind data).
pub const USUAL_WIND: MetresPerSecond = MetresPerSecond(2.0);

/// Where the weather was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Degrees north.
    pub latitude: f64,
    /// Above the sea.
    pub elevation: Metres,
}

/// The weather of one day that the full equation takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weather {
    /// Lowest temperature.
    pub min: Celsius,
    /// Highest temperature.
    pub max: Celsius,
    /// Mean vapour pressure of the air: by the dew point, or by [`vapour_by_humidity`].
    pub vapour: Kilopascals,
    /// Mean wind 2 m above ground, see [`wind_at_two_metres`].
    pub wind: MetresPerSecond,
    /// Sunshine and skylight on level ground, or an estimate by [`solar_by_sunshine`] or [`solar_by_range`].
    pub solar: MegajoulesPerSquareMetre,
    /// Heat that goes into the soil; zero for single days (FAO-56 equation 42).
    pub soil_heat: MegajoulesPerSquareMetre,
}

/// Reference evapotranspiration by the FAO Penman-Monteith equation.
///
/// - Shape: a site, a date, the weather of that day.
/// - Unit: °C, kPa, m/s, MJ/m² in; mm of that day out.
/// - Domain: latitudes on the earth, lowest not above highest temperature, nothing negative; otherwise no number. What
///   comes out below zero, on days of dew, is none; less than 0.5 m/s of wind counts as 0.5 (chapter 3, from memory).
/// - Accuracy: the worked examples 17, 18 and 20 to the last printed digit.
/// - Source: FAO-56, 1998, equation 6.
///
/// ```
/// use budward::science::evaporation::{Site, Weather, penman_monteith, wind_at_two_metres};
/// use budward::units::{Celsius, Kilopascals, MegajoulesPerSquareMetre, Metres, MetresPerSecond};
/// use chrono::NaiveDate;
///
/// // Brussels, 6 July: 3.88 mm (FAO-56, example 18).
/// let site = Site { latitude: 50.8, elevation: Metres(100.0) };
/// let wind = MetresPerSecond::from_kilometres_per_hour(10.0);
/// let weather = Weather {
///     min: Celsius::new(12.3),
///     max: Celsius::new(21.5),
///     vapour: Kilopascals(1.409),
///     wind: wind_at_two_metres(wind, Metres(10.0)).unwrap(),
///     solar: MegajoulesPerSquareMetre(22.07),
///     soil_heat: MegajoulesPerSquareMetre(0.0),
/// };
/// let date = NaiveDate::from_ymd_opt(2001, 7, 6).unwrap();
/// let water = penman_monteith(site, date, &weather).unwrap();
/// assert!((water.0 - 3.88).abs() < 0.005);
/// ```
pub fn penman_monteith(site: Site, date: NaiveDate, weather: &Weather) -> Option<Millimetres> {
    /// Least wind at 2 m, since warm air rises where none blows.
    const STILL: f64 = 0.5;
    let net = net_radiation(site, date, weather)?.0 - weather.soil_heat.0;
    let gamma = psychrometric_constant(air_pressure(site.elevation));
    let mean = weather.min + (weather.max - weather.min) / 2.0;
    let slope = saturation_slope(mean);
    let lack = mean_saturation(weather.min, weather.max).0 - weather.vapour.0;
    let known = weather.wind.0 >= 0.0 && weather.vapour.0 >= 0.0;
    let wind = weather.wind.0.max(STILL);
    let by_sun = MILLIMETRES_PER_MEGAJOULE * slope * net;
    let by_wind = gamma * 900.0 / (mean.degrees() + 273.0) * wind * lack;
    let water = (by_sun + by_wind) / (slope + gamma * (1.0 + 0.34 * wind));
    (known && water.is_finite()).then_some(Millimetres(water.max(0.0)))
}

/// Reference evapotranspiration where only temperatures are known.
///
/// - Shape: latitude, date and the day's extremes.
/// - Unit: degrees north and °C in, mm of that day out.
/// - Domain: latitudes on the earth, lowest not above highest; otherwise no number. Cold days give none.
/// - Accuracy: for sums over five days or more; too much in humid, too little in windy places (FAO-56 chapter 3).
/// - Source: Hargreaves & Samani, Reference crop evapotranspiration from temperature, Appl. Eng. Agric. 1, 1985, 96-99;
///   FAO-56, 1998, equation 52.
pub fn hargreaves(
    latitude: f64,
    date: NaiveDate,
    min: Celsius,
    max: Celsius,
) -> Option<Millimetres> {
    let above = extraterrestrial_radiation(latitude, date)?;
    let range = (max - min).kelvin();
    let warmth = (min + (max - min) / 2.0).degrees() + 17.8;
    let water = 0.0023 * warmth * range.sqrt() * above.0 * MILLIMETRES_PER_MEGAJOULE;
    (range >= 0.0 && water.is_finite()).then_some(Millimetres(water.max(0.0)))
}

/// Pressure of the air at a height above the sea.
///
/// - Shape: one elevation.
/// - Unit: m in, kPa out.
/// - Domain: places on the earth, -500 to 9000 m.
/// - Accuracy: weather moves it by 3 %.
/// - Source: FAO-56, 1998, equation 7: the standard atmosphere with 20 °C at sea level.
pub fn air_pressure(elevation: Metres) -> Kilopascals {
    Kilopascals(101.3 * ((293.0 - 0.0065 * elevation.0) / 293.0).powf(5.26))
}

/// How much vapour pressure the air gains for each kelvin that evaporation takes from it.
///
/// - Shape: one pressure of the air.
/// - Unit: kPa in, kPa/K out.
/// - Domain: positive pressures.
/// - Accuracy: the latent heat is held at 2.45 MJ/kg, that of 20 °C.
/// - Source: FAO-56, 1998, equation 8.
pub fn psychrometric_constant(air: Kilopascals) -> f64 {
    0.000_665 * air.0
}

/// Mean saturation vapour pressure of a day.
///
/// - Shape: the day's extremes.
/// - Unit: °C in, kPa out.
/// - Domain: air temperatures.
/// - Accuracy: nearer than saturation at the mean temperature, which is too low (FAO-56 example 3).
/// - Source: FAO-56, 1998, equation 12.
pub fn mean_saturation(min: Celsius, max: Celsius) -> Kilopascals {
    Kilopascals(0.5 * (saturation_over_water(min).0 + saturation_over_water(max).0))
}

/// Mean vapour pressure of a day by its extremes of relative humidity; the air is most humid when it is coldest.
///
/// - Shape: the day's extremes of temperature, and of humidity as (lowest, highest).
/// - Unit: °C and % in, kPa out.
/// - Domain: air temperatures.
/// - Accuracy: that of the hygrometer.
/// - Source: FAO-56, 1998, equation 17.
pub fn vapour_by_humidity(
    min: Celsius,
    max: Celsius,
    (lowest, highest): (RelativeHumidity, RelativeHumidity),
) -> Kilopascals {
    let at_dawn = saturation_over_water(min).0 * highest.share();
    let at_noon = saturation_over_water(max).0 * lowest.share();
    Kilopascals(0.5 * (at_dawn + at_noon))
}

/// The wind 2 m above short grass by that at another height.
///
/// - Shape: a wind and the height at which it blows.
/// - Unit: m/s and m in, m/s out.
/// - Domain: heights of 0.5 m and more; otherwise no number.
/// - Accuracy: over short grass; less between trees and walls.
/// - Source: FAO-56, 1998, equation 47.
pub fn wind_at_two_metres(wind: MetresPerSecond, height: Metres) -> Option<MetresPerSecond> {
    /// Below it the logarithm nears zero (estimate).
    const LOWEST: f64 = 0.5;
    (height.0 >= LOWEST).then(|| MetresPerSecond(wind.0 * 4.87 / (67.8 * height.0 - 5.42).ln()))
}

/// Heat that goes into the soil in a month.
///
/// - Shape: mean temperature of the month before and of the month after, or, where that is not known, of the month.
/// - Unit: °C in, MJ/m² a day out.
/// - Domain: air temperatures.
/// - Accuracy: for monthly means only; single days take zero (equation 42).
/// - Source: FAO-56, 1998, equations 43 (next month known) and 44.
pub fn monthly_soil_heat(before: Celsius, later: MonthMean) -> MegajoulesPerSquareMetre {
    let (factor, mean) = match later {
        MonthMean::Next(mean) => (0.07, mean),
        MonthMean::Same(mean) => (0.14, mean),
    };
    MegajoulesPerSquareMetre(factor * (mean - before).kelvin())
}

/// The later mean temperature of [`monthly_soil_heat`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MonthMean {
    /// That of the month after.
    Next(Celsius),
    /// That of the month itself.
    Same(Celsius),
}
