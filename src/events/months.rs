//! The zone months of the almanac: moved to the zone and the hemisphere, and by how far the season is ahead or behind.

use chrono::{Datelike, Days, NaiveDate, TimeDelta};

use super::season::{day_of, days_to, start_of};
use super::tally::Spread;
use super::{Counted, EventBasis, MovedBy, Predicted};
use crate::almanac::{Event, Kind, MonthDay};
use crate::climate::Calendar;
use crate::garden::Hemisphere;

/// Days from a season in the north to the same season in the south.
const HALF_YEAR_DAYS: u64 = 184;

/// The heat of a season moves an event by so many days at the most (estimate).
pub const HEAT_MOVES_MAX: f64 = 21.0;

/// Of the days by which the heat of a season moves an event with the usual heat T, T / (T + this) are believed, in °C·d.
///
/// Early in the year a single mild week reaches a small sum weeks before its time, and plants do not follow it all the
/// way (estimate).
const HEAT_DOUBT: f64 = 50.0;

/// Heat in °C·d below which nothing is told from it (estimate).
const HEAT_MIN: f64 = 15.0;

/// The zone-7 dates of spring events, which heat drives: 1 February to 30 June (estimate). Summer's bud set and autumn's
/// leaf fall follow the length of the day and stay.
const SPRING: (MonthDay, MonthDay) = (
    MonthDay { month: 2, day: 1 },
    MonthDay { month: 6, day: 30 },
);

/// Events of a kind that lie so many days apart in the zone months do not move each other; nearer ones move each other
/// by what is left of the way, so that their order stays (estimate).
pub const REACH_DAYS: f64 = 120.0;

/// The heat that is usual by the zone months' date of an event, and the day on which a season gathers it.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeatReached {
    /// In °C·d.
    pub(super) heat: f64,
    pub(super) days: Spread,
    pub(super) counted: Counted,
}

/// The calendar of a place.
#[derive(Debug, Clone)]
pub(super) struct Months {
    /// How the place moves dates; where it is not known they stay those of zone 7.
    pub(super) calendar: Option<Calendar>,
    pub(super) hemisphere: Hemisphere,
}

impl Months {
    /// The first day of the season that bears a year.
    pub(super) fn start(&self, year: i32) -> NaiveDate {
        start_of(year, self.hemisphere)
    }

    /// The season that holds a day.
    pub(super) fn year_of(&self, today: NaiveDate) -> i32 {
        let year = today.year();
        if today < self.start(year) {
            year - 1
        } else {
            year
        }
    }

    /// The date of an event in a season; none when the kind has no such event.
    pub(super) fn date(&self, kind: &Kind, event: Event, year: i32) -> Option<NaiveDate> {
        let (day, days_per_zone) = kind.zone_7_day(event)?;
        let by_zone = self
            .calendar
            .as_ref()
            .map_or(0, |calendar| calendar.shift_days(event, day, days_per_zone));
        let north = on(day, year)?.checked_add_signed(TimeDelta::days(i64::from(by_zone)))?;
        match self.hemisphere {
            Hemisphere::North => Some(north),
            Hemisphere::South => north.checked_add_days(Days::new(HALF_YEAR_DAYS)),
        }
    }

    /// Where a date lies in a season, in days from its first one; none when it lies before it.
    pub(super) fn day(&self, date: NaiveDate, year: i32) -> Option<usize> {
        let start = self.start(year);
        (date >= start).then(|| days_to(start, date))
    }
}

/// Whether heat drives an event of a kind.
pub(super) fn is_spring(kind: &Kind, event: Event) -> bool {
    kind.zone_7_day(event)
        .is_some_and(|(day, _)| SPRING.0 <= day && day <= SPRING.1)
}

/// The usual heat by the zone months' date of an event, from the usual sums by day; none when it tells nothing.
pub(super) fn usual_heat(usual: &[f64], day: usize) -> Option<f64> {
    usual.get(day).copied().filter(|sum| *sum >= HEAT_MIN)
}

/// A date moved by the heat of the season.
///
/// With T the heat that past years have gathered by the zone months' date D, in the mean, and D' the day on which this
/// season gathers it, the event comes on `D + s (D' - D)`, s = T / (T + 50 °C·d), and never further off than 21 days
/// (estimate: no published rule is known to us).
pub(super) fn moved_by_heat(date: NaiveDate, start: NaiveDate, reached: &HeatReached) -> Predicted {
    let HeatReached {
        heat,
        days,
        counted,
    } = *reached;
    let believed = heat / (heat + HEAT_DOUBT);
    let moved = |day: usize| {
        let days = (day_of(start, day) - date).num_days();
        let moved = (believed * whole(days)).clamp(-HEAT_MOVES_MAX, HEAT_MOVES_MAX);
        date + TimeDelta::days(rounded(moved))
    };
    let middle = moved(days.middle);
    Predicted {
        early: moved(days.early),
        middle,
        late: moved(days.late),
        basis: EventBasis::ZoneMonths {
            moved_days: (middle - date).num_days(),
            moved_by: MovedBy::Heat { counted },
        },
    }
}

