//! How much colder than the air a leaf is that lies open to the night sky.
//!
//! In: temperature, dew point, cloud and wind. Out: the difference in kelvin. Does not know plants.
//!
//! The leaf radiates to a sky that is colder than it and draws heat from the air that passes it; at the steady state
//! both are equal. Leuning & Cremer (Agric. For. Meteorol. 42, 1988, 121-133) measured leaves 1 to 3 K below the air
//! beside them in clear still nights, at every height above the ground; the balance gives the same.

use super::humidity::saturation_over_water;
use crate::units::{Celsius, CelsiusStep, MetresPerSecond};

/// Stefan-Boltzmann constant, in W m⁻² K⁻⁴ (CODATA 2018).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;

/// Emissivity of leaves (0.96 to 0.98 in Campbell & Norman 1998, table 11.3).
const EMISSIVITY: f64 = 0.97;

/// Molar heat of air, in J mol⁻¹ K⁻¹ (Campbell & Norman 1998, table A1).
const MOLAR_HEAT: f64 = 29.3;

/// Width of a leaf along the wind, in m (estimate: that of a shrub).
const WIDTH: f64 = 0.04;

/// At plant height among other plants the wind is so much of that at 10 m (estimate: the logarithmic profile of FAO-56
/// equation 47 gives 0.5 at half a metre over grass).
const WIND_SHARE: f64 = 0.5;

/// Air is never so still that it does not drift, in m/s; a leaf also makes its own convection (estimate).
const WIND_MIN: f64 = 0.3;

/// How much colder than the air a leaf open to the night sky is; below zero when it is colder.
///
/// - Shape: one hour.
/// - Unit: °C, °C, share of the sky that is covered (0 to 1), m/s at 10 m in; kelvin out.
/// - Domain: nights; dew points at or below the air temperature; cloud is cut to 0 to 1, wind to 0.3 m/s at the leaf.
/// - Accuracy: within the 1 to 3 K that Leuning & Cremer 1988 measured in clear still nights; the sky's emissivity is
///   good to about 0.05, a sixth of the result.
/// - Source: leaf energy balance without evaporation, Campbell & Norman, An Introduction to Environmental Biophysics,
///   2nd ed. 1998, equation 14.6 with conductance by equation 7.30 and the factor 1.4 for wind outdoors; sky of clear
///   nights Brutsaert, Water Resour. Res. 11, 1975, equation 11; of cloud Campbell & Norman equation 10.12 (Monteith &
///   Unsworth 1990). From memory, except for the measured range.
///
/// ```
/// use budward::science::leaf::leaf_below_air;
/// use budward::units::{Celsius, MetresPerSecond};
///
/// let air = Celsius::new(0.0);
/// let clear = leaf_below_air(air, Celsius::new(-3.0), 0.0, MetresPerSecond(1.0));
/// let overcast = leaf_below_air(air, Celsius::new(-3.0), 1.0, MetresPerSecond(1.0));
/// assert!(clear.kelvin() < -1.0 && clear.kelvin() > -3.0);
/// assert!(overcast.kelvin() > -0.5);
/// ```
pub fn leaf_below_air(
    air: Celsius,
    dew_point: Celsius,
    cloud: f64,
    wind: MetresPerSecond,
) -> CelsiusStep {
    let kelvin = air.degrees() + 273.15;
    let vapour_hectopascals = 10.0 * saturation_over_water(dew_point.min(air)).0;
    let clear = 1.24 * (vapour_hectopascals / kelvin).powf(1.0 / 7.0);
    let hidden = 0.84 * cloud.clamp(0.0, 1.0);
    let sky = (1.0 - hidden) * clear.min(1.0) + hidden;
    // One side sees the sky, the other the ground, which is about as warm as the air.
    let loss = 0.5 * EMISSIVITY * STEFAN_BOLTZMANN * kelvin.powi(4) * (1.0 - sky);
    let at_leaf = (WIND_SHARE * wind.0).max(WIND_MIN);
    let by_wind = 1.4 * 0.135 * (at_leaf / WIDTH).sqrt();
    let by_radiation = 4.0 * EMISSIVITY * STEFAN_BOLTZMANN * kelvin.powi(3) / MOLAR_HEAT;
    CelsiusStep::new(-loss / (MOLAR_HEAT * (by_wind + by_radiation)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gap(air: f64, dew_point: f64, cloud: f64, wind: f64) -> f64 {
        let (air, dew_point) = (Celsius::new(air), Celsius::new(dew_point));
        leaf_below_air(air, dew_point, cloud, MetresPerSecond(wind)).kelvin()
    }

    #[test]
    fn clear_still_nights_show_the_measured_one_to_three_kelvin() {
        // Leuning & Cremer 1988, abstract: 1 to 3 K at every height above the ground.
        for air in [-6.0, -2.0, 2.0, 5.0] {
            for dryness in [0.5, 2.0, 5.0, 8.0] {
                for wind in [0.0, 0.5, 1.0, 1.5] {
                    let gap = gap(air, air - dryness, 0.05, wind);
                    assert!(
                        (-3.0..=-1.0).contains(&gap),
                        "{air} {dryness} {wind}: {gap}"
                    );
                }
            }
        }
    }

    #[test]
    fn cloud_wind_and_moist_air_each_make_it_less() {
        let clear = gap(0.0, -4.0, 0.0, 1.0);
        assert!(gap(0.0, -4.0, 0.5, 1.0) > clear);
        assert!(gap(0.0, -4.0, 0.0, 5.0) > clear);
        assert!(gap(0.0, -0.5, 0.0, 1.0) > clear);
        assert!(gap(0.0, -4.0, 1.0, 5.0) > -0.4);
    }

    #[test]
    fn one_case_by_hand() {
        // 0 °C, dew point 0 °C: e = 6.108 hPa, sky 1.24 (6.108/273.15)^(1/7) = 0.7205; loss 0.97/2 * 315.66 * 0.2795
        // = 42.79 W/m²; wind 2 m/s, 1 at the leaf: 0.189 * 5 = 0.945, radiation 0.1530 mol/(m² s); -42.79/(29.3 * 1.098).
        assert!((gap(0.0, 0.0, 0.0, 2.0) + 1.330).abs() < 0.001);
    }
}
