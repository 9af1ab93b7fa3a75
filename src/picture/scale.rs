//! From values and days to places on the paper, and the ticks beside them.
//!
//! In: ranges. Out: scales and ticks. Does not draw.

use chrono::{Datelike, NaiveDate};

use super::font;

/// A straight scale from values to places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    /// The values at both ends.
    pub(super) values: (f64, f64),
    /// The places of them.
    pub(super) places: (f64, f64),
}

impl Scale {
    /// The place of a value; one beyond the ends lies at the end.
    pub(super) fn at(&self, value: f64) -> f64 {
        let (low, high) = self.values;
        let share = if high > low {
            ((value - low) / (high - low)).clamp(0.0, 1.0)
        } else {
            0.0
        };
        self.places.0 + share * (self.places.1 - self.places.0)
    }
}

/// A scale of days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Days {
    /// First and last day.
    pub(super) span: (NaiveDate, NaiveDate),
    /// The places of them.
    pub(super) places: (f64, f64),
}

impl Days {
    /// The place of a day; one outside lies at the end.
    pub(super) fn at(&self, day: NaiveDate) -> f64 {
        let scale = Scale {
            values: (0.0, number((self.span.1 - self.span.0).num_days())),
            places: self.places,
        };
        scale.at(number((day - self.span.0).num_days()))
    }

    /// Whether a day lies on it.
    pub(super) fn has(&self, day: NaiveDate) -> bool {
        self.span.0 <= day && day <= self.span.1
    }

    /// Two days as far as they lie on it; none when they do not.
    pub(super) fn part(&self, (from, to): (NaiveDate, NaiveDate)) -> Option<(f64, f64)> {
        let is_there = from <= self.span.1 && to >= self.span.0 && from <= to;
        is_there.then(|| (self.at(from), self.at(to)))
    }

    /// Days to name along it: the finest step of days or months whose names have room.
    pub(super) fn ticks(
        &self,
        name: &dyn Fn(NaiveDate) -> String,
        size: f64,
    ) -> Vec<(f64, String)> {
        let days = || {
            self.span
                .0
                .iter_days()
                .take_while(|day| *day <= self.span.1)
        };
        let today = self.span.0;
        let steps: [&dyn Fn(NaiveDate) -> bool; 9] = [
            &|_| true,
            &|day| every(today, day, 2),
            &|day| every(today, day, 3),
            &|day| every(today, day, 5),
            &|day| every(today, day, 7),
            &|day| matches!(day.day(), 1 | 15),
            &|day| day.day() == 1,
            &|day| day.day() == 1 && day.month0() % 2 == 0,
            &|day| day.day() == 1 && day.month0() % 3 == 0,
        ];
        let ticks = |of: &&&dyn Fn(NaiveDate) -> bool| -> Vec<(f64, String)> {
            let days = days().filter(|day| of(*day));
            days.map(|day| (self.at(day), name(day))).collect()
        };
        let found = steps
            .iter()
            .map(|step| ticks(&step))
            .find(|ticks| fit(ticks, size));
        found.unwrap_or_default()
    }
}

/// Room between the names of two ticks.
const GAP: f64 = 9.0;

/// Whether the names of ticks have room side by side.
fn fit(ticks: &[(f64, String)], size: f64) -> bool {
    let half = |text: &str| font::width(text, size) / 2.0;
    let neighbours = ticks.iter().zip(ticks.iter().skip(1));
    neighbours
        .into_iter()
        .all(|((x, a), (next, b))| next - x >= half(a) + half(b) + GAP)
}

fn every(first: NaiveDate, day: NaiveDate, step: i64) -> bool {
    (day - first).num_days() % step == 0
}

/// Round values from a low to a high one, in steps of 1, 2 or 5 times a power of ten, with at most so many of them.
pub(super) fn round_values(low: f64, high: f64, most: i32) -> Vec<f64> {
    let span = (high - low).max(f64::MIN_POSITIVE);
    let rough = span / f64::from(most.max(1));
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= rough * 0.999)
        .unwrap_or(10.0 * power);
    let first = (low / step - 1e-9).ceil();
    (0..=most + 1)
        .map(|n| (first + f64::from(n)) * step)
        .take_while(|value| *value <= high + step * 1e-9)
        .collect()
}

/// A whole number of days or pieces as a number to draw with.
pub(super) fn number(whole: i64) -> f64 {
    i32::try_from(whole).map_or(f64::from(i32::MAX), f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, day).unwrap()
    }

    #[test]
    fn values_beyond_the_ends_lie_at_them() {
        let scale = Scale {
            values: (0.0, 100.0),
            places: (200.0, 0.0),
        };
        for (value, place) in [(0.0, 200.0), (50.0, 100.0), (120.0, 0.0), (-3.0, 200.0)] {
            assert!((scale.at(value) - place).abs() < 1e-9, "{value}");
        }
    }

    #[test]
    fn ticks_are_round_and_not_too_many() {
        assert_eq!(
            round_values(0.0, 100.0, 5),
            [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]
        );
        assert_eq!(round_values(-7.3, 11.2, 5), [-5.0, 0.0, 5.0, 10.0]);
        assert_eq!(
            round_values(0.0, 2430.0, 5),
            [0.0, 500.0, 1000.0, 1500.0, 2000.0]
        );
        assert!(round_values(3.0, 3.0, 5).len() <= 7);
    }

    #[test]
    fn names_of_days_have_room() {
        let days = Days {
            span: (day(3, 24), day(7, 22)),
            places: (40.0, 330.0),
        };
        let name = |day: NaiveDate| day.format("%-d %b").to_string();
        let ticks = days.ticks(&name, 11.0);
        let names: Vec<&str> = ticks.iter().map(|(_, name)| name.as_str()).collect();
        assert_eq!(names, ["1 Apr", "1 May", "1 Jun", "1 Jul"]);
        let wide = Days {
            places: (40.0, 700.0),
            ..days
        };
        assert_eq!(
            wide.ticks(&name, 11.0).len(),
            8,
            "the first and the fifteenth"
        );
    }
}
