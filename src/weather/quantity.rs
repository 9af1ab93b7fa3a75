//! The quantities that services send: their units by name, what can occur, which of two values for one hour stands.

use std::ops::RangeInclusive;

use crate::units::Celsius;

/// A way from a service's unit into ours.
type Conversion = fn(f64) -> f64;

/// One measured quantity.
pub(super) struct Quantity {
    /// The names under which services give its units, each with its way into ours.
    pub(super) units: &'static [(&'static str, Conversion)],
    /// Our unit, for complaints.
    pub(super) ours: &'static str,
    /// The values that can occur, in our unit.
    pub(super) possible: RangeInclusive<f64>,
    /// Which of two values for one hour stands.
    pub(super) of_two: fn(f64, f64) -> f64,
}

/// Air temperature and dew point.
///
/// Bounds: WMO World Weather and Climate Extremes Archive: -89.2 °C at Vostok 1983, 56.7 °C at Furnace Creek 1913; a
/// degree and a few more for what a model may compute. A service that contradicts itself is taken at its colder word.
pub(super) const TEMPERATURE: Quantity = Quantity {
    units: &[
        ("°C", as_it_is),
        ("celsius", as_it_is),
        ("degC", as_it_is),
        ("°F", from_fahrenheit),
        ("degF", from_fahrenheit),
    ],
    ours: "°C",
    possible: -90.0..=60.0,
    of_two: f64::min,
};

/// Relative humidity and cloud cover in percent; models overshoot saturation by a few.
pub(super) const PERCENT: Quantity = Quantity {
    units: &[("%", as_it_is), ("percent", as_it_is)],
    ours: "%",
    possible: 0.0..=105.0,
    of_two: f64::max,
};

/// Rain and melted snow of an hour.
///
/// Bounds: WMO World Weather and Climate Extremes Archive: 305 mm in 42 minutes at Holt, Missouri, 1947 (from memory).
pub(super) const RAIN: Quantity = Quantity {
    units: &[("mm", as_it_is), ("inch", |inches| inches * 25.4)],
    ours: "mm",
    possible: 0.0..=450.0,
    of_two: f64::max,
};

/// Mean wind and gusts.
///
/// Bounds: WMO World Weather and Climate Extremes Archive: a gust of 113 m/s at Barrow Island 1996 (from memory).
pub(super) const WIND: Quantity = Quantity {
    units: &[
        ("km/h", |speed| speed / 3.6),
        ("km_h-1", |speed| speed / 3.6),
        ("m/s", as_it_is),
        ("m_s-1", as_it_is),
        ("mp/h", |speed| speed * 0.447_04),
        ("kn", |speed| speed * 1852.0 / 3600.0),
    ],
    ours: "m/s",
    possible: 0.0..=120.0,
    of_two: f64::max,
};

/// Shortwave radiation on level ground.
///
/// Bounds: the sun gives 1361 W/m² above the air (Kopp & Lean, Geophys. Res. Lett. 38, 2011, L01706), broken clouds add
/// a little; models and sensors send a few watts below zero at night.
pub(super) const RADIATION: Quantity = Quantity {
    units: &[("W/m²", as_it_is)],
    ours: "W/m²",
    possible: -20.0..=1600.0,
    of_two: f64::max,
};

/// The code of the present weather: WMO Manual on Codes, No. 306, table 4677. 95 to 99 are thunderstorms at the time,
/// so of two the higher stands.
pub(super) const WEATHER_CODE: Quantity = Quantity {
    units: &[("wmo code", as_it_is)],
    ours: "",
    possible: 0.0..=99.0,
    of_two: f64::max,
};

/// A thing that is there, one, or not, zero; without a unit.
pub(super) const FLAG: Quantity = Quantity {
    units: &[("", as_it_is)],
    ours: "",
    possible: 0.0..=1.0,
    of_two: f64::max,
};

fn from_fahrenheit(degrees: f64) -> f64 {
    Celsius::from_fahrenheit(degrees).degrees()
}

const fn as_it_is(value: f64) -> f64 {
    value
}

impl Quantity {
    /// The way from a unit into ours; the names that are allowed where it is none of them.
    pub(super) fn conversion(&self, unit: &str) -> Result<Conversion, String> {
        let found = self.units.iter().find(|(name, _)| *name == unit);
        found.map(|(_, convert)| *convert).ok_or_else(|| {
            let names: Vec<&str> = self.units.iter().map(|(name, _)| *name).collect();
            match names.split_last() {
                Some((last, [])) => format!("allowed is {last}"),
                Some((last, others)) => format!("allowed are {} and {last}", others.join(", ")),
                None => String::new(),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_known_by_name_and_converted() {
        let of = |quantity: &Quantity, unit, value| quantity.conversion(unit).map(|by| by(value));
        let near = |got: Result<f64, String>, expected: f64| {
            assert!((got.clone().unwrap() - expected).abs() < 1e-9, "{got:?}");
        };
        // Definitions of the inch, the international mile and the nautical mile.
        near(of(&RAIN, "inch", 0.5), 12.7);
        near(of(&WIND, "km/h", 36.0), 10.0);
        near(of(&WIND, "mp/h", 25.0), 11.176);
        near(of(&WIND, "kn", 3600.0), 1852.0);
        assert_eq!(
            of(&WIND, "mph", 1.0),
            Err("allowed are km/h, km_h-1, m/s, m_s-1, mp/h and kn".to_owned())
        );
        assert_eq!(
            of(&PERCENT, "1", 1.0),
            Err("allowed are % and percent".to_owned())
        );
    }
}
