//! Days of the year, and how they move from zone to zone.

use serde::{Deserialize, Serialize};

/// A day of the year without its year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct MonthDay {
    /// 1 to 12.
    pub month: u32,
    /// 1 to 31.
    pub day: u32,
}

/// A span of dates in zone 7 of the northern hemisphere, and how it moves with the zone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ZoneDates {
    /// First day in zone 7.
    pub from: MonthDay,
    /// Last day in zone 7.
    pub to: MonthDay,
    /// Days later for each zone colder; below zero for what comes earlier in the cold.
    pub days_per_zone: i32,
}

/// The hardiness zones in which a kind winters outdoors, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HardyZones {
    /// The coldest one.
    pub coldest: u32,
    /// The warmest one.
    pub warmest: u32,
}

/// The middle of zone 7, for which the dates are given.
pub(super) const ZONE_7: f64 = 7.5;

/// Days by which a zone is later than the middle of zone 7, to the nearest whole day.
#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "a shift of some days fits; `as` saturates"
)]
pub fn zone_shift_days(zone: f64, days_per_zone: i32) -> i32 {
    ((ZONE_7 - zone) * f64::from(days_per_zone)).round() as i32
}

impl MonthDay {
    /// Days from 1 January in a year of 365 days; 29 February counts as the day before it.
    pub fn day_of_year(self) -> i32 {
        use chrono::{Datelike, NaiveDate};
        NaiveDate::from_ymd_opt(2001, self.month, self.day)
            .or_else(|| NaiveDate::from_ymd_opt(2001, self.month, self.day.saturating_sub(1)))
            .and_then(|date| i32::try_from(date.ordinal0()).ok())
            .unwrap_or(0)
    }
}

impl MonthDay {
    /// The day so many days after 1 January of a year of 365 days, around the year's end where it lies beyond it.
    pub(super) fn of_day_of_year(day: i32) -> Self {
        use chrono::{Datelike, NaiveDate};
        let ordinal = u32::try_from(day.rem_euclid(365)).unwrap_or(0) + 1;
        let date = NaiveDate::from_yo_opt(2001, ordinal).unwrap_or_default();
        Self {
            month: date.month(),
            day: date.day(),
        }
    }
}

impl TryFrom<String> for MonthDay {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let wrong = || format!("'{text}' is not a day of the year such as 04-15");
        let (month, day) = text.split_once('-').ok_or_else(wrong)?;
        let two_digits = |part: &str| {
            let plain = part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
            plain.then(|| part.parse().ok()).flatten()
        };
        let month = two_digits(month).ok_or_else(wrong)?;
        let day = two_digits(day).ok_or_else(wrong)?;
        // A leap year, so that 29 February is a day of the year.
        chrono::NaiveDate::from_ymd_opt(2000, month, day)
            .map(|_| Self { month, day })
            .ok_or_else(wrong)
    }
}

impl From<MonthDay> for String {
    fn from(day: MonthDay) -> Self {
        format!("{:02}-{:02}", day.month, day.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Result<MonthDay, String> {
        MonthDay::try_from(text.to_owned())
    }

    #[test]
    fn a_day_of_the_year_has_two_digits_each() {
        assert_eq!(day("04-15"), Ok(MonthDay { month: 4, day: 15 }));
        assert_eq!(day("02-29"), Ok(MonthDay { month: 2, day: 29 }));
        for wrong in ["13-01", "04-31", "4-15", "04-1", "0415", "+4-15", "april"] {
            assert!(day(wrong).unwrap_err().contains(wrong), "{wrong}");
        }
    }

    #[test]
    fn days_of_the_year_run_around_its_end() {
        for text in ["01-01", "03-01", "12-31"] {
            let of = day(text).unwrap();
            assert_eq!(MonthDay::of_day_of_year(of.day_of_year()), of);
        }
        assert_eq!(MonthDay::of_day_of_year(-1), day("12-31").unwrap());
        assert_eq!(MonthDay::of_day_of_year(366), day("01-02").unwrap());
    }

    #[test]
    fn the_leap_day_counts_as_the_day_before_it() {
        assert_eq!(day("01-01").unwrap().day_of_year(), 0);
        assert_eq!(
            day("02-29").unwrap().day_of_year(),
            day("02-28").unwrap().day_of_year()
        );
        assert_eq!(day("12-31").unwrap().day_of_year(), 364);
    }
}
