//! When the daemon looks at the weather: times on the local clock of a garden.

use std::str::FromStr;

use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use cron::Schedule;
use thiserror::Error;

use crate::garden::Zone;

/// Times on a local clock, from a cron text of five fields: minute, hour, day of month, month, day of week.
///
/// A day counts when month, day of month **and** day of week all fit (`0 6 1 * Mon` is a first of the month that is a
/// Monday). Days of the week are names: counting them from Sunday or from Monday is a matter of custom.
///
/// A time that the clock skips in spring comes at the end of the gap; one that comes twice in autumn counts once, the
/// first time. So a daily time comes exactly once a day, and a schedule finer than an hour rests while the clock
/// shows an hour again.
#[derive(Debug, Clone)]
pub struct LocalTimes {
    text: String,
    schedule: Schedule,
}

/// A text that is not a schedule.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ScheduleError {
    /// It has not five fields.
    #[error("\"{text}\" has {found} fields, a schedule has 5")]
    Fields {
        /// The text.
        text: String,
        /// How many there are.
        found: usize,
    },
    /// One field cannot be read.
    #[error("\"{text}\" is not a {field}")]
    Field {
        /// Its name.
        field: &'static str,
        /// What stands there.
        text: String,
        /// What may stand there.
        allowed: &'static str,
    },
    /// A day of the week is a number.
    #[error("\"{0}\" gives a day of the week as a number")]
    WeekdayNumber(String),
    /// No day has that date.
    #[error("\"{0}\" never comes: no month in it has such a day")]
    Never(String),
}

impl ScheduleError {
    /// What is allowed, and what to do.
    pub fn remedy(&self) -> (String, String) {
        const FORM: &str = "minute, hour, day of month, month, day of week";
        let example = format!("\"{}\" is every day at 5:30 and at 14:30", super::CYCLE);
        match self {
            Self::Fields { .. } => (FORM.to_owned(), example),
            Self::Field { field, allowed, .. } => (
                format!(
                    "{allowed} as {field}; * is each, 5,14 a list, 1-5 a range, */6 every sixth"
                ),
                example,
            ),
            Self::WeekdayNumber(_) => (
                "names from Mon to Sun, such as Mon-Fri".to_owned(),
                "some count days from Sunday, some from Monday; a name cannot be misunderstood"
                    .to_owned(),
            ),
            Self::Never(_) => (
                FORM.to_owned(),
                "day of month, month and day of week have to fit together".to_owned(),
            ),
        }
    }
}

/// A field's name and what it may hold.
type Field = (&'static str, &'static str);

const FIELDS: [Field; 5] = [
    ("minute", "0 to 59"),
    ("hour", "0 to 23"),
    ("day of month", "1 to 31"),
    ("month", "1 to 12 or Jan to Dec"),
    ("day of week", "Mon to Sun"),
];

/// How far before now the search for the next time begins.
///
/// A local clock is up to 12 h behind the universal one, and a time that lies in a gap comes after it.
const LOOK_BACK: TimeDelta = TimeDelta::hours(26);

/// How far back the last time is sought: the rarest schedules have one within years.
const LOOKED_BACK: TimeDelta = TimeDelta::days(400);

impl LocalTimes {
    /// The times that a cron text of five fields means.
    ///
    /// # Errors
    /// When it is not one, or never comes.
    pub fn parse(text: &str) -> Result<Self, ScheduleError> {
        let fields: Vec<_> = text.split_whitespace().collect();
        let &[_, _, _, _, weekday] = fields.as_slice() else {
            return Err(ScheduleError::Fields {
                text: text.to_owned(),
                found: fields.len(),
            });
        };
        if weekday.contains(|sign: char| sign.is_ascii_digit()) {
            return Err(ScheduleError::WeekdayNumber(weekday.to_owned()));
        }
        for (place, field) in fields.iter().enumerate() {
            check_field(place, field)?;
        }
        // The library counts seconds first.
        let schedule = Schedule::from_str(&format!("0 {}", fields.join(" ")))
            .ok()
            .filter(|schedule| schedule.after(&DateTime::UNIX_EPOCH).next().is_some())
            .ok_or_else(|| ScheduleError::Never(text.to_owned()))?;
        Ok(Self {
            text: fields.join(" "),
            schedule,
        })
    }

