//! The decision days: which days of which years are tested.

use chrono::{Datelike, NaiveDate, TimeDelta};

use super::BacktestError;
use super::last_call::autumns;
use super::plan::Plan;
use super::question::after;
use crate::almanac::MonthDay;
use crate::climate::DailyRecord;
use crate::climate::freeze::FreezeDates;
use crate::garden::Hemisphere;
use crate::units::{Celsius, count};

/// Days before and after the median last freeze that are decision days.
const HALF_SPRING: i64 = 45;

/// Days before and after the climate's last call that are decision days: about the time in which its chance goes from 5
/// to 95 %, which took 30 days at an inland station and 42 at a mild one (own back-test; estimate).
pub(super) const HALF_AUTUMN: i64 = 25;

/// Which part of the year is tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Season {
    /// About the median date of the last freeze of spring.
    Spring,
    /// About the last call: the day from which on the climate's chance is above one half.
    Autumn,
    /// The whole calendar year, every so many days.
    All {
        /// Days from one decision to the next.
        step: usize,
    },
}

/// The decision days of one year.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SeasonDays {
    /// The calendar year of its middle.
    pub(super) year: i32,
    /// The middle of the season in that year; none when the whole year is tested.
    pub(super) middle: Option<NaiveDate>,
    /// The days, in order.
    pub(super) days: Vec<NaiveDate>,
}

/// The decision days of every year that a record touches.
///
/// In spring the median date is that of the whole record: it fixes which days are asked about, and no forecast is told.
pub(super) fn seasons(record: &DailyRecord, plan: &Plan) -> Result<Vec<SeasonDays>, BacktestError> {
    let years = record.first().year()..=record.last().year();
    match plan.season {
        Season::Spring => springs(record, plan.question.limit),
        Season::Autumn => autumns(record, &plan.question, plan.past_years),
        Season::All { step } => Ok(years.map(|year| whole_year(year, step)).collect()),
    }
}

/// The days about the median last freeze.
fn springs(record: &DailyRecord, limit: Celsius) -> Result<Vec<SeasonDays>, BacktestError> {
    let last = FreezeDates::of(record, limit, hemisphere(record)).last_spring;
    let median = last.dates.get(last.dates.len() / 2).copied();
    let median = median.ok_or(BacktestError::NoFreeze {
        limit: limit.degrees(),
    })?;
    let years = record.first().year()..=record.last().year();
    let of_year = |year| about(year, in_year(median, year)?, HALF_SPRING);
    Ok(years.filter_map(of_year).collect())
}

/// The days of a season: its middle, and so many days before and after it.
pub(super) fn about(year: i32, middle: NaiveDate, half: i64) -> Option<SeasonDays> {
    let first = middle.checked_sub_signed(TimeDelta::days(half))?;
    let days = usize::try_from(2 * half + 1).ok()?;
    Some(SeasonDays {
        year,
        middle: Some(middle),
        days: first.iter_days().take(days).collect(),
    })
}

fn whole_year(year: i32, step: usize) -> SeasonDays {
    let days = NaiveDate::from_ymd_opt(year, 1, 1)
        .into_iter()
        .flat_map(|first| first.iter_days())
        .take_while(|date| date.year() == year)
        .step_by(step.max(1))
        .collect();
    SeasonDays {
        year,
        middle: None,
        days,
    }
}

/// The half of the earth whose seasons a record has.
pub(super) fn hemisphere(record: &DailyRecord) -> Hemisphere {
    let mean = |month: u32| {
        let nights = record.days().filter(|(date, _)| date.month() == month);
        let nights: Vec<f64> = nights
            .filter_map(|(_, day)| Some(day.min?.degrees()))
            .collect();
        nights.iter().sum::<f64>() / count(nights.len().max(1))
    };
    if mean(1) > mean(7) {
        Hemisphere::South
    } else {
        Hemisphere::North
    }
}

