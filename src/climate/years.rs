//! Which years of a record are used, and the calendar by which they are laid side by side.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::harmonics::YEAR_DAYS;
use super::record::{DailyRecord, DayExtremes};
use crate::units::{Celsius, count};

/// The newest years that are used at most: the length of a climate normal (WMO-No. 1203, 2017).
pub const YEARS_USED: usize = 30;

/// Share of a year's days with both extremes from which the year counts (estimate).
const YEAR_SHARE_MIN: f64 = 0.65;

/// The same for each of its months, so that no part of the year is empty in every year (estimate).
const MONTH_SHARE_MIN: f64 = 0.4;

/// Days of a used year; 29 February is left out.
pub(super) const DAYS: usize = 365;

/// Days of a cold season from which its coldest night counts (estimate).
const SEASON_DAYS_MIN: usize = 220;

/// A day with its date.
pub(super) type Dated = (NaiveDate, DayExtremes);

/// The newest usable years, oldest first, each of 365 days that end on the record's last calendar day.
pub(super) fn usable_years(record: &DailyRecord) -> Vec<Vec<Dated>> {
    let mut years = Vec::new();
    let mut end = record.last();
    while years.len() < YEARS_USED && end >= record.first() {
        let Some(before) = year_before(end) else {
            break;
        };
        let year: Vec<Dated> = before
            .iter_days()
            .skip(1)
            .take_while(|date| *date <= end)
            .filter(|date| !(date.month() == 2 && date.day() == 29))
            .map(|date| (date, record.day(date)))
            .collect();
        if is_usable(&year) {
            years.push(year);
        }
        end = before;
    }
    years.reverse();
    years
}

/// Whether enough of a year is there, over all and in each month.
fn is_usable(year: &[Dated]) -> bool {
    let share = |days: &mut dyn Iterator<Item = &Dated>| {
        let (mut all, mut seen) = (0, 0);
        for (_, day) in days {
            all += 1;
            seen += usize::from(day.min.is_some() && day.max.is_some());
        }
        count(seen) / count(all)
    };
    let of_month = |month: u32| share(&mut year.iter().filter(|(date, _)| date.month() == month));
    share(&mut year.iter()) >= YEAR_SHARE_MIN
        && (1..=12).all(|month| of_month(month) >= MONTH_SHARE_MIN)
}

/// The mean of the coldest nights of the cold seasons, each of which runs from half a year before the coldest month
/// to half a year after it; none when no season is whole.
pub(super) fn coldest_nights(years: &[Vec<Dated>]) -> Option<Celsius> {
    let nights = || {
        years
            .iter()
            .flatten()
            .filter_map(|(date, day)| Some((*date, day.min?)))
    };
    let mut months: BTreeMap<u32, (f64, usize)> = BTreeMap::new();
    for (date, night) in nights() {
        let (sum, n) = months.entry(date.month0()).or_default();
        *sum += night.degrees();
        *n += 1;
    }
    let mean = |(sum, n): &(f64, usize)| sum / count(*n);
    let (coldest, _) = months
        .iter()
        .min_by(|(_, a), (_, b)| mean(a).total_cmp(&mean(b)))?;
    let starts = (coldest + 6) % 12;
    let mut seasons: BTreeMap<i32, (Celsius, usize)> = BTreeMap::new();
    for (date, night) in nights() {
        let season = date.year() + i32::from(date.month0() >= starts);
        let (lowest, n) = seasons.entry(season).or_insert((night, 0));
        *lowest = lowest.min(night);
        *n += 1;
    }
    let whole: Vec<f64> = seasons
        .values()
        .filter(|(_, n)| *n >= SEASON_DAYS_MIN)
        .map(|(lowest, _)| lowest.degrees())
        .collect();
    (!whole.is_empty()).then(|| Celsius::new(whole.iter().sum::<f64>() / count(whole.len())))
}

/// The same calendar day a year earlier; 29 February becomes the 28th.
fn year_before(date: NaiveDate) -> Option<NaiveDate> {
    let year = date.year() - 1;
    NaiveDate::from_ymd_opt(year, date.month(), date.day())
        .or_else(|| NaiveDate::from_ymd_opt(year, 2, 28))
}

/// Day of a year of 365 days, from 0; 29 February counts as the 28th.
pub(super) fn day_of_year(date: NaiveDate) -> usize {
    let leap_passed = date.leap_year() && date.ordinal0() >= 59;
    let day = date.ordinal0() - u32::from(leap_passed);
    usize::try_from(day).unwrap_or(0)
}

/// Time in years.
pub(super) fn years_of(date: NaiveDate) -> f64 {
    f64::from(date.year()) + count(day_of_year(date)) / YEAR_DAYS
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    /// Ten years that end in the middle of a winter, coldest on 15 January at -10 less the year's last digit.
    fn record(keep: impl Fn(NaiveDate) -> bool) -> DailyRecord {
        let days = day(2000, 1, 1)
            .iter_days()
            .take_while(|date| *date <= day(2010, 1, 20));
        let extremes = |date: NaiveDate| {
            let coldest = date.month() == 1 && date.day() == 15;
            let min = if coldest {
                -10.0 - f64::from(date.year() % 10)
            } else {
                f64::from(date.month())
            };
            DayExtremes {
                min: Some(Celsius::new(min)),
                max: Some(Celsius::new(min + 9.0)),
            }
        };
        DailyRecord::from_days(
            "test",
            days.filter(|date| keep(*date))
                .map(|date| (date, extremes(date))),
        )
        .unwrap()
    }

    #[test]
    fn years_end_on_the_records_last_calendar_day() {
        let years = usable_years(&record(|_| true));
        assert_eq!(years.len(), 10);
        assert!(years.iter().all(|year| year.len() == DAYS));
        assert_eq!(years[9][0].0, day(2009, 1, 21));
    }

    #[test]
    fn a_winter_that_the_record_cuts_in_two_counts_once() {
        // Whole cold seasons (July to June) are 2000/01 to 2008/09: -11 to -19, mean -15.
        let coldest = coldest_nights(&usable_years(&record(|_| true))).unwrap();
        assert!((coldest.degrees() + 15.0).abs() < 1e-9, "{coldest:?}");
    }

    #[test]
    fn years_that_all_lack_the_same_season_do_not_count() {
        let no_february = record(|date| date.month() != 2);
        assert!(usable_years(&no_february).is_empty());
    }

    #[test]
    fn a_leap_day_counts_as_the_day_before() {
        assert_eq!(
            [
                day(2004, 2, 28),
                day(2004, 2, 29),
                day(2004, 3, 1),
                day(2003, 3, 1)
            ]
            .map(day_of_year),
            [58, 58, 59, 59]
        );
        assert_eq!(day_of_year(day(2004, 12, 31)), 364);
    }
}