    /// The cron text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The first time after now on the clock of a zone; none when the schedule has come to its end.
    ///
    /// The schedule runs over the local clock without its zone, which has no gaps and no repeated hours; each time
    /// then becomes an instant of its own day.
    pub fn next_after(&self, now: DateTime<Utc>, zone: &Zone) -> Option<DateTime<Utc>> {
        let from = now.checked_sub_signed(LOOK_BACK)?;
        self.schedule
            .after(&from)
            .filter_map(|local| on_its_day(local.naive_utc(), zone))
            .find(|at| *at > now)
    }

    /// The last time up to now, as the schedule names it and as an instant; none when there was none for more than a year.
    ///
    /// Of several times that fall on one instant, at the end of a gap, the last.
    pub fn last_until(
        &self,
        now: DateTime<Utc>,
        zone: &Zone,
    ) -> Option<(NaiveDateTime, DateTime<Utc>)> {
        // Backwards, and the first that is not to come: local times in order are instants in order.
        let from = now.checked_sub_signed(LOOKED_BACK)?;
        let end = now.checked_add_signed(LOOK_BACK)?;
        self.schedule
            .after(&end)
            .rev()
            .take_while(|local| *local >= from)
            .filter_map(|local| Some((local.naive_utc(), on_its_day(local.naive_utc(), zone)?)))
            .find(|(_, at)| *at <= now)
    }
}

/// The instant of a local time; one that a clock change leaves out comes after the change, and where the change takes the
/// rest of the day, in the minute before it: a day keeps its run. None on a date that is left out as a whole.
fn on_its_day(local: NaiveDateTime, zone: &Zone) -> Option<DateTime<Utc>> {
    let at = zone.instant(local);
    let mut instants = [at, at - TimeDelta::minutes(1)].into_iter();
    instants.find(|at| zone.date(*at) == local.date())
}

