//! Water vapour in the air: saturation, dew point, frost point, wet bulb.
//!
//! In: temperatures and [`RelativeHumidity`]. Out: vapour pressure and the temperatures that it makes. Does not know
//! dew on leaves.
//!
//! One law of saturation serves all, so that a dew point and the vapour pressure behind it belong together. Relative
//! humidity is over liquid water, at frost too, as weather services report it.

use crate::units::{Celsius, Kilopascals, RelativeHumidity};

/// Saturation vapour pressure at the freezing point, in kPa (Tetens 1930, as in FAO-56 equation 11).
const AT_FREEZING: f64 = 0.6108;

/// How saturation vapour pressure grows with temperature t in °C: `0.6108 exp(factor t / (offset + t))`.
#[derive(Clone, Copy)]
struct Saturation {
    factor: f64,
    offset: f64,
}

/// Tetens 1930; Murray 1967; FAO-56 equation 11.
const OVER_WATER: Saturation = Saturation {
    factor: 17.27,
    offset: 237.3,
};

/// Murray 1967.
const OVER_ICE: Saturation = Saturation {
    factor: 21.875,
    offset: 265.5,
};

impl Saturation {
    fn pressure(self, temperature: Celsius) -> Kilopascals {
        let t = temperature.degrees();
        Kilopascals(AT_FREEZING * (self.factor * t / (self.offset + t)).exp())
    }

    /// The temperature at which air with that vapour is saturated.
    fn temperature(self, vapour: Kilopascals) -> Option<Celsius> {
        let power = (vapour.0 / AT_FREEZING).ln();
        let degrees = self.offset * power / (self.factor - power);
        (degrees.is_finite() && power < self.factor).then_some(Celsius::new(degrees))
    }
}

/// Saturation vapour pressure over liquid water, below freezing too (supercooled).
///
/// - Shape: one temperature.
/// - Unit: °C in, kPa out.
/// - Domain: air temperatures.
/// - Accuracy: within 0.2 % of Sonntag 1990 at 0 to 50 °C, 0.3 % at -10 °C, 0.8 % at -20 °C.
/// - Source: Tetens 1930, as in Allen, Pereira, Raes & Smith, Crop evapotranspiration, FAO Irrigation and Drainage
///   Paper 56, 1998, equation 11; Murray, On the computation of saturation vapor pressure, J. Appl. Meteor. 6, 1967,
///   203-204.
///
/// ```
/// use budward::science::humidity::saturation_over_water;
/// use budward::units::Celsius;
///
/// // 24.5 °C: 3.075 kPa (FAO-56, example 3).
/// assert!((saturation_over_water(Celsius::new(24.5)).0 - 3.075).abs() < 0.0005);
/// ```
pub fn saturation_over_water(temperature: Celsius) -> Kilopascals {
    OVER_WATER.pressure(temperature)
}

/// Saturation vapour pressure over ice.
///
/// - Shape: one temperature.
/// - Unit: °C in, kPa out.
/// - Domain: at or below 0 °C; warmer ice does not exist, and there is no number.
/// - Accuracy: within 0.2 % of Sonntag 1990 at -10 °C, 0.5 % at -20 °C.
/// - Source: Murray, On the computation of saturation vapor pressure, J. Appl. Meteor. 6, 1967, 203-204.
pub fn saturation_over_ice(temperature: Celsius) -> Option<Kilopascals> {
    (temperature.degrees() <= 0.0).then(|| OVER_ICE.pressure(temperature))
}

/// The pressure of the water vapour in air of a temperature and relative humidity.
///
/// - Shape: one temperature and one humidity.
/// - Unit: °C and % in, kPa out.
/// - Domain: air temperatures.
/// - Accuracy: that of [`saturation_over_water`].
/// - Source: FAO-56, 1998, equation 10 (the definition of relative humidity).
pub fn vapour_pressure(temperature: Celsius, humidity: RelativeHumidity) -> Kilopascals {
    Kilopascals(saturation_over_water(temperature).0 * humidity.share())
}

/// The relative humidity of air with that much vapour; what is above saturation counts as 100 %.
///
/// - Shape: one temperature and one vapour pressure.
/// - Unit: °C and kPa in, % out.
/// - Domain: a vapour pressure of zero or more; otherwise no number.
/// - Accuracy: that of [`saturation_over_water`].
/// - Source: FAO-56, 1998, equation 10.
pub fn relative_humidity(temperature: Celsius, vapour: Kilopascals) -> Option<RelativeHumidity> {
    let percent = 100.0 * vapour.0 / saturation_over_water(temperature).0;
    // The comparison keeps what is no number; `min` would turn it into 100.
    RelativeHumidity::of_percent(if percent > 100.0 { 100.0 } else { percent })
}