/// A calendar day in a year; 29 February becomes the 28th where there is none.
pub(super) fn in_year(day: MonthDay, year: i32) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year, day.month, day.day)
        .or_else(|| NaiveDate::from_ymd_opt(year, 2, 28).filter(|_| day.month == 2))
}

/// The day by which the record may be used for a season: the last of the year before its first decision day's.
pub(super) fn known_until(days: &SeasonDays) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(days.days.first()?.year() - 1, 12, 31)
}

/// The date that lies nearest to the middle of a season among those with that calendar day.
pub(super) fn nearest_to(middle: NaiveDate, day: MonthDay) -> Option<NaiveDate> {
    let year = middle.year();
    (year - 1..=year + 1)
        .filter_map(|year| in_year(day, year))
        .min_by_key(|date| (*date - middle).num_days().abs())
}

/// The days on which forecasts are made for a season: its decision days, and a run-in before them.
pub(super) fn issue_days(
    days: &SeasonDays,
    run_in: usize,
    not_before: Option<NaiveDate>,
) -> Vec<NaiveDate> {
    let (Some(first), Some(last)) = (days.days.first(), days.days.last()) else {
        return Vec::new();
    };
    let early = i64::try_from(run_in)
        .ok()
        .and_then(|days| first.checked_sub_signed(TimeDelta::days(days)))
        .unwrap_or(*first);
    let start = not_before.map_or(early, |taken| early.max(after(taken, 1)));
    start.iter_days().take_while(|day| day <= last).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::DayExtremes;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    /// Ten years at +5 °C with a colder winter, and one frost a spring, on 10 to 19 April.
    fn record(winter: u32) -> DailyRecord {
        let days = day(2000, 1, 1)
            .iter_days()
            .take_while(|date| *date <= day(2009, 12, 31));
        let extremes = |date: NaiveDate| {
            let frost = date
                == day(
                    date.year(),
                    4,
                    10 + date.year().rem_euclid(10).unsigned_abs(),
                );
            let min = match (frost, date.month() == winter) {
                (true, _) => -3.0,
                (false, true) => 2.0,
                (false, false) => 5.0,
            };
            DayExtremes {
                min: Some(Celsius::new(min)),
                max: Some(Celsius::new(9.0)),
            }
        };
        DailyRecord::from_days("test", days.map(|date| (date, extremes(date)))).unwrap()
    }

    #[test]
    fn a_spring_lies_about_the_median_last_freeze() {
        let all = springs(&record(1), Celsius::new(-2.0)).unwrap();
        assert_eq!(all.len(), 10);
        // Dates from the latest: 19, 18 ... 10 April; the sixth is the 14th.
        let first = &all[0];
        assert_eq!(first.middle, Some(day(2000, 4, 14)));
        assert_eq!((first.days[0], first.days.len()), (day(2000, 2, 29), 91));
        assert_eq!(known_until(first), Some(day(1999, 12, 31)));
    }

    #[test]
    fn a_whole_year_goes_by_its_step() {
        let days = whole_year(2001, 10).days;
        assert_eq!((days.len(), days[36]), (37, day(2001, 12, 27)));
    }

    #[test]
    fn where_no_night_is_so_cold_there_is_no_season() {
        let none = springs(&record(1), Celsius::new(-20.0));
        assert_eq!(none, Err(BacktestError::NoFreeze { limit: -20.0 }));
    }

    #[test]
    fn the_hemisphere_is_that_of_the_colder_month() {
        assert_eq!(hemisphere(&record(1)), Hemisphere::North);
        assert_eq!(hemisphere(&record(7)), Hemisphere::South);
    }

    #[test]
    fn the_run_in_does_not_repeat_days_that_were_issued_before() {
        let [one, next] = [2000, 2001].map(|year| whole_year(year, 1));
        let last_taken = one.days.last().copied();
        assert_eq!(issue_days(&next, 60, last_taken)[0], day(2001, 1, 1));
        assert_eq!(issue_days(&next, 60, None)[0], day(2000, 11, 2));
    }
}
