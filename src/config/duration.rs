//! Spans of time as a keeper writes them: "20 s", "36 h".

use chrono::TimeDelta;
use thiserror::Error;

/// Each unit with its seconds.
const UNITS: [(&str, f64); 4] = [("s", 1.0), ("min", 60.0), ("h", 3600.0), ("d", 86_400.0)];

/// A text that is not a span of time.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum DurationError {
    #[error("'{0}' is not a number with a unit")]
    NotNumber(String),
    #[error("'{0}' has no unit; write it with one of s, min, h, d")]
    NoUnit(String),
    #[error("'{text}' has the unit '{unit}'; allowed are s, min, h, d")]
    UnknownUnit { text: String, unit: String },
    #[error("'{0}' is too long")]
    TooLong(String),
}

/// A span of time, to the whole second.
pub(super) fn read(text: &str) -> Result<TimeDelta, DurationError> {
    let found = text.trim();
    let is_unit = |sign: char| !(sign.is_ascii_digit() || matches!(sign, '.' | '-' | '+' | ','));
    let end = found.find(is_unit).unwrap_or(found.len());
    let (number, unit) = found.split_at_checked(end).unwrap_or((found, ""));
    let not_number = |_| DurationError::NotNumber(found.to_owned());
    let number: f64 = number.parse().map_err(not_number)?;
    let unit = unit.trim();
    if unit.is_empty() {
        return Err(DurationError::NoUnit(found.to_owned()));
    }
    let Some((_, seconds)) = UNITS.iter().find(|(symbol, _)| *symbol == unit) else {
        return Err(DurationError::UnknownUnit {
            text: found.to_owned(),
            unit: unit.to_owned(),
        });
    };
    let whole = format!("{:.0}", number * seconds).parse().ok();
    whole
        .and_then(TimeDelta::try_seconds)
        .ok_or_else(|| DurationError::TooLong(found.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_duration_is_read_in_four_units() {
        for (text, seconds) in [
            ("20 s", 20),
            ("1.5 min", 90),
            ("36h", 129_600),
            (" 2 d ", 172_800),
        ] {
            assert_eq!(read(text), Ok(TimeDelta::seconds(seconds)));
        }
    }

    #[test]
    fn what_is_no_duration_is_refused_with_its_reason() {
        assert!(matches!(read("20"), Err(DurationError::NoUnit(_))));
        assert!(matches!(
            read("20 hours"),
            Err(DurationError::UnknownUnit { .. })
        ));
        assert!(matches!(read("soon"), Err(DurationError::NotNumber(_))));
        assert!(matches!(read("1,5 h"), Err(DurationError::NotNumber(_))));
        let far = "99999999999999999999 d";
        assert!(matches!(read(far), Err(DurationError::TooLong(_))));
    }
}
