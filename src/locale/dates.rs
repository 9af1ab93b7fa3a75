//! Days and hours as people write them.

use chrono::{Datelike, NaiveDate, NaiveDateTime};

use super::{DateStyle, Locale, say};

impl Locale {
    /// A date, with its year where that is not this one.
    pub fn date(self, day: NaiveDate, today: NaiveDate) -> String {
        if day.year() == today.year() {
            self.day(day)
        } else {
            self.full(day)
        }
    }

    /// A date without its year.
    pub fn day(self, day: NaiveDate) -> String {
        let month = || self.month(day);
        match self.dates {
            DateStyle::DayMonth => say!(self, "date-day-month", day = day.day(), month = month()),
            DateStyle::MonthDay => say!(self, "date-month-day", day = day.day(), month = month()),
            DateStyle::YearMonthDay => day.to_string(),
        }
    }

    /// A date with its year.
    pub fn full(self, day: NaiveDate) -> String {
        let year = day.year();
        let month = || self.month(day);
        match self.dates {
            DateStyle::DayMonth => {
                say!(
                    self,
                    "date-day-month-year",
                    day = day.day(),
                    month = month(),
                    year = year
                )
            }
            DateStyle::MonthDay => {
                say!(
                    self,
                    "date-month-day-year",
                    day = day.day(),
                    month = month(),
                    year = year
                )
            }
            DateStyle::YearMonthDay => day.to_string(),
        }
    }

    /// A date in as little room as it takes.
    pub fn short(self, day: NaiveDate) -> String {
        let month = || say!(self, "month-short", month = day.month());
        match self.dates {
            DateStyle::DayMonth => say!(
                self,
                "date-short-day-month",
                day = day.day(),
                month = month()
            ),
            DateStyle::MonthDay => say!(
                self,
                "date-short-month-day",
                day = day.day(),
                month = month()
            ),
            DateStyle::YearMonthDay => day.format("%m-%d").to_string(),
        }
    }

    /// A date with its day of the week.
    pub fn weekday(self, day: NaiveDate, today: NaiveDate) -> String {
        let weekday = self.weekday_short(day);
        say!(
            self,
            "date-weekday",
            weekday = weekday,
            date = self.date(day, today)
        )
    }

    /// Several days of one month, which is named once: `3-15 May`.
    pub fn days(self, (first, last): (NaiveDate, NaiveDate), today: NaiveDate) -> String {
        let (from, to) = (first.day(), last.day());
        let month = || self.month(last);
        let other_year = Some(last.year()).filter(|year| *year != today.year());
        match (self.dates, other_year) {
            (DateStyle::DayMonth, None) => {
                say!(
                    self,
                    "dates-day-month",
                    from = from,
                    to = to,
                    month = month()
                )
            }
            (DateStyle::DayMonth, Some(year)) => {
                say!(
                    self,
                    "dates-day-month-year",
                    from = from,
                    to = to,
                    month = month(),
                    year = year
                )
            }
            (DateStyle::MonthDay, None) => {
                say!(
                    self,
                    "dates-month-day",
                    from = from,
                    to = to,
                    month = month()
                )
            }
            (DateStyle::MonthDay, Some(year)) => {
                say!(
                    self,
                    "dates-month-day-year",
                    from = from,
                    to = to,
                    month = month(),
                    year = year
                )
            }
            (DateStyle::YearMonthDay, _) => self.between(&self.day(first), &self.day(last)),
        }
    }

    /// From one day to another, both in words.
    pub fn between(self, from: &str, to: &str) -> String {
        say!(self, "date-between", from = from, to = to)
    }

    /// The name of a month.
    pub fn month(self, day: NaiveDate) -> String {
        say!(self, "month", month = day.month())
    }

    /// The name of a day of the week.
    pub fn weekday_name(self, day: NaiveDate) -> String {
        say!(self, "weekday", day = day.weekday().number_from_monday())
    }

    fn weekday_short(self, day: NaiveDate) -> String {
        say!(
            self,
            "weekday-short",
            day = day.weekday().number_from_monday()
        )
    }

