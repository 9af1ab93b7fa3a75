//! What heat and cold do to people who work outdoors: heat index and wind chill.
//!
//! In: air temperature with humidity or wind. Out: the temperature that it feels like. Does not know what work it is.

use crate::units::{Celsius, MetresPerSecond, RelativeHumidity};

/// The heat index: how warm humid air feels in the shade with a light wind.
///
/// - Shape: one temperature and one humidity.
/// - Unit: °C and % in, °C out; worked in °F.
/// - Domain: air temperatures; at or below 40 °F it is the air temperature itself.
/// - Accuracy: the regression is within 1.3 °F of Steadman's model. The service's chart leaves the two adjustments out,
///   so that its cells for 80 to 86 °F above 85 % are up to 2.1 °F lower. In sunshine add up to 15 °F (weather service).
/// - Source: Rothfusz, The heat index equation, NWS Southern Region SR 90-23, 1990, with the adjustments and the simple
///   formula below 80 °F of the US National Weather Service (Weather Prediction Center, the heat index equation); the
///   limit of 40 °F: Anderson, Bell & Peng, Environ. Health Perspect. 121, 2013, 1111-1119 (from memory).
///
/// ```
/// use budward::science::exposure::heat_index;
/// use budward::units::{Celsius, RelativeHumidity};
///
/// // 90 °F at 60 %: 100 °F (chart of the weather service).
/// let felt = heat_index(Celsius::from_fahrenheit(90.0), RelativeHumidity::of_percent(60.0).unwrap());
/// assert!((felt.fahrenheit() - 100.0).abs() < 0.5);
/// ```
pub fn heat_index(temperature: Celsius, humidity: RelativeHumidity) -> Celsius {
    const AS_IT_IS: f64 = 40.0;
    const REGRESSION_FROM: f64 = 80.0;
    let (t, rh) = (temperature.fahrenheit(), humidity.percent());
    if t <= AS_IT_IS {
        return temperature;
    }
    // Steadman's simple formula; it is the mean with the air temperature already.
    let simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + rh * 0.094);
    if simple < REGRESSION_FROM {
        return Celsius::from_fahrenheit(simple);
    }
    Celsius::from_fahrenheit(rothfusz(t, rh) + adjustment(t, rh))
}

/// The regression, in °F of °F and %.
fn rothfusz(t: f64, rh: f64) -> f64 {
    -42.379 + 2.049_015_23 * t + 10.143_331_27 * rh
        - 0.224_755_41 * t * rh
        - 0.006_837_83 * t * t
        - 0.054_817_17 * rh * rh
        + 0.001_228_74 * t * t * rh
        + 0.000_852_82 * t * rh * rh
        - 0.000_001_99 * t * t * rh * rh
}

/// What is added to the regression in very dry and in very humid air, in °F.
fn adjustment(t: f64, rh: f64) -> f64 {
    if rh < 13.0 && (80.0..=112.0).contains(&t) {
        -(13.0 - rh) / 4.0 * ((17.0 - (t - 95.0).abs()) / 17.0).sqrt()
    } else if rh > 85.0 && (80.0..=87.0).contains(&t) {
        (rh - 85.0) / 10.0 * (87.0 - t) / 5.0
    } else {
        0.0
    }
}

/// The wind chill of the US weather service: how cold moving air feels on a face.
///
/// - Shape: air temperature and the mean wind 10 m above ground.
/// - Unit: °C and m/s in, °C out; worked in °F and mph.
/// - Domain: at or below 50 °F with more than 3 mph of wind; otherwise there is no wind chill.
/// - Accuracy: rounds to every cell of the service's chart.
/// - Source: US National Weather Service, wind chill chart and formula of 1 November 2001; Osczevski & Bluestein, Bull.
///   Amer. Meteor. Soc. 86, 2005, 1453-1458.
///
/// ```
/// use budward::science::exposure::wind_chill;
/// use budward::units::{Celsius, MetresPerSecond};
///
/// // 5 °F with 30 mph: -19 °F (chart of the weather service).
/// let felt = wind_chill(Celsius::from_fahrenheit(5.0), MetresPerSecond::from_miles_per_hour(30.0));
/// assert!((felt.unwrap().fahrenheit() + 19.0).abs() < 0.5);
/// ```
pub fn wind_chill(temperature: Celsius, wind: MetresPerSecond) -> Option<Celsius> {
    const WARMEST: f64 = 50.0;
    const LIGHTEST: f64 = 3.0;
    let (t, speed) = (temperature.fahrenheit(), wind.miles_per_hour());
    let v = speed.powf(0.16);
    (t <= WARMEST && speed > LIGHTEST)
        .then(|| Celsius::from_fahrenheit(35.74 + 0.6215 * t - 35.75 * v + 0.4275 * t * v))
}

/// The wind chill index in metric form, as in Canada and Britain; its rounded coefficients differ from the US form by up
/// to 0.1 °F.
///
/// - Shape: air temperature and the mean wind 10 m above ground.
/// - Unit: °C and m/s in, °C out; worked in °C and km/h.
/// - Domain: at or below 10 °C with 5 km/h of wind or more, at or below 0 °C with less; otherwise there is none.
/// - Accuracy: equals the calculator of the Canadian service to its printed digits.
/// - Source: Environment and Climate Change Canada, wind chill index, 2001; its form for light winds too.
pub fn wind_chill_metric(temperature: Celsius, wind: MetresPerSecond) -> Option<Celsius> {
    const WARMEST: f64 = 10.0;
    const LIGHT: f64 = 5.0;
    let (t, speed) = (temperature.degrees(), wind.kilometres_per_hour());
    if speed >= LIGHT && t <= WARMEST {
        let v = speed.powf(0.16);
        Some(Celsius::new(
            13.12 + 0.6215 * t - 11.37 * v + 0.3965 * t * v,
        ))
    } else if (0.0..LIGHT).contains(&speed) && t <= 0.0 {
        Some(Celsius::new(t + (-1.59 + 0.1345 * t) / LIGHT * speed))
    } else {
        None
    }
}
