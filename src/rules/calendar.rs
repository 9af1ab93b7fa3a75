//! Spans of days that come each year on the same dates, and how a rule waits for the end of one.

use chrono::{Datelike, Days, NaiveDate};

use super::Stand;
use crate::almanac::MonthDay;
use crate::garden::Hemisphere;
use crate::risk::DateRange;

/// What opens within so many days is a wait, what opens later is shut till then (estimate).
const WAIT_DAYS: u64 = 60;

/// Half of the months of a year.
const HALF_YEAR: u32 = 6;

/// A span of dates of every year, both ends included; it may run over the new year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Yearly {
    from: MonthDay,
    to: MonthDay,
}

impl Yearly {
    /// From one month and day to another.
    pub(super) const fn new(from: (u32, u32), to: (u32, u32)) -> Self {
        Self {
            from: MonthDay {
                month: from.0,
                day: from.1,
            },
            to: MonthDay {
                month: to.0,
                day: to.1,
            },
        }
    }

    /// The same season of the other half of the earth, six months on.
    pub(super) const fn here(self, hemisphere: Hemisphere) -> Self {
        match hemisphere {
            Hemisphere::North => self,
            Hemisphere::South => Self {
                from: half_a_year_on(self.from),
                to: half_a_year_on(self.to),
            },
        }
    }

    /// The span that holds a day, else the next one to come.
    pub(super) fn next(self, today: NaiveDate) -> Option<DateRange> {
        (today.year() - 1..=today.year() + 1)
            .filter_map(|year| self.of_year(year))
            .find(|span| today <= span.to)
    }

    /// The span that holds a day.
    pub(super) fn holding(self, today: NaiveDate) -> Option<DateRange> {
        self.next(today).filter(|span| span.from <= today)
    }

    fn of_year(self, year: i32) -> Option<DateRange> {
        let from = on(self.from, year)?;
        let to = [year, year + 1]
            .into_iter()
            .filter_map(|year| on(self.to, year))
            .find(|to| *to >= from)?;
        Some(DateRange { from, to })
    }
}

/// A wait for a day: a hold when it is near, shut when it is far.
pub(super) fn wait(today: NaiveDate, opens: NaiveDate) -> Stand {
    wait_for(
        today,
        DateRange {
            from: opens,
            to: opens,
        },
    )
}

/// A wait for a day that is not known for sure.
pub(super) fn wait_for(today: NaiveDate, opens: DateRange) -> Stand {
    let soon = today
        .checked_add_days(Days::new(WAIT_DAYS))
        .is_some_and(|soon| opens.from <= soon);
    let opens = Some(opens);
    if soon {
        Stand::Hold { opens }
    } else {
        Stand::Shut { opens }
    }
}

/// A wait for the end of a span.
pub(super) fn wait_out(today: NaiveDate, span: DateRange) -> Stand {
    wait(today, span.to.succ_opt().unwrap_or(span.to))
}

const fn half_a_year_on(day: MonthDay) -> MonthDay {
    MonthDay {
        month: (day.month + HALF_YEAR - 1) % 12 + 1,
        day: day.day,
    }
}

/// The date in a year; where the month is too short, its last day.
fn on(day: MonthDay, year: i32) -> Option<NaiveDate> {
    (0..4).find_map(|less| NaiveDate::from_ymd_opt(year, day.month, day.day.checked_sub(less)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn a_span_holds_its_ends_and_comes_again() {
        let spring = Yearly::new((4, 1), (7, 31));
        assert_eq!(spring.holding(day(2027, 3, 31)), None);
        assert!(spring.holding(day(2027, 4, 1)).is_some());
        assert!(spring.holding(day(2027, 7, 31)).is_some());
        assert_eq!(spring.next(day(2027, 8, 1)).unwrap().from, day(2028, 4, 1));
    }

    #[test]
    fn a_span_may_run_over_the_new_year() {
        let winter = Yearly::new((10, 1), (3, 1));
        let held = winter.holding(day(2027, 1, 15)).unwrap();
        assert_eq!((held.from, held.to), (day(2026, 10, 1), day(2027, 3, 1)));
        assert_eq!(winter.holding(day(2027, 3, 2)), None);
    }

    #[test]
    fn the_south_is_half_a_year_on() {
        let north = Yearly::new((3, 1), (8, 31));
        let south = north.here(Hemisphere::South);
        assert!(south.holding(day(2027, 9, 1)).is_some());
        // August 31 becomes the last of February.
        assert!(south.holding(day(2028, 2, 28)).is_some());
        assert_eq!(south.holding(day(2027, 3, 1)), None);
    }

    #[test]
    fn sixty_days_are_a_wait_and_more_are_not() {
        let today = day(2027, 1, 1);
        assert!(matches!(wait(today, day(2027, 3, 2)), Stand::Hold { .. }));
        assert!(matches!(wait(today, day(2027, 3, 3)), Stand::Shut { .. }));
    }
}
