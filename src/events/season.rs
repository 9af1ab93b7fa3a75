//! One season at a place: every run of days that it may have.

use chrono::{Days, NaiveDate};

use super::Counted;
use super::tally::{Spread, Tally};
use crate::climate::{Climate, Normals};
use crate::forecast::Extremes;
use crate::garden::Hemisphere;
use crate::outlook::{Futures, MeasuredDays, Outlook};
use crate::units::Celsius;

/// Days of a season at the most.
pub(super) const SEASON_DAYS: usize = 366;

/// What past years did on each day of a season, moved to now, year by year.
#[derive(Debug, Clone)]
pub(super) struct Usual {
    pub(super) years: Vec<Vec<Extremes>>,
    /// From the coldest to the warmest daily mean of the usual year, in kelvin.
    pub(super) swing: f64,
}

/// One season.
#[derive(Debug, Clone)]
pub(super) struct Season<'a> {
    pub(super) counted: Counted,
    /// The days before today: one way where all are measured, else one for each past year that stands in.
    past: Vec<Vec<Extremes>>,
    /// Today and what follows; none when the season is over.
    futures: Option<&'a Futures>,
    /// Days of the futures before the season.
    skip: usize,
}

/// One run of days of a season.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run<'a> {
    pub(super) past: &'a [Extremes],
    pub(super) min: &'a [Celsius],
    pub(super) max: &'a [Celsius],
}

/// The first day of the season that bears a year.
pub(super) fn start_of(year: i32, hemisphere: Hemisphere) -> NaiveDate {
    let month = match hemisphere {
        Hemisphere::North => 1,
        Hemisphere::South => 7,
    };
    NaiveDate::from_ymd_opt(year, month, 1).unwrap_or_default()
}

/// A day of a season.
pub(super) fn day_of(start: NaiveDate, day: usize) -> NaiveDate {
    let days = Days::new(u64::try_from(day).unwrap_or(0));
    start.checked_add_days(days).unwrap_or(start)
}

/// Days from one date to another, zero when it is not later.
pub(super) fn days_to(from: NaiveDate, to: NaiveDate) -> usize {
    usize::try_from((to - from).num_days()).unwrap_or(0)
}

impl Usual {
    /// The past years of a climate from the first day of a season on.
    pub(super) fn of(climate: &Climate, start: NaiveDate) -> Self {
        let normals = |season: &crate::climate::Season| -> Vec<Normals> {
            let days = (0..SEASON_DAYS).map(|day| season.normals(day_of(start, day)));
            days.collect()
        };
        let (min, max) = (normals(&climate.min), normals(&climate.max));
        let means = || {
            let days = min.iter().zip(&max);
            days.map(|(min, max)| f64::midpoint(min.mean, max.mean))
        };
        let year = |year: usize| {
            let nights = climate.min.past(year, start, 0).zip(&min);
            let noons = climate.max.past(year, start, 0).zip(&max);
            let day = |((low, min), (high, max)): ((f64, &Normals), (f64, &Normals))| {
                let night = Celsius::new(min.mean + min.spread * low);
                let noon = Celsius::new(max.mean + max.spread * high);
                (night, noon.max(night))
            };
            nights.zip(noons).map(day).collect()
        };
        Self {
            years: (0..climate.years).map(year).collect(),
            swing: means().fold(f64::MIN, f64::max) - means().fold(f64::MAX, f64::min),
        }
    }
}

impl<'a> Season<'a> {
    /// The season that starts on a day, of which that day may be to come.
    pub(super) fn of(
        (start, end): (NaiveDate, NaiveDate),
        outlook: &'a Outlook,
        measured: &MeasuredDays,
        usual: &Usual,
    ) -> Self {
        let today = outlook.basis.today;
        let passed = days_to(start, today.min(end));
        let known: Vec<Option<Extremes>> = (0..passed)
            .map(|day| measured.get(&day_of(start, day)).copied())
            .collect();
        let measured = known.iter().flatten().count();
        let filled = |year: &Vec<Extremes>| -> Vec<Extremes> {
            let days = known.iter().zip(year);
            days.map(|(known, usual)| known.unwrap_or(*usual)).collect()
        };
        let ways = if measured == passed { 1 } else { usize::MAX };
        Self {
            counted: Counted { passed, measured },
            past: usual.years.iter().take(ways).map(filled).collect(),
            futures: (today < end).then_some(&outlook.futures),
            skip: days_to(today, start),
        }
    }

    /// A season of which nothing is known but what past years did.
    pub(super) fn of_past_years(usual: &Usual) -> Self {
        Self {
            counted: Counted {
                passed: 0,
                measured: 0,
            },
            past: usual.years.clone(),
            futures: None,
            skip: 0,
        }
    }

    /// How many ways the days before today may have gone.
    pub(super) fn ways(&self) -> usize {
        self.past.len()
    }

    /// How many runs there are.
    pub(super) fn len(&self) -> usize {
        let futures = self.futures.map_or(0, Futures::len);
        futures.max(self.past.len())
    }

    /// How many days each run has.
    pub(super) fn days(&self) -> usize {
        let of = |run: Run<'_>| run.past.len() + run.min.len();
        self.runs().next().map_or(0, of)
    }

    /// Every run; the ways of the days before today take turns.
    pub(super) fn runs(&self) -> impl Iterator<Item = Run<'_>> {
        let past = self.past.iter().cycle();
        let futures = self.futures.into_iter().flat_map(Futures::iter);
        let futures = futures.map(Some);
        let is_over = self.futures.is_none_or(Futures::is_empty);
        let none = usize::from(is_over) * self.past.len();
        let futures = futures.chain(std::iter::repeat_n(None, none));
        past.zip(futures).map(|(past, future)| {
            let coming = |days: &'_ [Celsius]| {
                let end = days
                    .len()
                    .min(self.skip + SEASON_DAYS - past.len().min(SEASON_DAYS));
                self.skip.min(end)..end
            };
            let of = |days: &'a [Celsius]| days.get(coming(days)).unwrap_or_default();
            Run {
                past,
                min: future.map_or(&[], |future| of(future.min)),
                max: future.map_or(&[], |future| of(future.max)),
            }
        })
    }

    /// The spread of the day on which each run has an event; a run without it has none.
    pub(super) fn spread(&self, of: impl Fn(&Run<'_>) -> Option<usize>) -> Option<Spread> {
        let mut tally = Tally::new();
        for day in self.runs().filter_map(|run| of(&run)) {
            tally.add(day, 1);
        }
        tally.spread(self.len())
    }
}

impl Run<'_> {
    /// The lowest temperature of a day.
    pub(super) fn min(&self, day: usize) -> Option<Celsius> {
        let past = self.past.get(day).map(|(min, _)| *min);
        past.or_else(|| self.min.get(day.checked_sub(self.past.len())?).copied())
    }

    /// The highest temperature of a day.
    pub(super) fn max(&self, day: usize) -> Option<Celsius> {
        let past = self.past.get(day).map(|(_, max)| *max);
        past.or_else(|| self.max.get(day.checked_sub(self.past.len())?).copied())
    }
}
