//! Quantities with their unit, as a keeper writes them: "-2 K", "143 m", "36 h".

use chrono::TimeDelta;
use thiserror::Error;

use crate::units::{CelsiusStep, Metres};

/// A text that is not a quantity of the wanted sort.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum QuantityError {
    #[error("\"{0}\" has no unit")]
    Bare(String),
    #[error("\"{text}\" has the unit \"{unit}\", which does not fit here")]
    Unit { text: String, unit: String },
    #[error("\"{0}\" does not begin with a number")]
    Number(String),
    #[error("\"{0}\" has a comma in its number, where a point belongs")]
    Comma(String),
    #[error("\"{0}\" is too large")]
    TooLarge(String),
}

/// A difference of temperatures.
pub(super) fn step(text: &str) -> Result<CelsiusStep, QuantityError> {
    let (number, unit) = split(text)?;
    match unit {
        "K" | "C" | "°C" => Ok(CelsiusStep::new(number)),
        "F" | "°F" => Ok(CelsiusStep::from_fahrenheit(number)),
        _ => Err(no_such_unit(text, unit)),
    }
}

/// A length.
pub(super) fn length(text: &str) -> Result<Metres, QuantityError> {
    /// Metres in a foot, by definition.
    const FOOT: f64 = 0.3048;
    let (number, unit) = split(text)?;
    match unit {
        "m" => Ok(Metres(number)),
        "ft" => Ok(Metres(number * FOOT)),
        _ => Err(no_such_unit(text, unit)),
    }
}

/// A span of time, to the whole second.
pub(super) fn duration(text: &str) -> Result<TimeDelta, QuantityError> {
    let (number, unit) = split(text)?;
    let seconds = match unit {
        "s" => 1.0,
        "min" => 60.0,
        "h" => 3600.0,
        "d" => 86_400.0,
        _ => return Err(no_such_unit(text, unit)),
    };
    let whole = format!("{:.0}", number * seconds);
    let too_large = || QuantityError::TooLarge(text.to_owned());
    TimeDelta::try_seconds(whole.parse().map_err(|_| too_large())?).ok_or_else(too_large)
}

fn no_such_unit(text: &str, unit: &str) -> QuantityError {
    QuantityError::Unit {
        text: text.to_owned(),
        unit: unit.to_owned(),
    }
}

/// Number and unit; the typographer's minus counts as a minus.
fn split(text: &str) -> Result<(f64, &str), QuantityError> {
    let trimmed = text.trim();
    let digits = |sign: char| sign.is_ascii_digit() || matches!(sign, '+' | '-' | '−' | '.' | ',');
    let end = trimmed.find(|sign| !digits(sign)).unwrap_or(trimmed.len());
    let (number, unit) = trimmed.split_at_checked(end).unwrap_or((trimmed, ""));
    if number.contains(',') {
        return Err(QuantityError::Comma(text.to_owned()));
    }
    let value = number
        .replace('−', "-")
        .parse()
        .map_err(|_| QuantityError::Number(text.to_owned()))?;
    match unit.trim() {
        "" => Err(QuantityError::Bare(text.to_owned())),
        unit => Ok((value, unit)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_read_in_both_units() {
        assert_eq!(step("-2 K"), Ok(CelsiusStep::new(-2.0)));
        assert_eq!(step("−2K"), Ok(CelsiusStep::new(-2.0)));
        assert_eq!(step("-4.5 F"), Ok(CelsiusStep::new(-2.5)));
        assert_eq!(step("+0.5 °C"), Ok(CelsiusStep::new(0.5)));
    }

    #[test]
    fn a_length_is_read_in_both_units() {
        // The international foot is 0.3048 m exactly (NIST Special Publication 811, appendix B; from memory).
        assert_eq!(length("143 m"), Ok(Metres(143.0)));
        assert!((length("1000 ft").unwrap().0 - 304.8).abs() < 1e-9);
    }

    #[test]
    fn a_duration_is_read_in_four_units() {
        for (text, seconds) in [
            ("20 s", 20),
            ("1.5 min", 90),
            ("36 h", 129_600),
            ("2 d", 172_800),
        ] {
            assert_eq!(duration(text), Ok(TimeDelta::seconds(seconds)));
        }
    }

    #[test]
    fn what_is_no_quantity_is_refused_with_its_reason() {
        assert!(matches!(step("-2"), Err(QuantityError::Bare(_))));
        assert!(matches!(step("-2 m"), Err(QuantityError::Unit { .. })));
        assert!(matches!(length("high"), Err(QuantityError::Number(_))));
        assert!(matches!(length("1,5 m"), Err(QuantityError::Comma(_))));
        assert!(matches!(
            duration("9e99 h"),
            Err(QuantityError::Unit { .. })
        ));
        assert!(matches!(
            duration("99999999999999999999 d"),
            Err(QuantityError::TooLarge(_))
        ));
    }
}
