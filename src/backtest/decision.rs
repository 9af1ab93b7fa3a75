//! What a keeper who follows a chance does, and how it turns out.

use std::collections::BTreeMap;

use super::baseline::Teller;
use super::series::Row;
use crate::units::{Chance, count};

/// A go is taken back when the chance is more than this many times the tolerance.
const BACK_ABOVE: f64 = 2.0;

/// What the chances up to a day amount to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stance {
    /// Not yet.
    Wait,
    /// Cut.
    Go,
}

impl Stance {
    /// The word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wait => "wait",
            Self::Go => "go",
        }
    }
}

/// What one run says of a cut on its own day and of one on the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// The chance for a cut today.
    pub today: Chance,
    /// The chance for a cut tomorrow, as today's run has it.
    pub tomorrow: Chance,
}

/// The stance on each of consecutive decision days: go when two runs in a row, yesterday's and today's, have the cut of
/// today within the tolerance, back when the chance is more than twice the tolerance.
pub fn stances(told: &[Told], tolerance: Chance) -> Vec<Stance> {
    let (mut stance, mut agreed) = (Stance::Wait, false);
    let step = |told: &Told| {
        let within = told.today.share() <= tolerance.share();
        if within && agreed {
            stance = Stance::Go;
        } else if told.today.share() > BACK_ABOVE * tolerance.share() {
            stance = Stance::Wait;
        }
        agreed = told.tomorrow.share() <= tolerance.share();
        stance
    };
    told.iter().map(step).collect()
}

/// The position of a teller's first go; a rule that says only yes or no is followed at once.
pub fn first_go(told: &[Told], tolerance: Chance, teller: Teller) -> Option<usize> {
    if teller.is_rule() {
        told.iter()
            .position(|told| told.today.share() <= tolerance.share())
    } else {
        stances(told, tolerance)
            .iter()
            .position(|stance| *stance == Stance::Go)
    }
}

/// How one season went for a keeper who followed one teller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// The season's year.
    pub year: i32,
    /// The decision day of the first go, counted from the season's first; none when there was none.
    pub go: Option<usize>,
    /// Whether the event came after that go.
    pub hit: bool,
    /// The first decision day after which it never came.
    pub safe_from: usize,
    /// Decision days of the season.
    pub days: usize,
    /// Changes of stance.
    pub flips: usize,
}

impl Outcome {
    /// Days waited after it was safe; a season without a go waited to its end at least.
    pub fn waited(&self) -> f64 {
        count(self.go.unwrap_or(self.days).saturating_sub(self.safe_from))
    }
}

/// How the seasons of a series went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decisions {
    /// Seasons, and those of them without a go.
    pub seasons: usize,
    /// Seasons without a go.
    pub never: usize,
    /// Of the seasons with a go, the share in which the event came after it.
    pub hit_share: f64,
    /// Mean days waited after it was safe.
    pub waited: f64,
    /// Mean changes of stance a season.
    pub flips: f64,
    /// The most changes of stance in a season.
    pub flips_max: usize,
}

/// The outcome of each season for a keeper who followed a teller; none for a teller that was silent on a day.
pub(super) fn outcomes(rows: &[&Row], teller: Teller, tolerance: Chance) -> Vec<Outcome> {
    let mut seasons: BTreeMap<i32, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        seasons.entry(row.year).or_default().push(row);
    }
    let outcome = |(year, rows): (i32, Vec<&Row>)| {
        let told: Vec<Told> = rows
            .iter()
            .map(|row| row.told(teller))
            .collect::<Option<_>>()?;
        let go = first_go(&told, tolerance, teller);
        let stances = stances(&told, tolerance);
        let changes = stances.iter().zip(stances.iter().skip(1));
        Some(Outcome {
            year,
            go,
            hit: go
                .and_then(|go| rows.get(go))
                .is_some_and(|row| row.happened),
            safe_from: rows
                .iter()
                .rposition(|row| row.happened)
                .map_or(0, |last| last + 1),
            days: rows.len(),
            flips: changes.filter(|(one, next)| one != next).count(),
        })
    };
    seasons.into_iter().filter_map(outcome).collect()
}

