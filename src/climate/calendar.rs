//! The calendar of a place: by how many days the almanac's dates of zone 7 come later there.
//!
//! In: a [`Climate`], a date of zone 7 with its days per zone. Out: days. Does not know this year's weather.
//!
//! A hardiness zone tells of the coldest night and nothing of spring. By the sea winters are mild and springs long and
//! cool: there lilac flowers a month later than the zone has it. So the zone's date is moved half of the way to the day on
//! which the place has gathered the heat that the date has at St. Louis, where most dates of the almanac come from.

use chrono::{Days, NaiveDate};
use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use super::Climate;
use crate::almanac::{Event, MonthDay, zone_shift_days};
use crate::garden::Hemisphere;
use crate::science::degree_days::GROWTH_BASE;

/// Mean temperature of the months of St. Louis, January first, in °C (from memory: NOAA, U.S. Climate Normals 1991-2020).
const REFERENCE_MEANS: [f64; 12] = [
    0.1, 2.5, 8.1, 14.2, 19.7, 24.8, 26.9, 26.1, 22.0, 15.3, 8.4, 2.5,
];

/// Spread of the daily means about them in kelvin (estimate).
const REFERENCE_SPREAD: f64 = 5.5;

/// The hardiness zone of St. Louis: the middle of 6b, as the almanac's source of flowering dates has it.
const REFERENCE_ZONE: f64 = 6.75;

/// How much of the way from the zone's date to the day of the heat is believed: plants follow heat, but also the length of
/// the day (estimate; lilac, mock orange and forsythia of Toronto, Jena and North Yorkshire come within ten days of what
/// their gardeners see).
const BELIEVED: f64 = 0.5;

/// The heat moves a date by so many days at the most (estimate).
const MOVES_MAX: f64 = 28.0;

/// Dates of zone 7 that heat moves, as days of the year: whole from February to mid June, less and less until mid August;
/// later ones follow the length of the day (estimate).
const MOVED: (i32, i32, i32) = (31, 165, 226);

/// Days from a season in the north to the same season in the south.
const HALF_YEAR_DAYS: u64 = 184;

/// The days of a year.
const DAYS: usize = 366;

/// The calendar of a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Calendar {
    zone: f64,
    /// The heat gathered in a usual year by the end of each day from midwinter's new year on, in °C·d.
    usual: Vec<f64>,
    /// The same at the reference.
    reference: Vec<f64>,
}

impl Calendar {
    /// The calendar of a place with a climate.
    pub fn of(climate: &Climate, hemisphere: Hemisphere) -> Self {
        let first = NaiveDate::from_ymd_opt(2001, 1, 1).unwrap_or_default();
        let first = match hemisphere {
            Hemisphere::North => first,
            Hemisphere::South => first
                .checked_sub_days(Days::new(HALF_YEAR_DAYS))
                .unwrap_or(first),
        };
        let days = first.iter_days().take(DAYS).map(|date| {
            let (night, noon) = (climate.min.normals(date), climate.max.normals(date));
            let spread = f64::midpoint(night.spread, noon.spread);
            expected_heat(f64::midpoint(night.mean, noon.mean), spread)
        });
        Self {
            zone: climate.hardiness_zone(),
            usual: summed(days),
            reference: reference(),
        }
    }

    /// The hardiness zone of the place.
    pub const fn zone(&self) -> f64 {
        self.zone
    }

    /// Days by which an event with a date in zone 7 comes later at the place.
    pub fn shift_days(&self, event: Event, day: MonthDay, days_per_zone: i32) -> i32 {
        let day = day.day_of_year();
        let by_zone = zone_shift_days(self.zone, days_per_zone);
        let at_reference = day + zone_shift_days(REFERENCE_ZONE, days_per_zone);
        let heat = usize::try_from(at_reference)
            .ok()
            .and_then(|day| self.reference.get(day));
        let Some(heat) = heat.filter(|_| is_of_growth(event)) else {
            return by_zone;
        };
        let reached = self.usual.partition_point(|sum| sum < heat);
        let reached = i32::try_from(reached).unwrap_or(i32::MAX);
        let late = BELIEVED * f64::from(reached.saturating_sub(day + by_zone));
        by_zone + whole(moves(day) * late.clamp(-MOVES_MAX, MOVES_MAX))
    }
}

