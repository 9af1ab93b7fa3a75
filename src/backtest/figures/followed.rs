//! How keepers fare who follow the tellers, each at several tolerances.

use serde::Serialize;

use super::mean;
use crate::backtest::baseline::Teller;
use crate::backtest::calendar::Season;
use crate::backtest::decision::{Decisions, Outcome, days_gained, outcomes};
use crate::backtest::series::{Plan, Row, Series};
use crate::science::scores::wilson;
use crate::units::Chance;

/// The tolerances at which decisions are tried.
pub const TOLERANCES: [f64; 3] = [0.05, 0.10, 0.20];

/// How a keeper fared who followed one teller.
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
    /// Share of first goes after which the event came.
    pub hit_share: f64,
    /// Its 95 % limits: Wilson's, one season one sample.
    pub hit_limits: Option<(f64, f64)>,
    /// Mean days waited after it was safe.
    pub waited: f64,
    /// Mean and most changes of stance a season.
    pub flips: f64,
    /// The most in one season.
    pub flips_max: usize,
    /// Days gained against the calendar date of no more damage, chosen with hindsight.
    pub gained: Option<f64>,
}

/// Every teller at every tolerance; nothing but in spring.
pub(super) fn decisions(series: &[&Series], plan: &Plan) -> Vec<Followed> {
    // Elsewhere than in spring the first go is not the one that matters.
    if plan.season != Season::Spring {
        return Vec::new();
    }
    let mut tolerances = TOLERANCES.to_vec();
    let own = plan.tolerance.share();
    if tolerances.iter().all(|one| (one - own).abs() > 1e-9) {
        tolerances.push(own);
    }
    tolerances
        .iter()
        .flat_map(|tolerance| Teller::ALL.map(|teller| (teller, Chance::of(*tolerance))))
        // A rule does the same whatever the limit; it stands beside the keeper's own.
        .filter(|(teller, tolerance)| !teller.is_rule() || *tolerance == plan.tolerance)
        .filter_map(|(teller, tolerance)| followed(series, teller, tolerance))
        .collect()
}

fn followed(series: &[&Series], teller: Teller, tolerance: Chance) -> Option<Followed> {
    let of_each: Vec<(Vec<&Row>, Vec<Outcome>)> = series
        .iter()
        .map(|series| {
            let rows: Vec<&Row> = series.rows.iter().collect();
            let outcomes = outcomes(&rows, teller, tolerance);
            (rows, outcomes)
        })
        .collect();
    let all: Vec<Outcome> = of_each
        .iter()
        .flat_map(|(_, outcomes)| outcomes)
        .copied()
        .collect();
    let decisions = Decisions::of(&all)?;
    let went = decisions.seasons - decisions.never;
    let hits = all.iter().filter(|season| season.hit).count();
    let gained = of_each
        .iter()
        .filter_map(|(rows, outcomes)| days_gained(rows, outcomes));
    Some(Followed {
        teller: teller.name(),
        tolerance: tolerance.share(),
        seasons: decisions.seasons,
        never: decisions.never,
        hit_share: decisions.hit_share,
        hit_limits: wilson(hits, went).map(|limits| (limits.lower, limits.upper)),
        waited: decisions.waited,
        flips: decisions.flips,
        flips_max: decisions.flips_max,
        gained: mean(gained),
    })
}
