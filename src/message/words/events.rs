//! Events of the year in words: their names, their dates with the spread, what the dates rest on.

use chrono::NaiveDate;

use super::spread;
use crate::almanac::Event;
use crate::events::{Counted, EventBasis, MovedBy, Predicted};
use crate::risk::Spread;
use crate::rules::Anchored;
use crate::units::UnitSystem;

/// An event as a noun.
pub const fn event(event: Event) -> &'static str {
    match event {
        Event::BudBreak => "bud break",
        Event::BloomBegin => "first bloom",
        Event::BloomEnd => "end of bloom",
        Event::FullLeaf => "full leaf",
        Event::FlushEnd => "end of the first flush",
        Event::BudSet => "bud set",
        Event::LeafFall => "leaf fall",
        Event::LastFreeze => "last freeze",
        Event::FirstFreeze => "first freeze",
        Event::WarmSpell => "first warm spell",
        Event::HardFrost => "first killing frost",
        Event::MidWinter => "mid-winter",
        Event::MidSummer => "mid-summer",
    }
}

/// The bound of a season: how many days from which event, when that comes, and what its date rests on.
pub fn anchored(bound: &Anchored, today: NaiveDate, units: UnitSystem) -> String {
    let Predicted {
        early,
        middle,
        late,
        ref basis,
    } = bound.date;
    let when = spread(
        &Spread {
            early,
            middle,
            late,
        },
        today,
    );
    let side = if bound.days < 0 { "before" } else { "after" };
    let days = match bound.days.unsigned_abs() {
        0 => String::new(),
        1 => format!("1 day {side} "),
        n => format!("{n} days {side} "),
    };
    let basis = event_basis(basis, units);
    format!("{days}{}, which comes {when}: {basis}", event(bound.event))
}

/// What the date of an event rests on.
pub fn event_basis(basis: &EventBasis, units: UnitSystem) -> String {
    match basis {
        EventBasis::Calendar => "by the calendar".to_owned(),
        EventBasis::Seen => "seen by you".to_owned(),
        EventBasis::HeatSum {
            sum,
            base,
            counted,
            source,
        } => {
            let sum = units.heat(*sum);
            let base = units.temperature(*base);
            format!(
                "heat sum of {sum} above {base}{} ({source})",
                days(*counted)
            )
        }
        EventBasis::Days { counted } => format!("read off the days{}", days(*counted)),
        EventBasis::ZoneMonths {
            moved_days,
            moved_by,
        } => moved(*moved_days, *moved_by),
        EventBasis::NoFreeze => "no freeze on any way the weather can go".to_owned(),
    }
}

fn moved(days: i64, by: MovedBy) -> String {
    let plain = "months usual in this hardiness zone";
    let far = match days {
        0 => ", as usual".to_owned(),
        1 | -1 => format!(", 1 day {}", if days < 0 { "ahead" } else { "behind" }),
        n if n < 0 => format!(", {} days ahead", -n),
        n => format!(", {n} days behind"),
    };
    match by {
        MovedBy::Nothing => format!("{plain}, give or take a fortnight"),
        MovedBy::Heat { counted } => format!(
            "{plain}{far} by the heat of the season{} (estimate)",
            self::days(counted)
        ),
        MovedBy::Event(other) => {
            format!("{plain}{far}, as its {} is (estimate)", event(other))
        }
    }
}

/// The days that are counted, if the season has begun.
fn days(counted: Counted) -> String {
    let Counted { passed, measured } = counted;
    if passed == 0 {
        ", over past years".to_owned()
    } else if measured == passed {
        format!(", all {passed} days so far measured")
    } else {
        format!(", {measured} of {passed} days so far measured, past years for the rest")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Celsius, DegreeDays};

    #[test]
    fn a_bound_names_its_event_its_dates_and_what_they_rest_on() {
        let day = |day| NaiveDate::from_ymd_opt(2027, 5, day).unwrap();
        let bound = Anchored {
            event: Event::BloomBegin,
            days: -7,
            date: Predicted {
                early: day(3),
                middle: day(8),
                late: day(15),
                basis: EventBasis::HeatSum {
                    sum: DegreeDays::new(45.0),
                    base: Celsius::from_fahrenheit(50.0),
                    counted: Counted {
                        passed: 82,
                        measured: 80,
                    },
                    source: "a list".to_owned(),
                },
            },
        };
        assert_eq!(
            anchored(&bound, day(1), UnitSystem::Us),
            "7 days before first bloom, which comes about 8 May (3-15 May): heat sum of 81 °F·d above 50 °F, 80 of 82 days so far \
             measured, past years for the rest (a list)"
        );
        let moved = EventBasis::ZoneMonths {
            moved_days: -6,
            moved_by: MovedBy::Heat {
                counted: Counted {
                    passed: 82,
                    measured: 82,
                },
            },
        };
        assert_eq!(
            event_basis(&moved, UnitSystem::Metric),
            "months usual in this hardiness zone, 6 days ahead by the heat of the season, all 82 days so far \
             measured (estimate)"
        );
    }
}
