//! When letters may go to whoever keeps a garden: the owner's choice.

use chrono::{Datelike, Days, NaiveDate, NaiveDateTime, NaiveTime, Weekday};

use super::Hemisphere;

/// When letters may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LetterTimes {
    /// The day for what can wait.
    pub day: LetterDay,
    /// The hours in which nothing goes but what is about the night itself.
    pub quiet: Option<Quiet>,
    /// So many letters a day, but for those that cannot wait.
    pub most_a_day: usize,
    /// Whether a letter goes on each letter day, with the stand of every cut, even when nothing is new.
    pub round_up: bool,
    /// Whether the plan of the coming year goes once a year, on a letter day of midwinter.
    pub year_plan: bool,
}

/// The day for what can wait.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LetterDay {
    /// One day of the week.
    On(Weekday),
    /// Every day.
    Any,
}

/// Quiet hours on the local clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quiet {
    /// When they begin.
    pub from: NaiveTime,
    /// When they end; earlier than the begin when they go over midnight.
    pub to: NaiveTime,
}

/// A day on which a week's work can still be planned (common practice, no source).
const THURSDAY: LetterDay = LetterDay::On(Weekday::Thu);

const fn hour(hour: u32) -> NaiveTime {
    match NaiveTime::from_hms_opt(hour, 0, 0) {
        Some(time) => time,
        None => NaiveTime::MIN,
    }
}

impl LetterTimes {
    /// What holds where the owner says nothing: Thursdays, one letter a day, quiet from nine in the evening to seven.
    pub const USUAL: Self = Self {
        day: THURSDAY,
        quiet: Some(Quiet {
            from: hour(21),
            to: hour(7),
        }),
        most_a_day: 1,
        round_up: false,
        year_plan: false,
    };

    /// The first day of the year whose plan is due on a date, if one is: from the first letter day after the turn of the
    /// calendar year on, in the south half a year later.
    ///
    /// A program that slept through that day catches up within four weeks: in the quiet of winter there is time to read
    /// (estimate).
    pub fn plan_due(&self, hemisphere: Hemisphere, today: NaiveDate) -> Option<NaiveDate> {
        let month = match hemisphere {
            Hemisphere::North => 1,
            Hemisphere::South => 7,
        };
        let first = NaiveDate::from_ymd_opt(today.year(), month, 1)?;
        let is_winter = (1..=PLAN_WITHIN).contains(&(today - first).num_days());
        (self.year_plan && is_winter && self.day.up_to(today) > first).then_some(first)
    }
}

/// A plan of the year goes within so many days (estimate).
const PLAN_WITHIN: i64 = 28;

impl LetterDay {
    /// The last such day up to a date, that date included.
    pub fn up_to(self, date: NaiveDate) -> NaiveDate {
        let days = date.iter_days().rev().take(7);
        days.into_iter()
            .find(|day| self.is_on(*day))
            .unwrap_or(date)
    }

    /// The first such day after a date.
    pub fn after(self, date: NaiveDate) -> NaiveDate {
        let days = date.iter_days().skip(1).take(7);
        days.into_iter()
            .find(|day| self.is_on(*day))
            .unwrap_or(date)
    }

    fn is_on(self, date: NaiveDate) -> bool {
        match self {
            Self::On(weekday) => date.weekday() == weekday,
            Self::Any => true,
        }
    }
}

impl Quiet {
    /// When the quiet hours end in which a local time lies; none when it lies in none.
    pub fn end(self, local: NaiveDateTime) -> Option<NaiveDateTime> {
        let (time, today) = (local.time(), local.date());
        let tomorrow = today.checked_add_days(Days::new(1)).unwrap_or(today);
        let (over_midnight, late, early) =
            (self.to <= self.from, time >= self.from, time < self.to);
        match (over_midnight, late, early) {
            (true, true, _) => Some(tomorrow.and_time(self.to)),
            (true, false, true) | (false, true, true) => Some(today.and_time(self.to)),
            (_, _, _) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        text.parse().unwrap()
    }

    #[test]
    fn quiet_hours_over_midnight_end_in_the_morning() {
        let quiet = LetterTimes::USUAL.quiet.unwrap();
        for (local, end) in [
            ("2027-04-22T21:00:00", Some("2027-04-23T07:00:00")),
            ("2027-04-22T05:30:00", Some("2027-04-22T07:00:00")),
            ("2027-04-22T07:00:00", None),
            ("2027-04-22T20:59:59", None),
        ] {
            assert_eq!(quiet.end(at(local)), end.map(at), "{local}");
        }
        let noon = Quiet {
            from: hour(12),
            to: hour(14),
        };
        assert_eq!(
            noon.end(at("2027-04-22T13:00:00")),
            Some(at("2027-04-22T14:00:00"))
        );
        assert_eq!(noon.end(at("2027-04-22T14:00:00")), None);
    }

    #[test]
    fn a_plan_is_due_from_the_first_letter_day_of_the_year_on_for_four_weeks() {
        let times = LetterTimes {
            year_plan: true,
            ..LetterTimes::USUAL
        };
        let due = |hemisphere, today: &str| {
            let first = times.plan_due(hemisphere, today.parse().unwrap());
            first.map(|first| first.to_string())
        };
        let new_year = Some("2027-01-01".to_owned());
        // 7 January 2027 is the first Thursday.
        for (today, first) in [
            ("2026-12-31", None),
            ("2027-01-01", None),
            ("2027-01-06", None),
            ("2027-01-07", new_year.clone()),
            ("2027-01-29", new_year),
            ("2027-01-30", None),
            ("2027-07-08", None),
        ] {
            assert_eq!(due(Hemisphere::North, today), first, "{today}");
        }
        assert_eq!(
            due(Hemisphere::South, "2027-07-08"),
            Some("2027-07-01".to_owned())
        );
        assert_eq!(due(Hemisphere::South, "2027-01-07"), None);
        assert_eq!(
            LetterTimes::USUAL.plan_due(Hemisphere::North, "2027-01-07".parse().unwrap()),
            None
        );
    }

    #[test]
    fn the_letter_day_is_found_before_and_after() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        // 22 April 2027 is a Thursday.
        let thursday = LetterTimes::USUAL.day;
        assert_eq!(thursday.up_to(day("2027-04-22")), day("2027-04-22"));
        assert_eq!(thursday.up_to(day("2027-04-28")), day("2027-04-22"));
        assert_eq!(thursday.after(day("2027-04-22")), day("2027-04-29"));
        assert_eq!(LetterDay::Any.after(day("2027-04-22")), day("2027-04-23"));
    }
}
