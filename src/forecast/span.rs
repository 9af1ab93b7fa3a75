//! Extremes of a span of several hours, where a service gives no hours.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};
use serde::{Deserialize, Serialize};

use super::Extremes;
use crate::garden::Zone;
use crate::units::Celsius;

/// Lowest and highest temperature of the hours from `start` on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Span {
    /// The first full UTC hour.
    pub start: DateTime<Utc>,
    /// How many hours.
    pub hours: u8,
    /// The lowest temperature.
    pub min: Celsius,
    /// The highest temperature.
    pub max: Celsius,
}

impl Span {
    /// Both extremes.
    pub fn extremes(&self) -> Extremes {
        (self.min, self.max)
    }

    /// The local days to which the span belongs, each with the span's hours in it: the instant and the local hour.
    ///
    /// It belongs to each day that has a third of its hours or more (common practice, no source): of six hours about
    /// midnight both days get the extremes, so that a night comes out too cold rather than too warm; an hour beyond
    /// midnight does not lend a whole night to the day before.
    pub(super) fn days(&self, zone: &Zone) -> BTreeMap<NaiveDate, Vec<(DateTime<Utc>, u32)>> {
        let mut days: BTreeMap<NaiveDate, Vec<(DateTime<Utc>, u32)>> = BTreeMap::new();
        for hour in 0..i64::from(self.hours) {
            let Some(at) = self.start.checked_add_signed(TimeDelta::hours(hour)) else {
                break;
            };
            let local = zone.local(at);
            days.entry(local.date())
                .or_default()
                .push((at, local.hour()));
        }
        days.retain(|_, inside| inside.len() * 3 >= usize::from(self.hours));
        days
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_hours_about_midnight_belong_to_the_days_that_have_two_of_them() {
        let days = |zone: &str, start: &str| -> Vec<(String, usize)> {
            let span = Span {
                start: start.parse().unwrap(),
                hours: 6,
                min: Celsius::new(0.0),
                max: Celsius::new(5.0),
            };
            let days = span.days(&Zone::named(zone).unwrap());
            let counted = days.into_iter();
            counted
                .map(|(day, inside)| (day.to_string(), inside.len()))
                .collect()
        };
        let of = |day: &str, hours| (day.to_owned(), hours);
        // 20:00 to 02:00 in summer, 19:00 to 01:00 in winter, 23:30 to 05:30 in India.
        assert_eq!(
            days("Europe/Vienna", "2027-06-01T18:00:00Z"),
            [of("2027-06-01", 4), of("2027-06-02", 2)]
        );
        assert_eq!(
            days("Europe/Vienna", "2027-01-01T18:00:00Z"),
            [of("2027-01-01", 5)]
        );
        assert_eq!(
            days("Asia/Kolkata", "2027-01-01T18:00:00Z"),
            [of("2027-01-02", 5)]
        );
    }
}
