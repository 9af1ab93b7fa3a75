//! Half-days, ranges and spreads of dates as people say them; single dates are the locale's.

use chrono::{Datelike, NaiveDate};

use crate::almanac::MonthDay;
use crate::locale::{Locale, say};
use crate::risk::{DateRange, Spread};
use crate::work::Half;

/// A half-day with its day: `Sat 24 April in the morning`.
pub fn half_day((day, half): (NaiveDate, Half), today: NaiveDate, locale: Locale) -> String {
    let date = locale.weekday(day, today);
    match half {
        Half::Morning => say!(locale, "half-day-morning", date = date),
        Half::Afternoon => say!(locale, "half-day-afternoon", date = date),
    }
}

/// Two dates as a range, the month named once where it is the same.
pub fn range(range: DateRange, today: NaiveDate, locale: Locale) -> String {
    let DateRange { from, to } = range;
    if from == to {
        locale.date(to, today)
    } else if (from.year(), from.month()) == (to.year(), to.month()) {
        locale.days((from, to), today)
    } else {
        locale.between(&locale.date(from, today), &locale.date(to, today))
    }
}

/// A date that differs from future to future: the middle and the range of eight in ten.
pub fn spread(spread: &Spread, today: NaiveDate, locale: Locale) -> String {
    let Spread {
        early,
        middle,
        late,
    } = *spread;
    let middle = locale.date(middle, today);
    if early == late {
        return middle;
    }
    let range = DateRange {
        from: early,
        to: late,
    };
    let range = self::range(range, today, locale);
    say!(locale, "date-spread", middle = middle, range = range)
}

/// A day of the year as people say it.
pub fn month_day(day: MonthDay, locale: Locale) -> String {
    NaiveDate::from_ymd_opt(2000, day.month, day.day)
        .map_or_else(String::new, |date| locale.day(date))
}

/// A whole number of days until a date, in words.
pub fn days_until(day: NaiveDate, today: NaiveDate, locale: Locale) -> String {
    match (day - today).num_days() {
        0 => say!(locale, "days-until-today"),
        1 => say!(locale, "days-until-tomorrow"),
        n => say!(locale, "days-until", days = n),
    }
}
