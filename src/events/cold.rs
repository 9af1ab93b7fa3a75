//! The freezes of a season and its first warm spell, read off the days themselves.

use super::season::{Run, Season};
use super::tally::Spread;
use crate::almanac::Event;
use crate::climate::freeze::TOLERANCE;
use crate::units::Celsius;

/// Days from the first day of a season to the end of spring and the beginning of autumn: 1 August in the north, as
/// [`crate::climate::freeze::FreezeDates`] has it.
const SPRING_DAYS: usize = 212;

/// Days from the first day of a season to the end of its autumn.
const AUTUMN_END: usize = 365;

/// Where no freeze comes in autumn the middle of winter stands for it.
const MIDWINTER_AFTER: usize = 379;

/// Days in a row, and how warm each has to be: see [`Event::WarmSpell`].
const SPELL: (usize, Celsius) = (5, Celsius::new(10.0));

/// What the days of a season say of an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// Its days.
    On(Spread),
    /// It does not freeze in any run; the day that stands for the freeze.
    Never(usize),
    /// The days do not reach far enough, or the event is none that they show.
    Unknown,
}

/// The days of an event of the place.
///
/// A run without the freeze counts: in spring as if it came on the first day of the season, in autumn as if it came in
/// the middle of winter, so that a season between freezes is as long as it can be.
pub(super) fn find(season: &Season<'_>, event: Event) -> Found {
    match event {
        Event::LastFreeze => freeze(season, (SPRING_DAYS, 0), |run| {
            (0..SPRING_DAYS).rfind(|day| is_cold(run, *day, 32.0))
        }),
        Event::FirstFreeze => freeze(season, (AUTUMN_END, MIDWINTER_AFTER), |run| {
            (SPRING_DAYS..AUTUMN_END).find(|day| is_cold(run, *day, 32.0))
        }),
        Event::HardFrost => freeze(season, (AUTUMN_END, MIDWINTER_AFTER), |run| {
            (SPRING_DAYS..AUTUMN_END).find(|day| is_cold(run, *day, 28.0))
        }),
        Event::WarmSpell => season.spread(warm_spell).map_or(Found::Unknown, Found::On),
        Event::BudBreak
        | Event::BloomBegin
        | Event::BloomEnd
        | Event::FullLeaf
        | Event::FlushEnd
        | Event::BudSet
        | Event::LeafFall
        | Event::MidWinter
        | Event::MidSummer => Found::Unknown,
    }
}

fn freeze(
    season: &Season<'_>,
    (days_needed, day_of_none): (usize, usize),
    of: impl Fn(&Run<'_>) -> Option<usize>,
) -> Found {
    if season.days() < days_needed {
        return Found::Unknown;
    }
    let spread = season.spread(|run| Some(of(run).unwrap_or(day_of_none)));
    match spread {
        None => Found::Unknown,
        Some(Spread { early, late, .. }) if early == day_of_none && late == day_of_none => {
            Found::Never(day_of_none)
        }
        Some(spread) => Found::On(spread),
    }
}

fn is_cold(run: &Run<'_>, day: usize, fahrenheit: f64) -> bool {
    let limit = Celsius::from_fahrenheit(fahrenheit) + TOLERANCE;
    run.min(day).is_some_and(|min| min <= limit)
}

/// The last day of the first warm spell of spring.
fn warm_spell(run: &Run<'_>) -> Option<usize> {
    let (days, warm) = SPELL;
    let mut in_a_row = 0;
    (0..SPRING_DAYS).find(|day| {
        let is_warm = run.max(*day).is_some_and(|max| max >= warm);
        in_a_row = if is_warm { in_a_row + 1 } else { 0 };
        in_a_row == days
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::events::season::{SEASON_DAYS, Usual};

    /// Seasons of 2.0 to 9.9 °C but for the nights and noons given, one season for each list.
    fn usual(years: &[&[(usize, f64, f64)]]) -> Usual {
        let year = |days: &&[(usize, f64, f64)]| {
            let mut year = vec![(Celsius::new(2.0), Celsius::new(9.9)); SEASON_DAYS];
            for (day, min, max) in *days {
                year[*day] = (Celsius::new(*min), Celsius::new(*max));
            }
            year
        };
        Usual {
            years: years.iter().map(year).collect(),
            swing: 20.0,
        }
    }

    fn found(usual: &Usual, event: Event) -> Found {
        find(&Season::of_past_years(usual), event)
    }

    #[test]
    fn seasons_without_a_freeze_count_as_if_it_came_at_their_ends() {
        let usual = usual(&[
            &[(50, 0.0, 5.0), (300, -0.1, 5.0)],
            &[(60, -3.0, 5.0), (290, -2.2, 5.0)],
            &[],
            &[],
        ]);
        let on = |early, middle, late| {
            Found::On(Spread {
                early,
                middle,
                late,
            })
        };
        assert_eq!(found(&usual, Event::LastFreeze), on(0, 0, 60));
        assert_eq!(found(&usual, Event::FirstFreeze), on(290, 300, 379));
        // 28 °F is -2.2 °C in a record of tenths.
        assert_eq!(found(&usual, Event::HardFrost), on(290, 379, 379));
        assert_eq!(found(&usual, Event::WarmSpell), Found::Unknown);
    }

    #[test]
    fn a_warm_spell_is_five_days_in_a_row() {
        let warm = |days: std::ops::Range<usize>| days.map(|day| (day, 2.0, 10.0));
        let days: Vec<_> = warm(10..14).chain(warm(20..26)).collect();
        let usual = usual(&[&days]);
        let fifth = Spread {
            early: 24,
            middle: 24,
            late: 24,
        };
        assert_eq!(found(&usual, Event::WarmSpell), Found::On(fifth));
        assert_eq!(found(&usual, Event::LastFreeze), Found::Never(0));
        assert_eq!(found(&usual, Event::FirstFreeze), Found::Never(379));
    }
}
