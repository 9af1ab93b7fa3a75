//! Dates as people say them.

use chrono::{Datelike, NaiveDate};

use crate::almanac::MonthDay;
use crate::risk::{DateRange, Spread};
use crate::work::Half;

/// A date as people say it, with its year where that is not this one.
pub fn date(day: NaiveDate, today: NaiveDate) -> String {
    let plain = day.format("%-d %B").to_string();
    if day.year() == today.year() {
        plain
    } else {
        format!("{plain} {}", day.year())
    }
}

/// A date in as little room as it takes.
pub fn short(day: NaiveDate) -> String {
    day.format("%-d %b").to_string()
}

/// A date with its day of the week.
pub fn weekday(day: NaiveDate, today: NaiveDate) -> String {
    format!("{} {}", day.format("%a"), date(day, today))
}

/// A half-day with its day: `Sat 24 April in the morning`.
pub fn half_day((day, half): (NaiveDate, Half), today: NaiveDate) -> String {
    let part = match half {
        Half::Morning => "in the morning",
        Half::Afternoon => "in the afternoon",
    };
    format!("{} {part}", weekday(day, today))
}

/// Two dates as a range, the month named once where it is the same.
pub fn range(range: DateRange, today: NaiveDate) -> String {
    let DateRange { from, to } = range;
    if from == to {
        date(to, today)
    } else if (from.year(), from.month()) == (to.year(), to.month()) {
        format!("{}-{}", from.day(), date(to, today))
    } else {
        format!("{} to {}", date(from, today), date(to, today))
    }
}

/// A date that differs from future to future: the middle and the range of eight in ten.
pub fn spread(spread: &Spread, today: NaiveDate) -> String {
    let Spread {
        early,
        middle,
        late,
    } = *spread;
    let range = range(
        DateRange {
            from: early,
            to: late,
        },
        today,
    );
    if early == late {
        date(middle, today)
    } else {
        format!("about {} ({range})", date(middle, today))
    }
}

/// A day of the year as people say it.
pub fn month_day(day: MonthDay) -> String {
    NaiveDate::from_ymd_opt(2000, day.month, day.day)
        .map_or_else(String::new, |date| date.format("%-d %B").to_string())
}

/// A whole number of days until a date, in words.
pub fn days_until(day: NaiveDate, today: NaiveDate) -> String {
    match (day - today).num_days() {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        n => format!("in {n} days"),
    }
}
