//! Quantities from text with their unit.
//!
//! In: text such as `28 °F`. Out: a quantity, or a [`UnitError`] that says what to write. A number without a unit is
//! an error, since nobody can tell 28 °F from 28 °C afterwards.

mod quantity;

use std::ops::RangeInclusive;
use std::str::FromStr;

use thiserror::Error;

use self::quantity::{LENGTH, MASS, Quantity, SPEED, STEP, TEMPERATURE, THICKNESS, Unit, WATER};
use super::{Celsius, CelsiusStep, Centimetres, Kilograms, Metres, MetresPerSecond, Millimetres};

/// Air temperatures near the ground that are believed, in °C.
///
/// The records are -89.2 and 56.7 °C (WMO archive of weather and climate extremes; from memory).
pub const AIR_RANGE: RangeInclusive<f64> = -90.0..=60.0;

/// Text that is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum UnitError {
    /// There is no number in front.
    #[error("'{found}' is not a number with a unit; write it as in {example}{}", hint(.nearest.as_ref()))]
    NotNumber {
        /// What was written.
        found: String,
        /// A quantity of that kind.
        example: &'static str,
        /// What was probably meant.
        nearest: Option<String>,
    },
    /// There is a number and nothing else.
    #[error("'{found}' has no unit; write it with one of {allowed}, as in {example}")]
    NoUnit {
        /// What was written.
        found: String,
        /// The units of that kind.
        allowed: String,
        /// A quantity of that kind.
        example: &'static str,
    },
    /// The unit is none of that kind.
    #[error("'{found}' has the unit '{unit}'; allowed are {allowed}{}", hint(.nearest.as_ref()))]
    UnknownUnit {
        /// What was written.
        found: String,
        /// Its unit.
        unit: String,
        /// The units of that kind.
        allowed: String,
        /// What was probably meant.
        nearest: Option<String>,
    },
    /// No such value occurs.
    #[error("'{found}' is outside {allowed}")]
    OutOfRange {
        /// What was written.
        found: String,
        /// What does occur.
        allowed: String,
    },
}

fn hint(nearest: Option<&String>) -> String {
    nearest.map_or_else(String::new, |text| format!("; did you mean '{text}'?"))
}

impl Quantity {
    fn read(&self, text: &str) -> Result<f64, UnitError> {
        let found = text.trim();
        let end = found.find(|c: char| !(c.is_ascii_digit() || "+-−.,".contains(c)));
        let (number, unit) = found.split_at(end.unwrap_or(found.len()));
        let unit = unit.trim();
        let value: f64 = number
            .replace('−', "-")
            .parse()
            .map_err(|_| UnitError::NotNumber {
                found: found.to_owned(),
                example: self.example,
                nearest: self.with_point(number, unit),
            })?;
        if unit.is_empty() {
            return Err(UnitError::NoUnit {
                found: found.to_owned(),
                allowed: self.symbols(),
                example: self.example,
            });
        }
        let Some(known) = self.unit(unit) else {
            return Err(UnitError::UnknownUnit {
                found: found.to_owned(),
                unit: unit.to_owned(),
                allowed: self.symbols(),
                nearest: self
                    .nearest(unit)
                    .map(|symbol| format!("{number} {symbol}")),
            });
        };
        let kept = (known.keep)(value);
        if self.range.contains(&kept) {
            Ok(kept)
        } else {
            Err(UnitError::OutOfRange {
                found: found.to_owned(),
                allowed: self.range_text(),
            })
        }
    }

    fn unit(&self, written: &str) -> Option<&Unit> {
        self.units
            .iter()
            .find(|unit| unit.symbol == written || unit.also.contains(&written))
    }

    /// The symbol of the unit that was probably meant.
    fn nearest(&self, written: &str) -> Option<&'static str> {
        let written = written.to_lowercase();
        self.units
            .iter()
            .flat_map(|unit| {
                let spellings = [unit.symbol].into_iter().chain(unit.also.iter().copied());
                spellings
                    .chain(unit.meant.iter().copied())
                    .map(|spelling| (unit.symbol, spelling))
            })
            .map(|(symbol, spelling)| {
                (
                    strsim::jaro_winkler(&written, &spelling.to_lowercase()),
                    symbol,
                )
            })
            .filter(|(likeness, _)| *likeness >= 0.75)
            .max_by(|(a, _), (b, _)| a.total_cmp(b))
            .map(|(_, symbol)| symbol)
    }

    /// The same quantity with a decimal point where a comma was written.
    fn with_point(&self, number: &str, unit: &str) -> Option<String> {
        let pointed = number.replacen(',', ".", 1);
        (pointed != number && pointed.parse::<f64>().is_ok() && self.unit(unit).is_some())
            .then(|| format!("{pointed} {unit}"))
    }

    fn symbols(&self) -> String {
        let symbols: Vec<&str> = self.units.iter().map(|unit| unit.symbol).collect();
        symbols.join(", ")
    }

    fn range_text(&self) -> String {
        let unit = self.units.first().map_or("", |unit| unit.symbol);
        format!("{} to {} {unit}", self.range.start(), self.range.end())
    }
}

impl FromStr for Celsius {
    type Err = UnitError;

