//! Stage 2: every future of this garden, from today on.
//!
//! In: a forecast run and the place's climate. Out: the [`Outlook`], a set of equally likely runs of days.
//! Does not know plants, spots or cuts.

mod blend;
mod build;
mod skill;
mod templates;

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};

use crate::science::degree_days::{GROWTH_BASE, Thresholds, single_sine};
use crate::units::{Celsius, DegreeDays, count};

pub use blend::{Blend, future_days};
pub use build::Inputs;
pub use skill::Skill;

/// How many cutting days the outlook supports: today and a whole year.
pub const CUT_DAYS: usize = 367;

/// Days after the last cutting day that a tender period can need.
pub const TAIL_DAYS: usize = 180;

/// Every future of a garden, all equally likely.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What it rests on.
    pub basis: Basis,
    /// Whether a chance summed over it is whole.
    pub bound: Bound,
    /// The futures; none when nothing is known.
    pub futures: Vec<Future>,
}

/// One possible run of days: index 0 is today.
#[derive(Debug, Clone, PartialEq)]
pub struct Future {
    /// Lowest temperature at 2 m of each day.
    pub min: Vec<Celsius>,
    /// Running heat sum above [`GROWTH_BASE`] at the end of each day, in °C·d.
    pub heat: Vec<f64>,
}

/// Whether a chance is whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// The whole tender period is covered.
    Whole,
    /// Only the nights of the forecast are; the chance is at least this high.
    AtLeast,
}

/// What an outlook rests on; shown wherever one of its numbers is shown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Basis {
    /// The local date of index 0.
    pub today: NaiveDate,
    /// How many futures there are.
    pub futures: usize,
    /// How many past years they continue with; zero when there is no usable record.
    pub years: usize,
    /// How many members the forecast had; one for a single run, zero for none.
    pub members: usize,
    /// How many coming days the forecast informs.
    pub forecast_days: usize,
    /// What is missing, in the order of its weight.
    pub missing: Vec<Missing>,
}

/// Something that the outlook would need and does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum Missing {
    /// There is no usable forecast.
    Forecast,
    /// The forecast is too old to release a cut.
    FreshForecast {
        /// Its age in whole hours.
        age_hours: i64,
    },
    /// The forecast does not reach the coming night.
    ForecastNights,
    /// There is no usable record of past years.
    History,
}

impl Missing {
    /// Whether a cut can be released in spite of it.
    pub const fn allows_go(self) -> bool {
        match self {
            Self::Forecast | Self::FreshForecast { .. } | Self::ForecastNights | Self::History => {
                false
            }
        }
    }
}

impl Basis {
    /// The date of an index.
    pub fn date(&self, index: usize) -> NaiveDate {
        u64::try_from(index)
            .ok()
            .and_then(|days| self.today.checked_add_days(Days::new(days)))
            .unwrap_or(self.today)
    }

    /// The weight of one future.
    pub fn weight(&self) -> f64 {
        1.0 / count(self.futures.max(1))
    }
}

impl Outlook {
    /// How many days each future has, today included.
    pub fn days(&self) -> usize {
        self.futures.first().map_or(0, |future| future.min.len())
    }
}

impl Future {
    /// A future from the extremes of its days; a day whose highest temperature falls below its lowest is taken as even.
    pub fn of(min: Vec<Celsius>, max: &[Celsius]) -> Self {
        let thresholds = Thresholds {
            lower: GROWTH_BASE,
            upper: None,
        };
        let mut sum = 0.0;
        let heat = min
            .iter()
            .zip(max)
            .map(|(min, max)| {
                sum += single_sine(*min, max.max(*min), thresholds).map_or(0.0, DegreeDays::sum);
                sum
            })
            .collect();
        Self { min, heat }
    }
}
