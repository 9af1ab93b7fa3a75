//! The forecasts of a test: none, perfect, observed nights with a stated error, a bridge to the truth, or from a file.

mod bridge;
mod given;

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::question::after;
use crate::climate::{Climate, DailyRecord};
use crate::forecast::{Extremes, ForecastDay};
use crate::science::dice::Dice;
use crate::units::{Celsius, CelsiusStep, count};

pub use bridge::{BRIDGE_DAYS, BridgeWorld};
pub use given::{Given, GivenError};

/// Standard deviation of the error of a forecast night minimum by lead in days, in kelvin: spring, US cities in 2021 for
/// the first two days, growth beyond from ensemble means (own evaluation of published forecasts).
pub const USUAL_ERRORS: [f64; 7] = [1.66, 1.81, 1.95, 2.16, 2.35, 2.74, 3.10];

/// Correlation of the errors of one run between neighbouring leads (own evaluation; estimate).
const ERROR_PERSISTENCE: f64 = 0.9;

/// Where the forecasts of a test come from.
#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    /// There are none, and today's weather is not known either.
    None,
    /// What came, for so many days.
    Perfect {
        /// How many.
        days: usize,
    },
    /// What came plus a normal error, drawn anew on each issue day.
    Noise {
        /// Its standard deviation by lead, in kelvin.
        errors: Vec<f64>,
    },
    /// What came, approached along a random bridge.
    Bridge {
        /// Which faults the forecasts have.
        world: BridgeWorld,
        /// Members of the ensemble; one for a single run.
        members: usize,
    },
    /// Forecasts that were kept.
    Given(Given),
}

/// The weather of a test as the record has it.
#[derive(Debug, Clone, Copy)]
pub struct Weather<'a> {
    /// The name of the record, which the dice go by.
    pub name: &'a str,
    /// What came.
    pub record: &'a DailyRecord,
    /// What the place usually does, as it is known from the years before.
    pub climate: &'a Climate,
}

/// The days of one forecast.
pub type Issue = BTreeMap<NaiveDate, ForecastDay>;

impl Source {
    /// The forecasts made on consecutive days.
    ///
    /// What is drawn depends on the seed, the record's name and the dates alone, never on the weather.
    pub fn issues(
        &self,
        weather: &Weather<'_>,
        seed: u64,
        days: &[NaiveDate],
    ) -> BTreeMap<NaiveDate, Issue> {
        let each =
            |make: &dyn Fn(NaiveDate) -> Issue| days.iter().map(|day| (*day, make(*day))).collect();
        match self {
            Self::None => BTreeMap::new(),
            Self::Perfect { days } => each(&|day| perfect(weather.record, day, *days)),
            Self::Noise { errors } => each(&|day| noisy(weather, seed, day, errors)),
            Self::Bridge { world, members } => world.issues(weather, seed, *members, days),
            Self::Given(given) => each(&|day| given.issue(day)),
        }
    }

    /// What to call it.
    pub fn title(&self) -> String {
        match self {
            Self::None => "no forecast".to_owned(),
            Self::Perfect { days } => format!("perfect for {days} days"),
            Self::Noise { errors } => format!("observed plus error, {} days", errors.len()),
            Self::Bridge { world, members: 1 } => format!("bridge, {}, single run", world.name()),
            Self::Bridge { world, members } => {
                format!("bridge, {}, {members} members", world.name())
            }
            Self::Given(given) => format!("from {}", given.name),
        }
    }
}

/// What came on the coming days; a day that is not on record is missing.
pub(super) fn perfect(record: &DailyRecord, day: NaiveDate, days: usize) -> Issue {
    let known = |lead| {
        let date = after(day, lead);
        let observed = record.day(date);
        let min = observed.min?;
        let max = observed.max.unwrap_or(min);
        Some((date, day_of(vec![Some((min, max))])))
    };
    (1..=days).filter_map(known).collect()
}

fn noisy(weather: &Weather<'_>, seed: u64, day: NaiveDate, errors: &[f64]) -> Issue {
    let channel = |number| {
        let purpose = [i64::from(day.num_days_from_ce()), number];
        let mut dice = Dice::named(seed, weather.name, &purpose);
        let mut walk = Walk::new(ERROR_PERSISTENCE);
        let drawn = errors.iter().map(|error| error * walk.step(dice.normal()));
        drawn.collect::<Vec<f64>>()
    };
    let mut issue = perfect(weather.record, day, errors.len());
    for (lead, (night, noon)) in (1..).zip(channel(0).into_iter().zip(channel(1))) {
        if let Some(found) = issue.get_mut(&after(day, lead)) {
            found.run = found.run.map(|(min, max)| {
                let min = min + CelsiusStep::new(night);
                (min, (max + CelsiusStep::new(noon)).max(min))
            });
        }
    }
    issue
}

/// A stationary first-order autoregression with variance 1.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    persistence: f64,
    at: Option<f64>,
}

impl Walk {
    pub(super) const fn new(persistence: f64) -> Self {
        Self {
            persistence,
            at: None,
        }
    }

    /// The next value from a fresh deviate of variance 1.
    pub(super) fn step(&mut self, fresh: f64) -> f64 {
        let next = self.at.map_or(fresh, |at| {
            self.persistence * at + (1.0 - self.persistence * self.persistence).sqrt() * fresh
        });
        self.at = Some(next);
        next
    }
}

/// A day from what each member has; one value alone is a single run.
fn day_of(mut members: Vec<Option<Extremes>>) -> ForecastDay {
    let run = if members.len() == 1 {
        members.pop().flatten()
    } else {
        None
    };
    ForecastDay { run, members }
}

/// The forecast night of a day as one number: the run, else the mean of the members.
pub(super) fn one_night(day: &ForecastDay) -> Option<Celsius> {
    let members: Vec<f64> = day
        .members
        .iter()
        .flatten()
        .map(|(min, _)| min.degrees())
        .collect();
    if members.is_empty() {
        return day.run.map(|(min, _)| min);
    }
    Some(Celsius::new(
        members.iter().sum::<f64>() / count(members.len()),
    ))
}

/// How many members a forecast has; one for a single run.
pub(super) fn members(day: &ForecastDay) -> usize {
    day.members.len().max(1)
}