/// Whether heat brings an event about.
const fn is_of_growth(event: Event) -> bool {
    match event {
        Event::BudBreak
        | Event::BloomBegin
        | Event::BloomEnd
        | Event::FullLeaf
        | Event::FlushEnd
        | Event::BudSet => true,
        Event::LeafFall
        | Event::LastFreeze
        | Event::FirstFreeze
        | Event::WarmSpell
        | Event::HardFrost
        | Event::MidWinter
        | Event::MidSummer => false,
    }
}

/// How much of a move a date of zone 7 takes.
fn moves(day: i32) -> f64 {
    let (first, full, last) = MOVED;
    if day < first {
        return 0.0;
    }
    (f64::from(last - day) / f64::from(last - full)).clamp(0.0, 1.0)
}

#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "a shift of some days fits; `as` saturates"
)]
fn whole(days: f64) -> i32 {
    days.round() as i32
}

/// The heat to expect of a day whose mean temperature varies normally.
///
/// - Shape: `s (φ(z) + z Φ(z))`, `z = (mean - base) / s`
/// - Unit: °C·d
/// - Domain: a spread s above zero
/// - Accuracy: exact for normal days
/// - Source: the partial expectation of the normal law; Johnson, Kotz & Balakrishnan, Continuous univariate
///   distributions 1, 2nd edition, 1994, section 13.10.1 (truncated normal) (from memory)
fn expected_heat(mean: f64, spread: f64) -> f64 {
    let over = mean - GROWTH_BASE.degrees();
    let z = over / spread;
    let law = Normal::standard();
    spread * law.pdf(z) + over * law.cdf(z)
}

/// The heat gathered at the reference by the end of each day.
fn reference() -> Vec<f64> {
    let first = NaiveDate::from_ymd_opt(2001, 1, 1).unwrap_or_default();
    summed(first.iter_days().take(DAYS).map(|date| {
        use chrono::Datelike;
        let month = usize::try_from(date.month0()).unwrap_or(0);
        // From the middle of one month to that of the next the mean runs straight.
        let along = (f64::from(date.day()) - 15.5) / 30.5;
        let neighbour = if along < 0.0 { month + 11 } else { month + 1 } % 12;
        let mean = |month: usize| REFERENCE_MEANS.get(month).copied().unwrap_or(0.0);
        let here = mean(month);
        expected_heat(
            here + along.abs() * (mean(neighbour) - here),
            REFERENCE_SPREAD,
        )
    }))
}

fn summed(days: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut sum = 0.0;
    days.map(|heat| {
        sum += heat;
        sum
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heat_is_expected_below_the_base_too_and_is_the_excess_far_above_it() {
        // A standard normal about the base: 1/sqrt(2 pi).
        assert!((expected_heat(5.0, 1.0) - 0.398_942).abs() < 1e-6);
        assert!((expected_heat(25.0, 2.0) - 20.0).abs() < 1e-9);
        assert!(expected_heat(-20.0, 4.0) < 1e-6);
    }

    #[test]
    fn at_the_reference_the_dates_stay() {
        let place = Calendar {
            zone: REFERENCE_ZONE,
            usual: reference(),
            reference: reference(),
        };
        for (month, day) in [(2, 20), (4, 5), (5, 10), (6, 5), (9, 1)] {
            let shift = place.shift_days(Event::BloomEnd, MonthDay { month, day }, 7);
            assert_eq!(shift, zone_shift_days(REFERENCE_ZONE, 7), "{month}-{day}");
        }
    }

    #[test]
    fn a_cool_spring_is_late_and_autumn_does_not_care() {
        let cool = reference().iter().map(|heat| heat / 2.0).collect();
        let place = Calendar {
            zone: REFERENCE_ZONE,
            usual: cool,
            reference: reference(),
        };
        let shift = |month, day| {
            place.shift_days(Event::BloomEnd, MonthDay { month, day }, 7)
                - zone_shift_days(REFERENCE_ZONE, 7)
        };
        assert!((10..=28).contains(&shift(5, 10)), "{}", shift(5, 10));
        assert_eq!(shift(10, 1), 0);
        assert_eq!(shift(1, 15), 0);
    }
}