/// Reads one field alone, with every other one open, so that a fault is told of the right one.
fn check_field(place: usize, field: &str) -> Result<(), ScheduleError> {
    let alone: Vec<_> = (0..FIELDS.len())
        .map(|other| if other == place { field } else { "*" })
        .collect();
    // The library passes over spaces: what does not begin a field would go on the one before.
    let begins =
        field.starts_with(|sign: char| sign.is_ascii_alphanumeric() || "*?".contains(sign));
    let readable = begins && Schedule::from_str(&format!("0 {}", alone.join(" "))).is_ok();
    match FIELDS.get(place) {
        Some((name, allowed)) if !readable => Err(ScheduleError::Field {
            field: name,
            text: field.to_owned(),
            allowed,
        }),
        Some(_) | None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(text: &str) -> ScheduleError {
        LocalTimes::parse(text).unwrap_err()
    }

    #[test]
    fn five_fields_are_needed() {
        for (text, found) in [
            ("30 5 * *", 4),
            ("0 30 5 * * Mon", 6),
            ("@daily", 1),
            ("", 0),
        ] {
            let text = text.to_owned();
            assert_eq!(fault(&text), ScheduleError::Fields { text, found });
        }
    }

    #[test]
    fn the_field_that_is_wrong_is_named() {
        for (text, name) in [
            ("61 5 * * *", "minute"),
            ("30 25 * * *", "hour"),
            ("/01* 5 * * *", "minute"),
            ("30 ,5 * * *", "hour"),
            ("30 5 -1 * *", "day of month"),
            ("30 5 0 * *", "day of month"),
            ("30 5 * Foo *", "month"),
            ("30 5 * * Monnday", "day of week"),
            ("*/0 5 * * *", "minute"),
            ("30 5 L * *", "day of month"),
        ] {
            let named = matches!(fault(text), ScheduleError::Field { field, .. } if field == name);
            assert!(named, "{text}: {}", fault(text));
        }
    }

    #[test]
    fn days_of_the_week_are_names() {
        for text in ["30 5 * * 1", "30 5 * * 0", "30 5 * * 1-5", "30 5 * * Mon,7"] {
            assert!(
                matches!(fault(text), ScheduleError::WeekdayNumber(_)),
                "{text}"
            );
        }
        assert!(LocalTimes::parse("30 5 * * Mon-Fri").is_ok());
    }

    #[test]
    fn a_date_that_no_month_has_is_refused() {
        assert!(matches!(fault("30 5 31 Feb *"), ScheduleError::Never(_)));
        assert!(matches!(
            fault("30 5 31 4,6,9,11 *"),
            ScheduleError::Never(_)
        ));
        assert!(LocalTimes::parse("30 5 29 Feb *").is_ok());
    }

    /// Every time of more than a year in order, and the last of them: slow, and plain to see.
    fn last_of_all(
        times: &LocalTimes,
        now: DateTime<Utc>,
        zone: &Zone,
    ) -> Option<(NaiveDateTime, DateTime<Utc>)> {
        times
            .schedule
            .after(&(now - LOOKED_BACK - TimeDelta::seconds(1)))
            .map(|local| local.naive_utc())
            .take_while(|local| local.and_utc() <= now + LOOK_BACK)
            .filter_map(|local| Some((local, on_its_day(local, zone)?)))
            .filter(|(_, at)| *at <= now)
            .max_by_key(|(local, at)| (*at, *local))
    }

    #[test]
    fn the_last_time_is_the_same_as_that_of_all_times_in_order() {
        // Clocks go on and back by an hour, by half an hour, and over the date line.
        let moments = [
            ("America/New_York", "2027-03-14T07:00:00Z"),
            ("America/New_York", "2027-11-07T06:30:00Z"),
            ("Australia/Lord_Howe", "2027-04-03T15:10:00Z"),
            ("Pacific/Apia", "2011-12-30T10:00:00Z"),
            ("Europe/Vienna", "2028-03-01T00:00:00Z"),
        ];
        let texts = [
            "30 5,14 * * *",
            "*/20 * * * *",
            "15 2 * * *",
            "59 23 * * *",
            "0 0 29 Feb *",
            "0 6 1 Jan-Mar Mon",
            "30 2 31 * Sun",
        ];
        let hours = [-49, -25, -2, -1, 0, 1, 2, 26];
        let cases = moments.iter().flat_map(|moment| {
            texts
                .iter()
                .flat_map(move |text| hours.map(|hours| (moment, text, hours)))
        });
        for ((zone, moment), text, hours) in cases {
            let (zone, times) = (Zone::named(zone).unwrap(), LocalTimes::parse(text).unwrap());
            let now = moment.parse::<DateTime<Utc>>().unwrap() + TimeDelta::hours(hours);
            let last = times.last_until(now, &zone);
            assert_eq!(last, last_of_all(&times, now, &zone), "{text} {now}");
        }
    }

    #[test]
    fn a_year_of_minutes_is_not_walked_through() {
        // Found by the fuzz target: each minute of a year was made an instant, more than 100 ms for one question.
        let times = LocalTimes::parse("*/1 0-23/2 1,15 Jan-Mar Mon-Fri").unwrap();
        let now = "2029-05-04T06:30:00Z".parse().unwrap();
        let (last, _) = times.last_until(now, &Zone::utc()).unwrap();
        assert_eq!(last.to_string(), "2029-03-15 22:59:00");
        assert_eq!(
            times.last_until(DateTime::<Utc>::MIN_UTC, &Zone::utc()),
            None
        );
    }
}
