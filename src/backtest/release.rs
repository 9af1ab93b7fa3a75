//! The program's own releases, day by day, and the first go that it told before them.
//!
//! In: what the damping of releases sees each day, curves by cutting day. Out: stances, and margins on the tolerance.
//! Does not judge how they turned out.

use super::decision::Stance;
use crate::risk::{Look, Release, STAYS_DAYS};
use crate::units::Chance;

/// The stance on each of consecutive decision days as the program has it.
///
/// It was running before the season and had released nothing by then.
pub(super) fn released<'a>(looks: impl Iterator<Item = &'a Look>) -> Vec<Stance> {
    let mut before = Release::default();
    let after = |look: &Look| {
        before = Release::after(Some(before), look);
        if before.released {
            Stance::Go
        } else {
            Stance::Wait
        }
    };
    looks.map(after).collect()
}

/// The margin on the tolerance up to which the first go day read off a curve lies no earlier than a day.
///
/// A first go day at a margin is the first of [`STAYS_DAYS`] days in a row within so many times the tolerance, so that
/// the margin sought is the least that any such run before the day would have needed. None of today.
pub(super) fn margin_until(curve: &[Chance], days: usize, tolerance: Chance) -> Option<f64> {
    let runs = curve.windows(STAYS_DAYS).take(days);
    let needed = runs.map(|run| run.iter().map(|chance| chance.share()).fold(0.0, f64::max));
    needed
        .reduce(f64::min)
        .map(|share| share / tolerance.share())
}

#[cfg(test)]
mod tests {
    use chrono::{DateTime, TimeDelta};

    use super::*;

    const TENTH: f64 = 0.10;

    fn look(day: i64, percent: f64) -> Look {
        Look {
            at: DateTime::UNIX_EPOCH + TimeDelta::days(day),
            chance: Chance::of(percent / 100.0),
            tomorrow: Chance::of(percent / 100.0),
            tolerance: Chance::of(TENTH),
            frost_at_hand: false,
            near_night: Chance::NEVER,
            go_in_days: Some(3),
        }
    }

    #[test]
    fn two_looks_release_and_a_frost_at_hand_withdraws() {
        let percents = [4.0, 21.0, 10.0, 9.0, 18.0, 9.0, 21.0];
        let mut looks: Vec<Look> = (0..)
            .zip(percents)
            .map(|(day, percent)| look(day, percent))
            .collect();
        looks[5].frost_at_hand = true;
        let go = released(looks.iter())
            .into_iter()
            .map(|stance| stance == Stance::Go);
        // The first look of the season is not the first of all: it takes a second one.
        assert_eq!(
            go.collect::<Vec<_>>(),
            [false, false, false, true, true, false, false]
        );
    }

    #[test]
    fn the_margin_is_what_the_kindest_run_before_the_day_would_have_needed() {
        let curve: Vec<Chance> = [90, 40, 30, 35, 20, 9, 9, 8]
            .map(|p| Chance::of(f64::from(p) / 100.0))
            .to_vec();
        let margin = |days| margin_until(&curve, days, Chance::of(TENTH));
        let near = |found: Option<f64>, margin: f64| (found.unwrap() - margin).abs() < 1e-9;
        assert_eq!(margin(0), None);
        assert!(near(margin(1), 9.0) && near(margin(2), 4.0) && near(margin(3), 3.5));
        assert!(near(margin(5), 2.0), "runs that begin on the days 0 to 4");
    }
}
