//! What a keeper who follows a chance does, and how it turns out.

use std::collections::BTreeMap;

use super::keeper::{By, Take};
use super::letters::{Letters, letters};
use super::row::Row;
use crate::units::{Chance, count};

/// The usual tolerances at which decisions are tried.
pub const TOLERANCES: [f64; 3] = [0.05, 0.10, 0.20];

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

/// How one season went for a keeper who followed somebody.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// The season's year.
    pub year: i32,
    /// The decision day on which it was cut, counted from the season's first; none when there was none.
    pub cut: Option<usize>,
    /// Whether the event came after that cut.
    pub hit: bool,
    /// In spring the first decision day after which it never came, in autumn the last one after which it did not.
    pub best: usize,
    /// Days between the best day and the cut, on the safe side of it.
    pub lost: usize,
    /// Decision days of the season.
    pub days: usize,
    /// Changes of stance.
    pub flips: usize,
    /// What the changes bring in letters.
    pub letters: Letters,
}

/// How the seasons of a series went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decisions {
    /// Seasons.
    pub seasons: usize,
    /// Seasons without a go.
    pub never: usize,
    /// Of the seasons with a go, the share in which the event came after it.
    pub hit_share: f64,
    /// Mean days lost on the safe side.
    pub lost: f64,
    /// Mean changes of stance a season.
    pub flips: f64,
    /// The most changes of stance in a season.
    pub flips_max: usize,
    /// Mean letters a season.
    pub letters: f64,
    /// Of all letters, those that the next one took back within 72 hours.
    pub taken_back: usize,
}

/// The outcome of each season for a keeper; none of a season in which the one who is followed was silent on a day.
pub(super) fn outcomes(rows: &[&Row], by: By, tolerance: Chance, take: Take) -> Vec<Outcome> {
    let mut seasons: BTreeMap<i32, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        seasons.entry(row.year).or_default().push(row);
    }
    let outcome = |(year, rows): (i32, Vec<&Row>)| {
        let cut = take.position(&by.may_cut(&rows, tolerance)?);
        let stances = by.stances(&rows, tolerance)?;
        let changes = stances.iter().zip(stances.iter().skip(1));
        let (best, lost) = best_and_lost(&rows, cut, take);
        Some(Outcome {
            year,
            cut,
            hit: cut
                .and_then(|cut| rows.get(cut))
                .is_some_and(|row| row.happened),
            best,
            lost,
            days: rows.len(),
            flips: changes.filter(|(one, next)| one != next).count(),
            letters: letters(&stances),
        })
    };
    seasons.into_iter().filter_map(outcome).collect()
}

/// The best day, and the days between it and the cut; a season without a cut loses all that were safe.
fn best_and_lost(rows: &[&Row], cut: Option<usize>, take: Take) -> (usize, usize) {
    match take {
        Take::First => {
            let last_bad = rows.iter().rposition(|row| row.happened);
            let best = last_bad.map_or(0, |last| last + 1);
            (best, cut.unwrap_or(rows.len()).saturating_sub(best))
        }
        Take::Last => {
            let safe = rows.iter().rposition(|row| !row.happened);
            let until = safe.map_or(0, |last| last + 1);
            let lost = until.saturating_sub(cut.map_or(0, |cut| cut + 1));
            (safe.unwrap_or(0), lost)
        }
    }
}

impl Decisions {
    /// The figures over seasons; none without any.
    pub fn of(outcomes: &[Outcome]) -> Option<Self> {
        let seasons = outcomes.len();
        let cut = outcomes.iter().filter(|season| season.cut.is_some());
        let cut = cut.count();
        let hits = outcomes.iter().filter(|season| season.hit).count();
        let flips = || outcomes.iter().map(|season| season.flips);
        let letters = || outcomes.iter().map(|season| season.letters);
        (seasons > 0).then(|| Self {
            seasons,
            never: seasons - cut,
            hit_share: count(hits) / count(cut.max(1)),
            lost: count(outcomes.iter().map(|season| season.lost).sum()) / count(seasons),
            flips: count(flips().sum()) / count(seasons),
            flips_max: flips().max().unwrap_or(0),
            letters: count(letters().map(|one| one.told).sum()) / count(seasons),
            taken_back: letters().map(|one| one.taken_back).sum(),
        })
    }
}