    /// An air temperature such as `28 °F`, `28 F`, `-2.2 °C` or `-2.2 degC`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        TEMPERATURE.read(text).map(Self::new)
    }
}

impl FromStr for CelsiusStep {
    type Err = UnitError;

    /// A difference of temperatures such as `-2 K`, `2 °C` or `-4 °F`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        STEP.read(text).map(Self::new)
    }
}

impl FromStr for Metres {
    type Err = UnitError;

    /// A height such as `143 m` or `470 ft`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        LENGTH.read(text).map(Self)
    }
}

impl FromStr for Millimetres {
    type Err = UnitError;

    /// A depth of water such as `5 mm` or `0.2 in`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        WATER.read(text).map(Self)
    }
}

impl FromStr for Centimetres {
    type Err = UnitError;

    /// A thickness such as `10 cm` or `4 in`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        THICKNESS.read(text).map(Self)
    }
}

impl FromStr for Kilograms {
    type Err = UnitError;

    /// A mass such as `90 kg` or `200 lb`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        MASS.read(text).map(Self)
    }
}

impl FromStr for MetresPerSecond {
    type Err = UnitError;

    /// A speed such as `3 m/s`, `10 km/h` or `7 mph`.
    fn from_str(text: &str) -> Result<Self, UnitError> {
        SPEED.read(text).map(Self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_is_read_in_each_of_its_units() {
        let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found}");
        for text in ["28 F", "28 °F", "28°F", " 28  degF ", "28.0 F", "+28 F"] {
            near(
                text.parse::<Celsius>().unwrap().degrees(),
                -2.222_222_222_222,
            );
        }
        for text in ["-2.2 C", "-2.2 °C", "-2.2 degC", "−2.2 °C"] {
            near(text.parse::<Celsius>().unwrap().degrees(), -2.2);
        }
        for (text, kelvin) in [("-4 F", -2.222_222_222_222), ("-2 K", -2.0), ("2 °C", 2.0)] {
            near(text.parse::<CelsiusStep>().unwrap().kelvin(), kelvin);
        }
        // A foot is 0.3048 m, an inch 25.4 mm, a mile 1609.344 m exactly (international yard and pound agreement, 1959).
        near("143 m".parse::<Metres>().unwrap().0, 143.0);
        near("470 ft".parse::<Metres>().unwrap().0, 143.256);
        near("5 mm".parse::<Millimetres>().unwrap().0, 5.0);
        near("0.2 in".parse::<Millimetres>().unwrap().0, 5.08);
        near("10 cm".parse::<Centimetres>().unwrap().0, 10.0);
        near("4 in".parse::<Centimetres>().unwrap().0, 10.16);
        near("90 kg".parse::<Kilograms>().unwrap().0, 90.0);
        // A pound is 0.45359237 kg exactly (the same agreement).
        near("200 lb".parse::<Kilograms>().unwrap().0, 90.718_474);
        near("3 m/s".parse::<MetresPerSecond>().unwrap().0, 3.0);
        near(
            "10 km/h".parse::<MetresPerSecond>().unwrap().0,
            2.777_777_777_778,
        );
        near("7 mph".parse::<MetresPerSecond>().unwrap().0, 3.129_28);
    }

    #[test]
    fn what_is_wrong_is_said_with_what_to_write() {
        let said = |text: &str| text.parse::<Celsius>().unwrap_err().to_string();
        assert_eq!(
            said("28"),
            "'28' has no unit; write it with one of °C, °F, as in -2.2 °C"
        );
        assert_eq!(
            said("28 f"),
            "'28 f' has the unit 'f'; allowed are °C, °F; did you mean '28 °F'?"
        );
        assert_eq!(
            said("28 Farenheit"),
            "'28 Farenheit' has the unit 'Farenheit'; allowed are °C, °F; did you mean '28 °F'?"
        );
        assert_eq!(
            said("271 K"),
            "'271 K' has the unit 'K'; allowed are °C, °F"
        );
        assert_eq!(
            said("-2,2 C"),
            "'-2,2 C' is not a number with a unit; write it as in -2.2 °C; did you mean '-2.2 C'?"
        );
        assert_eq!(said("200 F"), "'200 F' is outside -90 to 60 °C");
        let height = "470 feet".parse::<Metres>().unwrap_err().to_string();
        assert_eq!(
            height,
            "'470 feet' has the unit 'feet'; allowed are m, ft; did you mean '470 ft'?"
        );
    }

    #[test]
    fn no_number_is_no_quantity() {
        for text in [
            "", "C", "nan C", "inf °C", "-inf C", "--2 C", "2-3 C", ". C", "1e1 C", "2 C 3",
            "0x10 C",
        ] {
            assert!(text.parse::<Celsius>().is_err(), "{text}");
        }
    }

    #[test]
    fn a_value_that_never_occurs_is_refused() {
        let endless = format!("{} m", "9".repeat(400));
        assert!(matches!(
            endless.parse::<Metres>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "-1 mm".parse::<Millimetres>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "900 km/h".parse::<MetresPerSecond>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "60 K".parse::<CelsiusStep>(),
            Err(UnitError::OutOfRange { .. })
        ));
        assert!(matches!(
            "-131 F".parse::<Celsius>(),
            Err(UnitError::OutOfRange { .. })
        ));
    }
}
