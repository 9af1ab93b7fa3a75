//! The garden's own thermometer: readings that can be believed, and how its nights differ from the place's.
//!
//! In: lines of a station's file or readings that were posted, the nights of the place. Out: [`Reading`]s with every
//! refused one counted, the minima of the garden's nights, and the [`OwnOffset`]. Does not know forecasts, plants or
//! the store.

mod door;
mod lines;
mod nights;
mod offset;
mod screen;
mod spots;

use std::collections::BTreeMap;
use std::fmt;

use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::Celsius;

pub use door::{Admitted, admit};
pub use lines::{Columns, Layout, LayoutError, Missing, TimeForm, Unit, whole_lines};
pub use nights::night_minima;
pub use offset::{CLEAR_SHARE, NightKind, OwnNight, OwnOffset};
pub use screen::{Screened, screen};
pub use spots::{Hung, OwnThermometer};

/// The temperature that a thermometer showed at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// When.
    pub at: DateTime<Utc>,
    /// What it showed.
    pub temperature: Celsius,
}

/// Why a reading is not believed.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Refusal {
    /// The line or value cannot be read.
    Unreadable,
    /// The clock shows this time twice or never, and the order of the lines does not tell which is meant.
    UnclearTime,
    /// Outside what the air over a garden can be.
    OutOfRange,
    /// From a moment that has not come.
    Future,
    /// Another reading of the same moment is there already.
    Duplicate,
    /// Far off its neighbours.
    Spike,
    /// The same value for longer than the air stands still.
    Stuck,
}

/// How many readings were refused, by the reason.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Refused(BTreeMap<Refusal, usize>);

impl Refusal {
    /// Every reason.
    pub const ALL: [Self; 7] = [
        Self::Unreadable,
        Self::UnclearTime,
        Self::OutOfRange,
        Self::Future,
        Self::Duplicate,
        Self::Spike,
        Self::Stuck,
    ];

    /// Its name in kebab-case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Unreadable => "unreadable",
            Self::UnclearTime => "unclear-time",
            Self::OutOfRange => "out-of-range",
            Self::Future => "future",
            Self::Duplicate => "duplicate",
            Self::Spike => "spike",
            Self::Stuck => "stuck",
        }
    }
}

impl Refused {
    /// Counts readings.
    pub fn add(&mut self, why: Refusal, times: usize) {
        if times > 0 {
            *self.0.entry(why).or_insert(0) += times;
        }
    }

    /// Counts those of another count too.
    pub fn add_all(&mut self, other: &Self) {
        for (why, times) in other.each() {
            self.add(why, times);
        }
    }

    /// Each reason that came up, with how often.
    pub fn each(&self) -> impl Iterator<Item = (Refusal, usize)> + '_ {
        self.0.iter().map(|(why, times)| (*why, *times))
    }

    /// How many for one reason.
    pub fn of(&self, why: Refusal) -> usize {
        self.0.get(&why).copied().unwrap_or(0)
    }

    /// How many over all.
    pub fn total(&self) -> usize {
        self.0.values().sum()
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let each: Vec<String> = self
            .each()
            .map(|(why, times)| format!("{times} {}", why.name()))
            .collect();
        f.write_str(&each.join(", "))
    }
}