/// How many days better than a calendar date of no more damage the cut was, on average: earlier in spring, later in
/// autumn.
///
/// The date is chosen with hindsight, the best day of the season up to which, from its safe end, no larger share of
/// these very seasons had the event still to come: a hard reference. A season without a go counts as one cut at the
/// season's safe end.
pub(super) fn days_gained(rows: &[&Row], outcomes: &[Outcome], take: Take) -> Option<f64> {
    let mine = Decisions::of(outcomes)?;
    let days = outcomes.iter().map(|season| season.days).min()?;
    let share_hit_by = |day: usize| {
        let hits = outcomes.iter().filter(|season| {
            let mut of_season = rows.iter().filter(|row| row.year == season.year);
            of_season.nth(day).is_some_and(|row| row.happened)
        });
        count(hits.count()) / count(outcomes.len())
    };
    let is_worse = |day: &usize| share_hit_by(*day) > mine.hit_share;
    let mean_cut = |without: usize| {
        let days = outcomes.iter().map(|season| season.cut.unwrap_or(without));
        count(days.sum()) / count(outcomes.len())
    };
    Some(match take {
        Take::First => {
            let date = (0..days).rfind(is_worse).map_or(0, |worse| worse + 1);
            count(date) - mean_cut(days)
        }
        Take::Last => {
            let date = (0..days).find(is_worse).unwrap_or(days);
            mean_cut(0) - count(date.saturating_sub(1))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::backtest::baseline::Teller;

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
    }

    /// A season by whether it came after each day and what the calendar said of it.
    fn season(happened: &[bool], calendar: &[i32]) -> Vec<Row> {
        let date = chrono::NaiveDate::from_ymd_opt(2001, 4, 1).unwrap();
        let row = |(happened, chance): (&bool, &Told)| Row {
            date,
            year: 2001,
            chances: BTreeMap::from([(Teller::Calendar, chance.today)]),
            next_day: BTreeMap::new(),
            futures: 1,
            looks: Vec::new(),
            first_go: crate::backtest::row::FirstGo::default(),
            stance: Stance::Wait,
            happened: *happened,
            nights: crate::backtest::nights::Nights::default(),
        };
        happened.iter().zip(&chances(calendar)).map(row).collect()
    }

    fn outcome(happened: &[bool], calendar: &[i32], take: Take) -> Outcome {
        let rows = season(happened, calendar);
        let rows: Vec<&Row> = rows.iter().collect();
        outcomes(&rows, By::Teller(Teller::Calendar), Chance::of(0.10), take)[0]
    }

    #[test]
    fn in_spring_the_first_go_is_taken_and_waiting_counts_from_the_first_safe_day() {
        let came = [true, true, false, false, false];
        let cut = |calendar: &[i32]| {
            let outcome = outcome(&came, calendar, Take::First);
            (outcome.cut, outcome.hit, outcome.best, outcome.lost)
        };
        assert_eq!(cut(&[100, 100, 100, 100, 0]), (Some(4), false, 2, 2));
        assert_eq!(cut(&[100, 0, 0, 0, 0]), (Some(1), true, 2, 0));
        assert_eq!(cut(&[100; 5]), (None, false, 2, 3));
    }

    #[test]
    fn in_autumn_the_last_go_is_taken_and_what_is_lost_counts_to_the_last_safe_day() {
        let came = [false, false, false, true, true];
        let cut = |calendar: &[i32]| {
            let outcome = outcome(&came, calendar, Take::Last);
            (outcome.cut, outcome.hit, outcome.best, outcome.lost)
        };
        assert_eq!(cut(&[0, 100, 100, 100, 100]), (Some(0), false, 2, 2));
        assert_eq!(cut(&[0, 0, 0, 0, 100]), (Some(3), true, 2, 0));
        assert_eq!(cut(&[100; 5]), (None, false, 2, 3));
    }
}
