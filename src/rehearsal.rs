//! A year rehearsed: a garden walked day by day through a year on record, as if it were the year at hand.
//!
//! In: a garden, a daily record, a stretch of days, a source of made-up forecasts. Out: a [`Rehearsal`], what would have
//! been told on which day, and how often the window of each cut opened and shut. Does not send or remember anything, and
//! does not use what was not known on the day.

mod hours;
mod walk;
mod window;

use std::collections::BTreeMap;
use std::ops::RangeBounds;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde::Serialize;
use thiserror::Error;

use crate::almanac::{CutKind, Habit};
use crate::backtest::Source;
use crate::climate::{DailyRecord, YEARS_MIN};
use crate::garden::Garden;
use crate::notice::News;
use crate::risk::DateRange;
use crate::verdict::State;

pub use walk::rehearse;
pub use window::{Change, is_open};

/// What is rehearsed.
#[derive(Debug, Clone, Copy)]
pub struct Plan<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// How old a forecast may be and still support a go.
    pub fresh_for: TimeDelta,
    /// The weather: the years before that of the first day are the past known, the days are what came.
    pub record: &'a DailyRecord,
    /// The days that are walked.
    pub days: DateRange,
    /// The forecasts of each day.
    pub forecasts: &'a Source,
    /// The seed of every drawn forecast.
    pub seed: u64,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rehearsal {
    /// The garden as people say it.
    pub garden: String,
    /// The days.
    pub days: DateRange,
    /// Where the weather comes from.
    pub origin: String,
    /// How many past years were known.
    pub past_years: usize,
    /// The hardiness zone that they show.
    pub zone: f64,
    /// Where the forecasts come from.
    pub forecasts: String,
    /// The letters that would have been written, in order of time.
    pub letters: Vec<LetterSent>,
    /// What they would have told.
    pub told: Vec<Told>,
    /// How much there was to tell that was no longer true when its letter went.
    pub dropped: usize,
    /// What each cut's year was, in the order of the garden file.
    pub cuts: Vec<CutYear>,
}

/// A letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LetterSent {
    /// When it was written.
    pub at: DateTime<Utc>,
    /// Its subject.
    pub subject: String,
    /// How many matters it tells.
    pub matters: usize,
}

/// News of one cut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Told {
    /// The day.
    pub date: NaiveDate,
    /// What is said.
    pub news: News,
    /// The cut's name in the garden.
    pub cut: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// What is cut.
    pub work: CutKind,
    /// The chief reason, in words.
    pub why: String,
}

/// The year of one cut.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CutYear {
    /// The cut's name in the garden.
    pub cut: String,
    /// The planting in the keeper's words.
    pub planting: String,
    /// How the plant grows.
    pub habit: Habit,
    /// What is cut.
    pub work: CutKind,
    /// On how many days it was in which state, by the state's name.
    pub days: BTreeMap<&'static str, u32>,
    /// When its window opened and shut, after the first day; see [`is_open`] for what counts.
    pub changes: Vec<Change>,
}

/// A year that cannot be rehearsed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RehearsalError {
    /// The record does not have these days.
    #[error("the record goes from {first} to {last} and does not hold {from} to {to}")]
    NotOnRecord {
        /// Its first day.
        first: NaiveDate,
        /// Its last day.
        last: NaiveDate,
        /// The first day asked for.
        from: NaiveDate,
        /// The last day asked for.
        to: NaiveDate,
    },
    /// Too few years lie before them.
    #[error("fewer than {YEARS_MIN} usable years lie before {0}")]
    TooFewYears(i32),
}

/// A window that opens or shuts more often than this in a year flips.
pub const MOST_OPENINGS: usize = 2;

/// News of the same cut and kind that come again within so many days nag.
const REPEAT_DAYS: i64 = 3;

/// A cut that may be made on fewer days of a year than this is gone before a letter can tell of it (estimate).
const WORTH_A_WORD: u32 = 7;

impl CutYear {
    /// On how many days it might be made.
    fn days_open(&self) -> u32 {
        let days = |state: State| self.days.get(state.name()).copied().unwrap_or(0);
        days(State::Go) + days(State::Closing)
    }

    /// How often its window opened or shut, whichever is more.
    pub fn flips(&self) -> usize {
        let opened = self.changes.iter().filter(|change| change.open).count();
        opened.max(self.changes.len() - opened)
    }
}

impl Rehearsal {
    /// The plantings that could be cut on so many days or more and of which nothing was told.
    pub fn silent(&self) -> Vec<&str> {
        self.untold(WORTH_A_WORD..)
    }

    /// The plantings that could be cut on hardly a day, and of which nothing was told.
    pub fn hardly_open(&self) -> Vec<&str> {
        self.untold(0..WORTH_A_WORD)
    }

    /// The plantings of which nothing was told and that could be cut on so many days.
    fn untold(&self, days: impl RangeBounds<u32>) -> Vec<&str> {
        let mut untold: Vec<&str> = Vec::new();
        for cut in &self.cuts {
            let planting = cut.planting.as_str();
            let was_told = self.told.iter().any(|told| told.planting == planting);
            let of_planting = self.cuts.iter().filter(|cut| cut.planting == planting);
            let most = of_planting.map(CutYear::days_open).max().unwrap_or(0);
            if !was_told && days.contains(&most) && !untold.contains(&planting) {
                untold.push(planting);
            }
        }
        untold
    }

    /// The cuts whose window flips.
    pub fn flipping(&self) -> impl Iterator<Item = &CutYear> {
        self.cuts.iter().filter(|cut| cut.flips() > MOST_OPENINGS)
    }

    /// What was told of the same cut and kind twice within so many days.
    pub fn repeated(&self) -> impl Iterator<Item = &Told> {
        let is_again = |(place, told): &(usize, &Told)| {
            self.told.iter().take(*place).any(|before| {
                (&before.cut, before.news) == (&told.cut, told.news)
                    && told.date - before.date < TimeDelta::days(REPEAT_DAYS)
            })
        };
        let all = self.told.iter().enumerate();
        all.filter(is_again).map(|(_, told)| told)
    }

    /// What was told to go and put off within so many days.
    pub fn taken_back(&self) -> impl Iterator<Item = &Told> {
        let is_back = |(place, told): &(usize, &Told)| {
            let mut before = self.told.iter().take(*place).rev();
            let last = before.find(|before| before.cut == told.cut);
            told.news == News::PutOff
                && last.is_some_and(|last| {
                    last.news != News::PutOff
                        && told.date - last.date < TimeDelta::days(REPEAT_DAYS)
                })
        };
        let all = self.told.iter().enumerate();
        all.filter(is_back).map(|(_, told)| told)
    }
}
