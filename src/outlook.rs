//! Stage 2: every future of this garden, from today on.
//!
//! In: a forecast run and the place's climate. Out: the [`Outlook`], a set of equally likely runs of days.
//! Does not know plants, spots or cuts.

mod blend;
mod build;
mod daily;
mod fan;
mod futures;
mod leaf;
mod learning;
mod own_nights;
mod recent;
mod run_days;
mod skill;
mod templates;

use std::borrow::Cow;

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::climate::FromHere;
use crate::units::{Celsius, CelsiusStep, count};

pub use blend::{Blend, Carried, Guide};
pub use build::Inputs;
pub use daily::Daily;
pub use fan::NightFan;
pub use futures::{Future, Futures, Runs};
pub use learning::{Kept, LeadEvidence, Learned, SourceSkill, Truth, Verified, verified_pairs};
pub use own_nights::{NightKinds, night_kinds, own_nights};
pub use recent::{MeasuredDays, measured_days};
pub use run_days::RunDays;
pub use skill::{COLD_BELOW, LeadSkill, Skill, WarmBias};

/// How far the futures of an outlook reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Horizon {
    /// Cutting days, today included.
    pub cut_days: usize,
    /// Days after the last cutting day that a tender period can need.
    pub tail_days: usize,
}

impl Horizon {
    /// Today and a whole year of cutting days, and half a year after it for growth that waits for spring.
    pub const YEAR: Self = Self {
        cut_days: 367,
        tail_days: 180,
    };

    /// Days over all.
    pub const fn days(self) -> usize {
        self.cut_days + self.tail_days
    }
}

/// Every future of a garden, all equally likely.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What it rests on.
    pub basis: Basis,
    /// Whether a chance summed over it is whole.
    pub bound: Bound,
    /// How far it was to reach.
    pub horizon: Horizon,
    /// The index of the next coldest day of the usual year; none without past years.
    pub midwinter: Option<usize>,
    /// The forecast's own minima of the coming nights, bias taken off, from the first one on without a gap.
    pub coming_nights: Vec<Celsius>,
    /// What leaves in the night of each day lack to those of the usual freeze, by index; no more than is known.
    pub leaf: Vec<CelsiusStep>,
    /// The futures; none when nothing is known.
    pub futures: Futures,
}

/// Whether a chance is whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// The whole tender period is covered.
    Whole,
    /// Only the nights of the forecast are; the chance is at least this high.
    AtLeast,
}

/// What an outlook rests on; shown wherever one of its numbers is shown.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
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
    /// Where the forecast comes from, with the credit that its service asks for.
    pub forecast_from: Option<String>,
    /// How old the forecast is, in whole hours.
    pub forecast_age_hours: Option<i64>,
    /// Where the record of past years comes from, and which years.
    pub record_from: Option<String>,
    /// How far from the place and how much higher the record was measured; none where nobody says where that was.
    #[serde(default)]
    pub record_site: Option<FromHere>,
    /// What is missing, in the order of its weight.
    pub missing: Vec<Missing>,
}

/// Something that would have to be known and is not; any of it keeps a cut from being released.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
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
    /// The almanac's dates do not fit a place as warm or as cold as this.
    Season,
}

impl Basis {
    /// The date of an index.
    pub fn date(&self, index: usize) -> NaiveDate {
        day_after(self.today, index)
    }

    /// The weight of one future.
    pub fn weight(&self) -> f64 {
        1.0 / count(self.futures.max(1))
    }
}

impl Outlook {
    /// For how many cutting days, today included, a chance can be summed.
    pub fn cut_days(&self) -> usize {
        self.days().min(self.horizon.cut_days)
    }

    /// How many days each future has, today included.
    pub fn days(&self) -> usize {
        self.futures.days()
    }
}

impl Outlook {
    /// The nights of a future as its tender leaves feel them: colder than the air in nights that are clearer, stiller
    /// or drier than the usual freeze.
    pub fn at_leaf<'f>(&self, future: Future<'f>) -> Cow<'f, [Celsius]> {
        if self.leaf.is_empty() {
            return Cow::Borrowed(future.min);
        }
        let mut nights = future.min.to_vec();
        for (night, step) in nights.iter_mut().zip(&self.leaf) {
            *night = *night + *step;
        }
        Cow::Owned(nights)
    }

    /// The forecast's own minima of the coming nights, likewise.
    pub fn coming_at_leaf(&self) -> impl Iterator<Item = Celsius> + '_ {
        let steps = self.leaf.iter().copied().skip(1);
        let steps = steps.chain(std::iter::repeat(CelsiusStep::default()));
        self.coming_nights
            .iter()
            .zip(steps)
            .map(|(night, step)| *night + step)
    }
}

/// The date so many days after another.
fn day_after(today: NaiveDate, days: usize) -> NaiveDate {
    u64::try_from(days)
        .ok()
        .and_then(|days| today.checked_add_days(Days::new(days)))
        .unwrap_or(today)
}