/// A date moved with another event of the kind: by less, the further apart they are.
pub(super) fn moved_with(
    date: NaiveDate,
    (other, of_months, known): (Event, NaiveDate, &Predicted),
) -> Option<Predicted> {
    let apart = whole((date - of_months).num_days().abs());
    let share = 1.0 - apart / REACH_DAYS;
    let moved =
        |to: NaiveDate| date + TimeDelta::days(rounded(share * whole((to - of_months).num_days())));
    let middle = moved(known.middle);
    (share > 0.0).then(|| Predicted {
        early: moved(known.early),
        middle,
        late: moved(known.late),
        basis: EventBasis::ZoneMonths {
            moved_days: (middle - date).num_days(),
            moved_by: MovedBy::Event(other),
        },
    })
}

/// A date that nothing moves.
pub(super) fn unmoved(date: NaiveDate) -> Predicted {
    let basis = EventBasis::ZoneMonths {
        moved_days: 0,
        moved_by: MovedBy::Nothing,
    };
    Predicted::on(date, basis)
}

fn on(day: MonthDay, year: i32) -> Option<NaiveDate> {
    // 29 February only exists in some years; the day before it stands for it.
    NaiveDate::from_ymd_opt(year, day.month, day.day)
        .or_else(|| NaiveDate::from_ymd_opt(year, day.month, day.day.saturating_sub(1)))
}

#[allow(
    clippy::as_conversions,
    clippy::cast_precision_loss,
    reason = "days within some years are exact"
)]
fn whole(days: i64) -> f64 {
    days as f64
}

#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "a shift of some days fits; `as` saturates"
)]
fn rounded(days: f64) -> i64 {
    days.round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn dates(found: &Predicted) -> [NaiveDate; 3] {
        [found.early, found.middle, found.late]
    }

    #[test]
    fn half_of_the_days_are_believed_at_fifty_degree_days_and_never_more_than_three_weeks() {
        // Usual on 10 April, day 99; gathered on days 91, 97 and 159: 8 and 2 days ahead, 60 behind.
        let days = Spread {
            early: 91,
            middle: 97,
            late: 159,
        };
        let counted = Counted {
            passed: 99,
            measured: 99,
        };
        let reached = HeatReached {
            heat: 50.0,
            days,
            counted,
        };
        let moved = moved_by_heat(day("2003-04-10"), day("2003-01-01"), &reached);
        assert_eq!(
            dates(&moved),
            ["2003-04-06", "2003-04-09", "2003-05-01"].map(day)
        );
        let basis = EventBasis::ZoneMonths {
            moved_days: -1,
            moved_by: MovedBy::Heat { counted },
        };
        assert_eq!(moved.basis, basis);
    }

    #[test]
    fn events_move_each_other_less_the_further_apart_they_are_and_keep_their_order() {
        let known = Predicted {
            early: day("2003-05-01"),
            middle: day("2003-05-11"),
            late: day("2003-05-21"),
            basis: EventBasis::Seen,
        };
        let bloom = (Event::BloomBegin, day("2003-04-11"), &known);
        let with = |date: &str| moved_with(day(date), bloom).map(|moved| dates(&moved));
        // 30 days later, with three quarters of 20, 30 and 40 days.
        assert_eq!(
            with("2003-05-11"),
            Some(["2003-05-26", "2003-06-03", "2003-06-10"].map(day))
        );
        assert_eq!(with("2003-08-09"), None);
        let days = (1..120).filter_map(|n| {
            let date = day("2003-04-11") + Days::new(n);
            Some(moved_with(date, bloom)?.middle)
        });
        assert!(days.is_sorted());
    }

    #[test]
    fn the_season_of_the_south_bears_the_year_in_which_it_begins() {
        let south = Months {
            calendar: None,
            hemisphere: Hemisphere::South,
        };
        assert_eq!(south.year_of(day("2003-06-30")), 2002);
        assert_eq!(south.year_of(day("2003-07-01")), 2003);
        assert_eq!(south.day(day("2003-07-03"), 2003), Some(2));
        assert_eq!(south.day(day("2003-06-30"), 2003), None);
    }
}
