//! Quantities as text in the units that a person reads.
//!
//! Minus is the ASCII hyphen, so that mails, tables and searches see the same text; nothing prints as minus zero.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    Celsius, CelsiusStep, Centimetres, DegreeDays, Kilograms, Metres, MetresPerSecond, Millimetres,
};

/// The units in which a garden's keeper reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum UnitSystem {
    /// °C, mm, m, km/h.
    #[default]
    Metric,
    /// °F, in, ft, mph.
    Us,
}

impl UnitSystem {
    /// A temperature: `-2.2 °C` to the tenth, `28 °F` to the whole degree.
    pub fn temperature(self, temperature: Celsius) -> String {
        match self {
            Self::Metric => format!("{} °C", rounded(temperature.degrees(), 1)),
            Self::Us => format!("{} °F", rounded(temperature.fahrenheit(), 0)),
        }
    }

    /// A temperature as a number of [`Self::degree`].
    pub fn degrees(self, temperature: Celsius) -> f64 {
        match self {
            Self::Metric => temperature.degrees(),
            Self::Us => temperature.fahrenheit(),
        }
    }

    /// The unit of temperatures.
    pub const fn degree(self) -> &'static str {
        match self {
            Self::Metric => "°C",
            Self::Us => "°F",
        }
    }

    /// A heat sum as a number of degree days in [`Self::degree`].
    pub fn degree_days(self, heat: DegreeDays) -> f64 {
        match self {
            Self::Metric => heat.sum(),
            Self::Us => heat.sum() * 1.8,
        }
    }

    /// A difference of temperatures: `-2.2 K` to the tenth, `-4 °F` to the whole degree.
    pub fn step(self, step: CelsiusStep) -> String {
        match self {
            Self::Metric => format!("{} K", shortest(step.kelvin(), 1)),
            Self::Us => format!("{} °F", rounded(step.fahrenheit(), 0)),
        }
    }

    /// A difference of temperatures for those who want it finer: `-2.0 K`, `-3.6 °F`, to the tenth.
    pub fn fine_step(self, step: CelsiusStep) -> String {
        match self {
            Self::Metric => format!("{} K", rounded(step.kelvin(), 1)),
            Self::Us => format!("{} °F", rounded(step.fahrenheit(), 1)),
        }
    }

    /// A heat sum: `45 °C·d`, `81 °F·d`, to the whole unit.
    pub fn heat(self, heat: DegreeDays) -> String {
        match self {
            Self::Metric => format!("{} °C·d", rounded(heat.sum(), 0)),
            Self::Us => format!("{} °F·d", rounded(heat.sum() * 1.8, 0)),
        }
    }

    /// A height or length: `143 m`, `469 ft`, to the whole unit.
    pub fn length(self, length: Metres) -> String {
        match self {
            Self::Metric => format!("{} m", rounded(length.0, 0)),
            Self::Us => format!("{} ft", rounded(length.0 / 0.3048, 0)),
        }
    }

    /// A distance between places: `6 km`, `4 mi`, to the whole unit.
    pub fn distance(self, distance: Metres) -> String {
        match self {
            Self::Metric => format!("{} km", rounded(distance.0 / 1000.0, 0)),
            Self::Us => format!("{} mi", rounded(distance.0 / 1609.344, 0)),
        }
    }

    /// A thickness: `10 cm`, `4 in`, to the whole unit.
    pub fn thickness(self, thickness: Centimetres) -> String {
        match self {
            Self::Metric => format!("{} cm", rounded(thickness.0, 0)),
            Self::Us => format!("{} in", rounded(thickness.0 / 2.54, 0)),
        }
    }

    /// A mass: `90 kg`, `200 lb`, to the whole unit.
    pub fn mass(self, mass: Kilograms) -> String {
        match self {
            Self::Metric => format!("{} kg", rounded(mass.0, 0)),
            Self::Us => format!("{} lb", rounded(mass.0 / 0.453_592_37, 0)),
        }
    }

    /// A depth of water: `5 mm` to the tenth, `0.2 in` to the hundredth, as rain gauges are read.
    pub fn water(self, water: Millimetres) -> String {
        match self {
            Self::Metric => format!("{} mm", shortest(water.0, 1)),
            Self::Us => format!("{} in", shortest(water.0 / 25.4, 2)),
        }
    }

    /// A speed: `10 km/h`, `7 mph`, to the whole unit.
    pub fn speed(self, speed: MetresPerSecond) -> String {
        match self {
            Self::Metric => format!("{} km/h", rounded(speed.0 * 3.6, 0)),
            Self::Us => format!("{} mph", rounded(speed.0 / 0.44704, 0)),
        }
    }
}