    /// A moment with its year: `12 April 2027, 05:30`.
    pub fn moment(self, at: NaiveDateTime) -> String {
        say!(
            self,
            "date-moment",
            date = self.full(at.date()),
            time = clock(at)
        )
    }

    /// A moment with its day of the week: `Mon 12 April 2027, 05:30`.
    pub fn weekday_moment(self, at: NaiveDateTime) -> String {
        let weekday = self.weekday_short(at.date());
        let date = self.full(at.date());
        let date = say!(self, "date-weekday", weekday = weekday, date = date);
        say!(self, "date-moment", date = date, time = clock(at))
    }

    /// A moment of these days with its day of the week: `Mon 12 April, 05:30`.
    pub fn near_moment(self, at: NaiveDateTime) -> String {
        let weekday = self.weekday_short(at.date());
        let date = say!(
            self,
            "date-weekday",
            weekday = weekday,
            date = self.day(at.date())
        );
        say!(self, "date-moment", date = date, time = clock(at))
    }

    /// The same with the whole name of the day: `Monday 12 April, 05:30`.
    pub fn named_moment(self, at: NaiveDateTime) -> String {
        let weekday = self.weekday_name(at.date());
        let date = say!(
            self,
            "date-weekday",
            weekday = weekday,
            date = self.day(at.date())
        );
        say!(self, "date-moment", date = date, time = clock(at))
    }

    /// The hour of a clock.
    pub fn clock(self, at: NaiveDateTime) -> String {
        say!(self, "clock", time = clock(at))
    }
}

fn clock(at: NaiveDateTime) -> String {
    at.format("%H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::super::Language;
    use super::*;
    use crate::units::UnitSystem;

    #[test]
    fn each_language_has_its_dates_in_each_style() {
        let day: NaiveDate = "2027-04-12".parse().unwrap();
        let last: NaiveDate = "2027-04-21".parse().unwrap();
        let all = |language, dates| {
            let locale = Locale {
                dates,
                ..Locale::new(language, UnitSystem::Metric)
            };
            [
                locale.date(day, day),
                locale.full(day),
                locale.short(day),
                locale.weekday(day, day),
                locale.days((day, last), day),
                locale.days((day, last), "2028-01-01".parse().unwrap()),
            ]
        };
        assert_eq!(
            all(Language::English, DateStyle::DayMonth),
            [
                "12 April",
                "12 April 2027",
                "12 Apr",
                "Mon 12 April",
                "12-21 April",
                "12-21 April 2027"
            ]
        );
        assert_eq!(
            all(Language::English, DateStyle::MonthDay),
            [
                "April 12",
                "April 12, 2027",
                "Apr 12",
                "Mon April 12",
                "April 12-21",
                "April 12-21, 2027"
            ]
        );
        assert_eq!(
            all(Language::German, DateStyle::DayMonth),
            [
                "12. April",
                "12. April 2027",
                "12.4.",
                "Mo 12. April",
                "12.-21. April",
                "12.-21. April 2027"
            ]
        );
        for language in Language::ALL {
            let [date, full, short, ..] = all(language, DateStyle::YearMonthDay);
            assert_eq!([date, full, short], ["2027-04-12", "2027-04-12", "04-12"]);
        }
    }

    #[test]
    fn a_moment_has_its_clock() {
        let at: NaiveDateTime = "2027-04-12T05:30:00".parse().unwrap();
        let all = |language| {
            let locale = Locale::new(language, UnitSystem::Metric);
            [
                locale.moment(at),
                locale.near_moment(at),
                locale.named_moment(at),
                locale.weekday_moment(at),
                locale.clock(at),
            ]
        };
        assert_eq!(
            all(Language::English),
            [
                "12 April 2027, 05:30",
                "Mon 12 April, 05:30",
                "Monday 12 April, 05:30",
                "Mon 12 April 2027, 05:30",
                "05:30"
            ]
        );
        assert_eq!(
            all(Language::German),
            [
                "12. April 2027, 05:30 Uhr",
                "Mo 12. April, 05:30 Uhr",
                "Montag 12. April, 05:30 Uhr",
                "Mo 12. April 2027, 05:30 Uhr",
                "05:30 Uhr"
            ]
        );
    }
}
