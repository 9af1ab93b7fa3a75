//! When the last freeze of spring and the first of autumn come, by the years of a record.
//!
//! A year either has a freeze in that season or has none, and both count: the chance of a freeze after a date is a share
//! of all seasons, as in the freeze probabilities of the US climate normals (NOAA/NCEI, 1981-2010 supplemental normals,
//! readme), here with the record's own dates in place of a fitted law.

mod search;

use chrono::Datelike;
use serde::{Deserialize, Serialize};

use super::DailyRecord;
use crate::almanac::MonthDay;
use crate::garden::Hemisphere;
use crate::units::{Celsius, CelsiusStep, Chance, count};

pub use search::{Freezes, Season};

/// A day counts as a freeze up to this much above the threshold.
///
/// Records are kept in tenths of °C, so that 28 °F (-2.222 °C) stands there as -2.2. A whole °F lies at most 0.0444 K
/// from its tenth of °C; a tenth of °F is 0.0556 K. Between them the comparison is the same whether the record and the
/// threshold were in °C or in °F, and does not hang on the last digit of a conversion.
pub const TOLERANCE: CelsiusStep = CelsiusStep::new(0.045);

/// Most days of a season that may have no lowest temperature; ten void it (practice of the Utah Climate Center's freeze
/// date tool).
const MISSING_MAX: usize = 9;

/// The freeze dates of a place at one threshold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FreezeDates {
    /// As cold as this or colder is a freeze.
    pub threshold: Celsius,
    /// The last freeze of spring: 1 January to 31 July in the north, 1 July to 31 January in the south.
    pub last_spring: SeasonDates,
    /// The first freeze of autumn: 1 August to 31 December in the north, 1 February to 30 June in the south.
    pub first_autumn: SeasonDates,
}

/// The dates of one of the two seasons over the years.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeasonDates {
    /// How many seasons had nearly every day on record; only they count.
    pub seasons: usize,
    /// The freeze dates of the seasons that had a freeze, the worst first: the latest in spring, the earliest in autumn.
    pub dates: Vec<MonthDay>,
}

impl FreezeDates {
    /// The freeze dates of a record.
    ///
    /// A season counts when at most nine of its days have no lowest temperature, days beyond the record's ends included.
    pub fn of(record: &DailyRecord, threshold: Celsius, hemisphere: Hemisphere) -> Self {
        let of = |season| SeasonDates::of(record, threshold, hemisphere, season);
        Self {
            threshold,
            last_spring: of(Season::Spring),
            first_autumn: of(Season::Autumn),
        }
    }
}

impl SeasonDates {
    fn of(
        record: &DailyRecord,
        threshold: Celsius,
        hemisphere: Hemisphere,
        season: Season,
    ) -> Self {
        let freezes = Freezes::of(record, &[threshold], hemisphere, season);
        let dates = freezes.dates.iter().flatten();
        let mut dates: Vec<MonthDay> = dates
            .map(|date| MonthDay {
                month: date.month(),
                day: date.day(),
            })
            .collect();
        // By the order of the season, which may run over the end of the year.
        let (from, _) = season.months(hemisphere);
        dates.sort_by_key(|date| ((date.month + 12 - from) % 12, date.day));
        if season == Season::Spring {
            dates.reverse();
        }
        Self {
            seasons: freezes.seasons,
            dates,
        }
    }

    /// How many of the counted seasons had a freeze.
    pub fn with_freeze(&self) -> usize {
        self.dates.len()
    }

    /// The share of the counted seasons that had a freeze; none when no season counts.
    pub fn share(&self) -> Option<Chance> {
        (self.seasons > 0).then(|| Chance::of(count(self.dates.len()) / count(self.seasons)))
    }