/// The number with so many decimals.
fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        Some(_) | None => text,
    }
}

/// The number with at most so many decimals, at least one, and no zeros at the end.
fn shortest(value: f64, decimals: usize) -> String {
    let text = rounded(value, decimals);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use std::fmt::Debug;
    use std::str::FromStr;

    use proptest::prelude::*;

    use super::*;

    const SYSTEMS: [UnitSystem; 2] = [UnitSystem::Metric, UnitSystem::Us];

    #[test]
    fn each_system_has_its_units() {
        let all = |units: UnitSystem| {
            [
                units.temperature(Celsius::new(-2.2)),
                units.step(CelsiusStep::new(-2.0)),
                units.length(Metres(143.0)),
                units.water(Millimetres(5.0)),
                units.speed(MetresPerSecond(3.0)),
            ]
        };
        assert_eq!(
            all(UnitSystem::Metric),
            ["-2.2 °C", "-2 K", "143 m", "5 mm", "11 km/h"]
        );
        assert_eq!(
            all(UnitSystem::Us),
            ["28 °F", "-4 °F", "469 ft", "0.2 in", "7 mph"]
        );
    }

    #[test]
    fn nothing_is_minus_zero() {
        assert_eq!(
            UnitSystem::Metric.temperature(Celsius::new(-0.04)),
            "0.0 °C"
        );
        assert_eq!(
            UnitSystem::Metric.temperature(Celsius::new(-0.06)),
            "-0.1 °C"
        );
        assert_eq!(
            UnitSystem::Us.temperature(Celsius::from_fahrenheit(-0.4)),
            "0 °F"
        );
        assert_eq!(UnitSystem::Metric.step(CelsiusStep::new(-0.04)), "0 K");
        assert_eq!(UnitSystem::Us.step(CelsiusStep::new(-0.2)), "0 °F");
        assert_eq!(UnitSystem::Metric.length(Metres(-0.3)), "0 m");
    }

    #[test]
    fn round_numbers_keep_their_zeros() {
        assert_eq!(UnitSystem::Metric.length(Metres(100.0)), "100 m");
        assert_eq!(UnitSystem::Metric.water(Millimetres(20.0)), "20 mm");
        assert_eq!(UnitSystem::Us.water(Millimetres(254.0)), "10 in");
        assert_eq!(UnitSystem::Metric.step(CelsiusStep::new(10.0)), "10 K");
    }

    /// What is shown reads back within half its last digit, and shows the same again.
    fn reads_back<Q: FromStr<Err: Debug>>(
        show: impl Fn(&Q) -> String,
        value: &Q,
        off: impl Fn(&Q) -> f64,
    ) {
        let shown = show(value);
        let read: Q = shown.parse().unwrap();
        assert!(off(&read).abs() <= 0.5 + 1e-6, "{shown}");
        assert_eq!(show(&read), shown);
    }

    proptest! {
        #[test]
        fn a_temperature_reads_back(degrees in -89.0_f64..59.0) {
            let value = Celsius::new(degrees);
            for (units, digit) in SYSTEMS.into_iter().zip([0.1, 1.0 / 1.8]) {
                reads_back(|t| units.temperature(*t), &value, |read| (*read - value).kelvin() / digit);
            }
        }

        #[test]
        fn a_step_reads_back(kelvin in -49.0_f64..49.0) {
            let value = CelsiusStep::new(kelvin);
            for (units, digit) in SYSTEMS.into_iter().zip([0.1, 1.0 / 1.8]) {
                reads_back(|step| units.step(*step), &value, |read| (*read - value).kelvin() / digit);
            }
        }

        #[test]
        fn a_length_reads_back(metres in -499.0_f64..8999.0) {
            for (units, digit) in SYSTEMS.into_iter().zip([1.0, 0.3048]) {
                reads_back(|length| units.length(*length), &Metres(metres), |read| (read.0 - metres) / digit);
            }
        }

        #[test]
        fn a_depth_of_water_reads_back(millimetres in 0.0_f64..1999.0) {
            for (units, digit) in SYSTEMS.into_iter().zip([0.1, 0.254]) {
                let value = Millimetres(millimetres);
                reads_back(|water| units.water(*water), &value, |read| (read.0 - millimetres) / digit);
            }
        }

        #[test]
        fn a_speed_reads_back(metres in 0.0_f64..149.0) {
            for (units, digit) in SYSTEMS.into_iter().zip([1.0 / 3.6, 0.44704]) {
                let value = MetresPerSecond(metres);
                reads_back(|speed| units.speed(*speed), &value, |read| (read.0 - metres) / digit);
            }
        }
    }
}
