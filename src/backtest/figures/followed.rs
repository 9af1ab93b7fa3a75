//! How keepers fare who follow the program or its rivals, each at several tolerances.
//!
//! In: rows. Out: one line a keeper. Does not decide anything: [`crate::backtest::By`] and `risk::Release` do.

use std::collections::BTreeMap;

use serde::Serialize;

use super::mean;
use crate::backtest::decision::{Decisions, Outcome, days_gained, outcomes};
use crate::backtest::keeper::{By, Take};
use crate::backtest::plan::Plan;
use crate::backtest::row::Row;
use crate::backtest::series::Series;
use crate::science::scores::wilson;
use crate::units::{Chance, count};

/// How a keeper fared who followed one of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Followed {
    /// Who.
    pub teller: &'static str,
    /// The tolerance.
    pub tolerance: f64,
    /// Seasons.
    pub seasons: usize,
    /// Seasons without a go.
    pub never: usize,
    /// Share of the cuts after which the event came.
    pub hit_share: f64,
    /// Its 95 % limits, with the year as the sample.
    pub hit_limits: Option<(f64, f64)>,
    /// Mean days lost on the safe side of the best day.
    pub lost: f64,
    /// Mean and most changes of stance a season.
    pub flips: f64,
    /// The most in one season.
    pub flips_max: usize,
    /// Mean letters a season that say go or put off.
    pub letters: f64,
    /// Of all these letters, those that the next one took back within 72 hours.
    pub taken_back: usize,
    /// Days gained against the calendar date of no more damage, chosen with hindsight.
    pub gained: Option<f64>,
}

/// Everybody at every tolerance; nothing over whole years, which have no one day that matters.
pub(super) fn decisions(series: &[&Series], plan: &Plan) -> Vec<Followed> {
    let Some(take) = Take::of(plan.season) else {
        return Vec::new();
    };
    plan.tolerances()
        .into_iter()
        .flat_map(|tolerance| By::all().map(move |by| (by, tolerance)))
        // A rule does the same whatever the limit; it stands beside the keeper's own.
        .filter(|(by, tolerance)| !by.is_rule() || *tolerance == plan.tolerance)
        .filter_map(|(by, tolerance)| followed(series, by, tolerance, take))
        .collect()
}

fn followed(series: &[&Series], by: By, tolerance: Chance, take: Take) -> Option<Followed> {
    let of_each: Vec<(Vec<&Row>, Vec<Outcome>)> = series
        .iter()
        .map(|series| {
            let rows: Vec<&Row> = series.rows.iter().collect();
            let outcomes = outcomes(&rows, by, tolerance, take);
            (rows, outcomes)
        })
        .collect();
    let outcomes = of_each.iter().flat_map(|(_, outcomes)| outcomes);
    let all: Vec<Outcome> = outcomes.copied().collect();
    let decisions = Decisions::of(&all)?;
    let gained = of_each
        .iter()
        .filter_map(|(rows, outcomes)| days_gained(rows, outcomes, take));
    Some(Followed {
        teller: by.name(),
        tolerance: tolerance.share(),
        seasons: decisions.seasons,
        never: decisions.never,
        hit_share: decisions.hit_share,
        hit_limits: hit_limits(&all),
        lost: decisions.lost,
        flips: decisions.flips,
        flips_max: decisions.flips_max,
        letters: decisions.letters,
        taken_back: decisions.taken_back,
        gained: mean(gained),
    })
}

/// The limits of the share of cuts after which the event came, where the same year of several records is one sample.
///
/// Wilson's limits with both counts divided by the design effect: by how much larger than that of independent cases the
/// variance of the share is when whole years are drawn (Korn & Graubard, Surv. Methodol. 24, 1998, 193-201, which uses
/// other limits; from memory). Without a hit, or with nothing else, nothing shows how far they hang together: the years
/// alone count.
fn hit_limits(outcomes: &[Outcome]) -> Option<(f64, f64)> {
    let mut years: BTreeMap<i32, (usize, usize)> = BTreeMap::new();
    for outcome in outcomes.iter().filter(|outcome| outcome.cut.is_some()) {
        let (hits, cuts) = years.entry(outcome.year).or_default();
        *hits += usize::from(outcome.hit);
        *cuts += 1;
    }
    let hits: usize = years.values().map(|(hits, _)| hits).sum();
    let cuts: usize = years.values().map(|(_, cuts)| cuts).sum();
    let share = count(hits) / count(cuts.max(1));
    let of_years: f64 = years
        .values()
        .map(|(hits, cuts)| (count(*hits) - share * count(*cuts)).powi(2))
        .sum();
    let alone = count(cuts) * share * (1.0 - share);
    let effect = if alone > 0.0 {
        (of_years / alone).max(1.0)
    } else {
        count(cuts) / count(years.len().max(1))
    };
    let (hits, cuts) = (divided(hits, effect), divided(cuts, effect));
    wilson(hits.min(cuts), cuts).map(|limits| (limits.lower, limits.upper))
}

/// A count divided, to the nearest whole number.
fn divided(n: usize, by: f64) -> usize {
    let off = |whole: usize| (count(whole) - count(n) / by).abs();
    (0..=n)
        .min_by(|a, b| off(*a).total_cmp(&off(*b)))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One outcome for each record and year: whether it was hit.
    fn outcomes_of(records: &[&[bool]]) -> Vec<Outcome> {
        let of_record = |hits: &&[bool]| {
            let outcome = |(year, hit): (i32, &bool)| Outcome {
                year,
                cut: Some(1),
                hit: *hit,
                best: 1,
                lost: 0,
                days: 9,
                flips: 1,
                letters: crate::backtest::letters::Letters::default(),
            };
            (2001..).zip(*hits).map(outcome).collect::<Vec<_>>()
        };
        records.iter().flat_map(of_record).collect()
    }

    #[test]
    fn one_record_has_its_seasons_as_the_sample() {
        let hits = [false, true, false, false, false];
        let plain = wilson(1, 5).map(|limits| (limits.lower, limits.upper));
        assert_eq!(hit_limits(&outcomes_of(&[&hits])), plain);
    }

    #[test]
    fn records_that_say_the_same_are_no_larger_sample() {
        let hits: &[bool] = &[false, true, false, false, true];
        let one = hit_limits(&outcomes_of(&[hits]));
        assert_eq!(hit_limits(&outcomes_of(&[hits, hits, hits])), one);
        let none: &[bool] = &[false; 5];
        assert_eq!(
            hit_limits(&outcomes_of(&[none, none])),
            hit_limits(&outcomes_of(&[none]))
        );
    }
}
