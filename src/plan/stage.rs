//! A renewal over several years: which part of it is due, by the cuts that were made.

use chrono::{Datelike, NaiveDate};
use serde::Serialize;

use crate::garden::Deed;

/// An overgrown shrub is renewed in so many years, a third of its oldest stems each time (Iowa State University
/// Extension; North Carolina State Extension).
pub const STAGES: usize = 3;

/// A renewal that was let lie for more years than this begins anew (estimate).
const PAUSE_YEARS: i32 = 2;

/// How far a renewal has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Stage {
    /// Part `year` of `of`, counted from 1.
    Due {
        /// Which part.
        year: usize,
        /// Of how many.
        of: usize,
    },
    /// The last part was made in the year before or the one before that: there is nothing to renew.
    Finished {
        /// In which year.
        on: i32,
    },
}

impl Stage {
    /// What is due in the year that begins on a day, after the parts that were made; cuts of one calendar year are
    /// one part.
    pub fn of(made: &[&Deed], start: NaiveDate) -> Self {
        let mut years: Vec<i32> = made
            .iter()
            .map(|deed| deed.on.year())
            .filter(|year| *year < start.year())
            .collect();
        years.sort_unstable();
        years.dedup();
        let mut last = start.year();
        // The latest run of years without a long pause, newest first.
        let run = years.iter().rev().take_while(|year| {
            let goes_on = last - **year <= PAUSE_YEARS;
            last = **year;
            goes_on
        });
        let parts = run.count();
        match years.last() {
            Some(on) if parts > 0 && parts % STAGES == 0 => Self::Finished { on: *on },
            Some(_) | None => Self::Due {
                year: parts % STAGES + 1,
                of: STAGES,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stage(years: &[i32], year: i32) -> Stage {
        let deeds: Vec<Deed> = years
            .iter()
            .map(|year| Deed {
                cut: "old-lilac-renewal".to_owned(),
                planting: "old lilac".to_owned(),
                on: NaiveDate::from_ymd_opt(*year, 3, 20).unwrap(),
                share: Some(33),
                note: None,
            })
            .collect();
        let made: Vec<&Deed> = deeds.iter().collect();
        Stage::of(&made, NaiveDate::from_ymd_opt(year, 1, 1).unwrap())
    }

    fn due(year: usize) -> Stage {
        Stage::Due { year, of: STAGES }
    }

    #[test]
    fn a_third_a_year_for_three_years() {
        assert_eq!(stage(&[], 2026), due(1));
        assert_eq!(stage(&[2025], 2026), due(2));
        assert_eq!(stage(&[2024, 2025], 2026), due(3));
        assert_eq!(
            stage(&[2023, 2024, 2025], 2026),
            Stage::Finished { on: 2025 }
        );
    }

    #[test]
    fn two_cuts_in_a_year_are_one_part_and_the_plan_of_a_year_does_not_change_in_it() {
        assert_eq!(stage(&[2025, 2025], 2026), due(2));
        assert_eq!(stage(&[2025, 2026], 2026), due(2));
    }

    #[test]
    fn a_year_left_out_is_forgiven_and_a_long_pause_begins_anew() {
        assert_eq!(stage(&[2024], 2026), due(2));
        assert_eq!(stage(&[2023], 2026), due(1));
        assert_eq!(stage(&[2015, 2016, 2017, 2025], 2026), due(2));
    }
}