    /// The date beyond which at most `percent` of all counted seasons have their freeze.
    ///
    /// In spring it is the earliest date such that at most that share of the seasons have their last freeze later; in
    /// autumn the latest date such that at most that share have their first freeze earlier. Seasons without a freeze are
    /// among those counted and have none later or earlier. When no more than that share have a freeze at all, every date
    /// would do and there is none.
    pub fn percentile(&self, percent: usize) -> Option<MonthDay> {
        self.dates.get(self.seasons * percent / 100).copied()
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::climate::DayExtremes;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// A record with 8 °C in every night from `first` to `last` but for those given.
    fn record(first: &str, last: &str, nights: &[(&str, Option<f64>)]) -> DailyRecord {
        let warm = DayExtremes {
            min: Some(Celsius::new(8.0)),
            max: Some(Celsius::new(15.0)),
        };
        let all = date(first)
            .iter_days()
            .take_while(|day| *day <= date(last))
            .map(|day| (day, warm));
        let given = nights.iter().map(|(day, min)| {
            (
                date(day),
                DayExtremes {
                    min: min.map(Celsius::new),
                    ..warm
                },
            )
        });
        let days: std::collections::BTreeMap<_, _> = all.chain(given).collect();
        DailyRecord::from_days("invented", days).unwrap()
    }

    fn north(record: &DailyRecord, threshold: Celsius) -> FreezeDates {
        FreezeDates::of(record, threshold, Hemisphere::North)
    }

    fn day(text: &str) -> MonthDay {
        text.to_owned().try_into().unwrap()
    }

    #[test]
    fn the_dates_of_a_built_year_are_those_of_xclim() {
        // xclim 0.62.0, last spring and first autumn day with `<=`, split at 1 August. Its 28 °F spring date is 2 April,
        // since -2.2222222222 °C is not below (28 - 32) / 1.8; here it is 5 April.
        let nights = [
            ("2000-03-10", -9.0),
            ("2000-04-02", -2.3),
            ("2000-04-05", -2.222_222_222_2),
            ("2000-04-20", 0.0),
            ("2000-04-28", -0.01),
            ("2000-05-12", 2.2),
            ("2000-07-31", -0.5),
            ("2000-10-03", 2.222_222_2),
            ("2000-10-11", 0.0),
            ("2000-10-12", -0.1),
            ("2000-10-30", -2.3),
            ("2000-11-20", -9.0),
        ]
        .map(|(day, min)| (day, Some(min)));
        let record = record("2000-01-01", "2000-12-31", &nights);
        for (fahrenheit, spring, autumn) in [
            (36.0, "07-31", "10-03"),
            (32.0, "07-31", "10-11"),
            (28.0, "04-05", "10-30"),
            (24.0, "03-10", "11-20"),
            (20.0, "03-10", "11-20"),
            (16.0, "03-10", "11-20"),
        ] {
            let found = north(&record, Celsius::from_fahrenheit(fahrenheit));
            let only = |date: &str| SeasonDates {
                seasons: 1,
                dates: vec![day(date)],
            };
            assert_eq!(found.last_spring, only(spring), "{fahrenheit} °F");
            assert_eq!(found.first_autumn, only(autumn), "{fahrenheit} °F");
        }
    }

    #[test]
    fn a_whole_degree_fahrenheit_counts_however_it_was_kept() {
        let fahrenheit = |degrees: f64| Celsius::from_fahrenheit(degrees).degrees();
        for degrees in (-40..=40).map(f64::from) {
            let exact = fahrenheit(degrees);
            let in_tenths = (exact * 10.0).round() / 10.0;
            let kept = [exact, in_tenths, in_tenths + 0.1, fahrenheit(degrees + 0.1)];
            let freezes = kept.map(|min| {
                let record = record("2001-01-01", "2001-07-31", &[("2001-04-01", Some(min))]);
                north(&record, Celsius::new(exact))
                    .last_spring
                    .with_freeze()
                    == 1
            });
            assert_eq!(freezes, [true, true, false, false], "{degrees} °F");
        }
    }

    #[test]
    fn a_season_with_ten_days_missing_does_not_count() {
        let missing: Vec<String> = (1..=10).map(|day| format!("2001-02-{day:02}")).collect();
        let seasons = |gaps: usize| {
            let gaps: Vec<_> = missing
                .iter()
                .take(gaps)
                .map(|day| (day.as_str(), None))
                .collect();
            let dates = north(
                &record("2001-01-01", "2001-12-31", &gaps),
                Celsius::new(0.0),
            );
            (dates.last_spring.seasons, dates.first_autumn.seasons)
        };
        assert_eq!(seasons(9), (1, 1));
        assert_eq!(seasons(10), (0, 1));
        // A record that begins ten days late has as many days missing.
        let late = record("2001-01-11", "2001-12-22", &[]);
        let dates = north(&late, Celsius::new(0.0));
        assert_eq!(
            (dates.last_spring.seasons, dates.first_autumn.seasons),
            (0, 1)
        );
        assert_eq!(dates.last_spring.share(), None);
        assert_eq!(dates.last_spring.percentile(50), None);
    }

    #[test]
    fn a_percentile_counts_the_seasons_without_a_freeze() {
        // Ten springs, eight with a freeze: on 1, 2 ... 8 April.
        let nights: Vec<String> = (1..=8).map(|n| format!("{}-04-{n:02}", 2000 + n)).collect();
        let nights: Vec<_> = nights
            .iter()
            .map(|night| (night.as_str(), Some(-1.0)))
            .collect();
        let spring = north(
            &record("2001-01-01", "2010-12-31", &nights),
            Celsius::new(0.0),
        )
        .last_spring;
        assert_eq!((spring.seasons, spring.with_freeze()), (10, 8));
        assert_eq!(spring.share(), Some(Chance::of(0.8)));
        // One of ten is later than the 7th, five are later than the 3rd, none of them has nine later than any date.
        let dates = [0, 10, 19, 20, 50, 79, 80, 90, 100].map(|percent| spring.percentile(percent));
        let april = |n: u32| Some(MonthDay { month: 4, day: n });
        assert_eq!(
            dates,
            [
                april(8),
                april(7),
                april(7),
                april(6),
                april(3),
                april(1),
                None,
                None,
                None
            ]
        );
    }

    #[test]
    fn in_the_south_the_seasons_run_over_the_new_year() {
        let nights = [
            ("2001-09-10", Some(-1.0)),
            ("2002-01-05", Some(-1.0)),
            ("2002-10-20", Some(-1.0)),
            ("2002-05-03", Some(-1.0)),
            ("2003-02-01", Some(-1.0)),
        ];
        let record = record("2001-07-01", "2003-06-30", &nights);
        let dates = FreezeDates::of(&record, Celsius::new(0.0), Hemisphere::South);
        let spring = SeasonDates {
            seasons: 2,
            dates: vec![day("01-05"), day("10-20")],
        };
        let autumn = SeasonDates {
            seasons: 2,
            dates: vec![day("02-01"), day("05-03")],
        };
        assert_eq!((dates.last_spring, dates.first_autumn), (spring, autumn));
    }

    #[test]
    fn a_leap_day_is_a_date() {
        let record = record("2004-01-01", "2004-12-31", &[("2004-02-29", Some(-1.0))]);
        assert_eq!(
            north(&record, Celsius::new(0.0)).last_spring.dates,
            [day("02-29")]
        );
    }

    #[test]
    fn freeze_dates_survive_being_kept() {
        let dates = north(
            &record("2004-01-01", "2004-12-31", &[("2004-04-02", Some(-1.0))]),
            Celsius::new(0.0),
        );
        let kept = serde_json::to_string(&dates).unwrap();
        assert_eq!(serde_json::from_str::<FreezeDates>(&kept).unwrap(), dates);
    }
}
