//! What would have been said on one decision day, and what came.
//!
//! In: nothing; out: the types that the test fills and the figures read. Does not compute chances.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::baseline::Teller;
use super::decision::{Stance, Told};
use super::nights::Nights;
use crate::risk::{Look, Spread};
use crate::units::Chance;

/// One decision day.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The decision day.
    pub date: NaiveDate,
    /// The season's year.
    pub year: i32,
    /// The chance of each who tells one.
    pub chances: BTreeMap<Teller, Chance>,
    /// The chance for a cut on the next day, of each whose word depends on it.
    pub next_day: BTreeMap<Teller, Chance>,
    /// How many futures the chance under test was counted over.
    pub futures: usize,
    /// What the damping of releases sees of the chance under test, at each tolerance of the plan.
    pub looks: Vec<Look>,
    /// What was told of the first go at the keeper's tolerance.
    pub first_go: FirstGo,
    /// Whether the cut stands released on this day.
    pub stance: Stance,
    /// Whether it came.
    pub happened: bool,
    /// The single nights.
    pub nights: Nights,
}

/// The first go as it was told on a day, beside the one that came.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FirstGo {
    /// What was told; none when no day within sight is go.
    pub told: Option<Spread>,
    /// The day of the season's first release; none when there was none.
    pub came: Option<NaiveDate>,
    /// The margin on the tolerance up to which a date read off the curve would not have been too early.
    pub margin: Option<f64>,
}

/// How the climate's chance runs over a season's cutting days: smooth where the past years are enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveCheck {
    /// The season's year.
    pub year: i32,
    /// Steps up, summed; in spring each of them goes the wrong way.
    pub up: f64,
    /// Steps down, summed; in autumn each of them goes the wrong way.
    pub down: f64,
    /// The largest step either way.
    pub largest: f64,
}

impl Row {
    /// What one of them told of a cut on this day and on the next; none when it told nothing. A rule that does not look
    /// ahead says the same of both.
    pub fn told(&self, teller: Teller) -> Option<Told> {
        let today = *self.chances.get(&teller)?;
        Some(Told {
            today,
            tomorrow: self.next_day.get(&teller).copied().unwrap_or(today),
        })
    }

    /// The chance that one of them told; certain danger when it told none.
    pub fn chance(&self, teller: Teller) -> Chance {
        self.chances
            .get(&teller)
            .copied()
            .unwrap_or(Chance::of(1.0))
    }

    /// What the damping of releases sees at a tolerance.
    pub fn look(&self, tolerance: Chance) -> Option<&Look> {
        self.looks.iter().find(|look| look.tolerance == tolerance)
    }
}