/// The temperature at which dew begins to form.
///
/// - Shape: one vapour pressure, see [`vapour_pressure`].
/// - Unit: kPa in, °C out.
/// - Domain: more than no vapour; otherwise no number.
/// - Accuracy: inverts [`saturation_over_water`] exactly; within 0.02 K of Alduchov & Eskridge 1996 at 0 to 40 °C,
///   0.1 K down to -28 °C.
/// - Source: FAO-56, 1998, equation 14, solved for the dew point.
///
/// ```
/// use budward::science::humidity::{dew_point, vapour_pressure};
/// use budward::units::{Celsius, RelativeHumidity};
///
/// // 25 °C at 54 %: 15.05 °C (Alduchov & Eskridge 1996).
/// let vapour = vapour_pressure(Celsius::new(25.0), RelativeHumidity::of_percent(54.0).unwrap());
/// assert!((dew_point(vapour).unwrap().degrees() - 15.05).abs() < 0.01);
/// ```
pub fn dew_point(vapour: Kilopascals) -> Option<Celsius> {
    OVER_WATER.temperature(vapour)
}

/// The temperature at which hoar frost begins to form; above the dew point, and none where dew forms first.
///
/// - Shape: one vapour pressure, see [`vapour_pressure`].
/// - Unit: kPa in, °C out.
/// - Domain: more than no vapour and no more than saturates air at 0 °C; otherwise no number.
/// - Accuracy: inverts [`saturation_over_ice`] exactly; within 0.05 K of Buck 1996 down to -25 °C.
/// - Source: Murray 1967, solved for the temperature.
pub fn frost_point(vapour: Kilopascals) -> Option<Celsius> {
    OVER_ICE
        .temperature(vapour)
        .filter(|point| point.degrees() <= 0.0)
}

/// Slope of [`saturation_over_water`] over temperature.
///
/// - Shape: one temperature.
/// - Unit: °C in, kPa/K out.
/// - Domain: air temperatures.
/// - Accuracy: exact derivative.
/// - Source: FAO-56, 1998, equation 13.
pub fn saturation_slope(temperature: Celsius) -> f64 {
    let Saturation { factor, offset } = OVER_WATER;
    let reach = offset + temperature.degrees();
    saturation_over_water(temperature).0 * factor * offset / (reach * reach)
}

/// Coefficient of an aspirated psychrometer of the Asmann type, in 1/K (FAO-56, 1998, equation 16).
const ASPIRATED: f64 = 0.000_662;

/// The vapour pressure that a dry and a wet thermometer tell.
///
/// - Shape: the dry and the wet bulb of a psychrometer with a fan, and the pressure of the air.
/// - Unit: °C and kPa in, kPa out.
/// - Domain: a wet bulb not above the dry one, moist enough that vapour is left; otherwise no number.
/// - Accuracy: that of the psychrometer, about 0.1 K of the wet bulb.
/// - Source: FAO-56, 1998, equations 15 and 16.
pub fn psychrometer(dry: Celsius, wet: Celsius, air: Kilopascals) -> Option<Kilopascals> {
    let vapour = psychrometer_line(dry, wet, air);
    (wet <= dry && vapour >= 0.0).then_some(Kilopascals(vapour))
}

fn psychrometer_line(dry: Celsius, wet: Celsius, air: Kilopascals) -> f64 {
    saturation_over_water(wet).0 - ASPIRATED * air.0 * (dry - wet).kelvin()
}

/// The temperature to which evaporation cools a wet surface in moving air; the water stays liquid below freezing.
///
/// - Shape: temperature, vapour pressure and pressure of the air.
/// - Unit: °C and kPa in, °C out.
/// - Domain: vapour from none to saturation, air of positive pressure; otherwise no number.
/// - Accuracy: inverts [`psychrometer`] to 1e-9 K; within 0.2 K of the adiabatic wet bulb of ASHRAE 2017 above
///   freezing. Below it an iced bulb is up to 0.3 K warmer.
/// - Source: FAO-56, 1998, equations 15 and 16, solved by halving the interval.
pub fn wet_bulb(temperature: Celsius, vapour: Kilopascals, air: Kilopascals) -> Option<Celsius> {
    /// Enough to halve 200 K down to the last bit.
    const HALVINGS: usize = 60;
    /// No psychrometer law cools air further than to where its line meets no vapour at all.
    const DEEPEST: f64 = -100.0;
    let saturation = saturation_over_water(temperature);
    let known = (0.0..=saturation.0).contains(&vapour.0) && air.0 > 0.0;
    if !known {
        return None;
    }
    let (mut low, mut high) = (Celsius::new(DEEPEST).min(temperature), temperature);
    for _ in 0..HALVINGS {
        let middle = low + (high - low) / 2.0;
        if psychrometer_line(temperature, middle, air) < vapour.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low + (high - low) / 2.0)
}
