//! What is tested.
//!
//! In: nothing; out: the [`Plan`]. Does not test.

use super::calendar::Season;
use super::decision::TOLERANCES;
use super::question::Question;
use super::teacher::Prior;
use super::world::Source;
use crate::units::Chance;

/// What is tested.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The question.
    pub question: Question,
    /// The decision days.
    pub season: Season,
    /// The forecasts.
    pub source: Source,
    /// The skill that is assumed at first.
    pub prior: Prior,
    /// Whether skill is learned from the forecasts that have come due.
    pub learns: bool,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// Fewest past years before a season that is tested.
    pub past_years: usize,
    /// The seed of every drawn forecast.
    pub seed: u64,
    /// Days from one start day of a past year to the next in a second, thinner count; none for no such count.
    pub shift_step: Option<usize>,
}

impl Plan {
    /// The tolerances at which decisions are tried: the usual ones and the keeper's own.
    pub fn tolerances(&self) -> Vec<Chance> {
        let mut all = TOLERANCES.map(Chance::of).to_vec();
        if !all.contains(&self.tolerance) {
            all.push(self.tolerance);
        }
        all
    }
}