impl Decisions {
    /// The figures over seasons; none without any.
    pub fn of(outcomes: &[Outcome]) -> Option<Self> {
        let seasons = outcomes.len();
        let went = outcomes.iter().filter(|season| season.go.is_some()).count();
        let hits = outcomes.iter().filter(|season| season.hit).count();
        (seasons > 0).then(|| Self {
            seasons,
            never: seasons - went,
            hit_share: count(hits) / count(went.max(1)),
            waited: outcomes.iter().map(Outcome::waited).sum::<f64>() / count(seasons),
            flips: count(outcomes.iter().map(|season| season.flips).sum()) / count(seasons),
            flips_max: outcomes
                .iter()
                .map(|season| season.flips)
                .max()
                .unwrap_or(0),
        })
    }
}

/// How many days earlier than a calendar date of no more damage the first go came, on average.
///
/// The date is chosen with hindsight, the earliest day of the season from which on no larger share of these very seasons
/// had the event still to come: a hard reference. A season without a go counts as one at its end.
pub(super) fn days_gained(rows: &[&Row], outcomes: &[Outcome]) -> Option<f64> {
    let mine = Decisions::of(outcomes)?;
    let days = outcomes.iter().map(|season| season.days).min()?;
    let share_hit_by = |day: usize| {
        let hits = outcomes.iter().filter(|season| {
            let mut of_season = rows.iter().filter(|row| row.year == season.year);
            of_season.nth(day).is_some_and(|row| row.happened)
        });
        count(hits.count()) / count(outcomes.len())
    };
    let date = (0..days).rfind(|day| share_hit_by(*day) > mine.hit_share);
    let date = date.map_or(0, |last_worse| last_worse + 1);
    let went = outcomes
        .iter()
        .map(|season| count(season.go.unwrap_or(season.days)));
    Some(count(date) - went.sum::<f64>() / count(outcomes.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs that say the same of tomorrow as of today.
    fn chances(percent: &[i32]) -> Vec<Told> {
        let share = |percent: &i32| Chance::of(f64::from(*percent) / 100.0);
        let even = |percent| Told {
            today: share(percent),
            tomorrow: share(percent),
        };
        percent.iter().map(even).collect()
    }

    #[test]
    fn yesterdays_word_on_today_counts() {
        let run = |today: f64, tomorrow: f64| Told {
            today: Chance::of(today),
            tomorrow: Chance::of(tomorrow),
        };
        let go = stances(
            &[run(0.12, 0.09), run(0.10, 0.11), run(0.10, 0.09)],
            Chance::of(0.10),
        );
        assert_eq!(go, [Stance::Wait, Stance::Go, Stance::Go]);
        let go = stances(
            &[run(0.12, 0.11), run(0.10, 0.09), run(0.10, 0.09)],
            Chance::of(0.10),
        );
        assert_eq!(go, [Stance::Wait, Stance::Wait, Stance::Go]);
    }

    #[test]
    fn a_go_needs_two_runs_and_is_kept_until_twice_the_tolerance() {
        let all = chances(&[9, 11, 10, 9, 15, 20, 21, 9, 8]);
        let go: Vec<bool> = stances(&all, Chance::of(0.10))
            .iter()
            .map(|stance| *stance == Stance::Go)
            .collect();
        assert_eq!(
            go,
            [false, false, false, true, true, true, false, false, true]
        );
        assert_eq!(first_go(&all, Chance::of(0.10), Teller::Budward), Some(3));
        assert_eq!(first_go(&all, Chance::of(0.10), Teller::Calendar), Some(0));
        assert_eq!(
            first_go(&chances(&[50]), Chance::of(0.10), Teller::Calendar),
            None
        );
    }

    #[test]
    fn waiting_counts_from_the_first_safe_day() {
        let outcome = |go| Outcome {
            year: 2001,
            go,
            hit: false,
            safe_from: 40,
            days: 91,
            flips: 1,
        };
        let waited = [Some(52), Some(30), None].map(|go| format!("{:.1}", outcome(go).waited()));
        assert_eq!(waited, ["12.0", "0.0", "51.0"]);
    }
}
