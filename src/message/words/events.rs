//! Events of the year in words: their names, their dates with the spread, what the dates rest on.

use chrono::NaiveDate;

use super::spread;
use crate::almanac::Event;
use crate::events::{Counted, EventBasis, MovedBy, Predicted};
use crate::locale::{Locale, say};
use crate::risk::Spread;
use crate::rules::Anchored;

/// An event as a noun.
pub fn event(event: Event, locale: Locale) -> String {
    match event {
        Event::BudBreak => say!(locale, "event-bud-break"),
        Event::BloomBegin => say!(locale, "event-bloom-begin"),
        Event::BloomEnd => say!(locale, "event-bloom-end"),
        Event::FullLeaf => say!(locale, "event-full-leaf"),
        Event::FlushEnd => say!(locale, "event-flush-end"),
        Event::BudSet => say!(locale, "event-bud-set"),
        Event::LeafFall => say!(locale, "event-leaf-fall"),
        Event::LastFreeze => say!(locale, "event-last-freeze"),
        Event::FirstFreeze => say!(locale, "event-first-freeze"),
        Event::WarmSpell => say!(locale, "event-warm-spell"),
        Event::HardFrost => say!(locale, "event-hard-frost"),
        Event::MidWinter => say!(locale, "event-mid-winter"),
        Event::MidSummer => say!(locale, "event-mid-summer"),
    }
}

/// The bound of a season: how many days from which event, when that comes, and what its date rests on.
pub fn anchored(bound: &Anchored, today: NaiveDate, locale: Locale) -> String {
    let Predicted {
        early,
        middle,
        late,
        ref basis,
    } = bound.date;
    let when = Spread {
        early,
        middle,
        late,
    };
    let when = spread(&when, today, locale);
    let basis = event_basis(basis, locale);
    let event = event(bound.event, locale);
    match (bound.days.unsigned_abs(), bound.days < 0) {
        (0, _) => say!(
            locale,
            "anchored",
            event = event,
            when = when,
            basis = basis
        ),
        (days, true) => say!(
            locale,
            "anchored-before",
            days = days,
            event = event,
            when = when,
            basis = basis
        ),
        (days, false) => say!(
            locale,
            "anchored-after",
            days = days,
            event = event,
            when = when,
            basis = basis
        ),
    }
}

/// What the date of an event rests on.
pub fn event_basis(basis: &EventBasis, locale: Locale) -> String {
    match basis {
        EventBasis::Calendar => say!(locale, "event-by-calendar"),
        EventBasis::Seen => say!(locale, "event-seen"),
        EventBasis::HeatSum {
            sum,
            base,
            counted,
            source,
        } => say!(
            locale,
            "event-by-heat",
            sum = locale.heat(*sum),
            base = locale.temperature(*base),
            counted = days(*counted, locale),
            source = source
        ),
        EventBasis::Days { counted } => {
            say!(locale, "event-by-days", counted = days(*counted, locale))
        }
        EventBasis::ZoneMonths {
            moved_days,
            moved_by,
        } => moved(*moved_days, *moved_by, locale),
        EventBasis::NoFreeze => say!(locale, "event-no-freeze"),
    }
}

fn moved(days: i64, by: MovedBy, locale: Locale) -> String {
    let far = match days {
        0 => say!(locale, "moved-as-usual"),
        ahead if ahead < 0 => say!(locale, "moved-ahead", days = -ahead),
        behind => say!(locale, "moved-behind", days = behind),
    };
    match by {
        MovedBy::Nothing => say!(locale, "zone-months"),
        MovedBy::Heat { counted } => say!(
            locale,
            "zone-months-by-heat",
            far = far,
            counted = self::days(counted, locale)
        ),
        MovedBy::Event(other) => say!(
            locale,
            "zone-months-by-event",
            far = far,
            event = event(other, locale)
        ),
    }
}

/// The days that are counted, if the season has begun.
fn days(counted: Counted, locale: Locale) -> String {
    let Counted { passed, measured } = counted;
    if passed == 0 {
        say!(locale, "counted-past-years")
    } else if measured == passed {
        say!(locale, "counted-all", days = passed)
    } else {
        say!(locale, "counted-some", measured = measured, passed = passed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Celsius, DegreeDays, UnitSystem};

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
            anchored(&bound, day(1), Locale::english(UnitSystem::Us)),
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
            event_basis(&moved, Locale::english(UnitSystem::Metric)),
            "months usual in this hardiness zone, 6 days ahead by the heat of the season, all 82 days so far \
             measured (estimate)"
        );
    }
}
