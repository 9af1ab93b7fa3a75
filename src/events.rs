//! Stage 3, beside the risk: when the events of a plant's year come, as far as the weather tells.
//!
//! In: the outlook, the climate, the days of late, a kind with its heat sums and zone months, what the keeper saw.
//! Out: the [`Events`] of a planting: of each event and season the dates of 10, 50 and 90 % of the futures and what they
//! rest on. Does not know cuts and does not say whether anything may be done.
//!
//! A season is a year from 1 January on, from 1 July on in the south; it bears the year of its first day. Each event
//! takes the first of these that is to be had:
//!
//! | basis | when |
//! |---|---|
//! | seen | the keeper reported it |
//! | heat sum | a sum is published for the kind and the place is like those where sums are counted |
//! | nights and days | freezes and the warm spell: read off the days themselves |
//! | zone months, moved with an event of the kind that is seen or has a sum | there is one within [`REACH_DAYS`] |
//! | zone months, moved by the heat of the season | spring events |
//! | zone months | all others |

mod cold;
mod heat;
mod heat_year;
mod months;
mod place;
mod planting;
mod season;
mod tally;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::almanac::Event;
use crate::units::{Celsius, DegreeDays};

pub use heat::SWING_MIN;
pub use heat_year::{HeatBand, HeatYear, STEP_DAYS};
pub use months::{HEAT_MOVES_MAX, REACH_DAYS};
pub use place::{Ground, Seasons};

/// The date of an event, which differs from future to future.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Predicted {
    /// One future in ten is as early.
    pub early: NaiveDate,
    /// Half of the futures are as early.
    pub middle: NaiveDate,
    /// Nine futures in ten are as early.
    pub late: NaiveDate,
    /// What it rests on.
    pub basis: EventBasis,
}

/// What the date of an event rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "by", rename_all = "kebab-case")]
pub enum EventBasis {
    /// A day of the calendar, the same everywhere.
    Calendar,
    /// The keeper saw it.
    Seen,
    /// A published heat sum, counted from the first day of the season.
    HeatSum {
        /// The sum.
        sum: DegreeDays,
        /// The base above which it is counted.
        base: Celsius,
        /// The days it was counted over.
        counted: Counted,
        /// Where the sum comes from.
        source: String,
    },
    /// The lowest or highest temperatures of the days.
    Days {
        /// The days it was read off.
        counted: Counted,
    },
    /// The months of the almanac, moved to the zone and then by the weather.
    ZoneMonths {
        /// Days by which the weather moves the middle date.
        moved_days: i64,
        /// What moves it.
        moved_by: MovedBy,
    },
    /// In no future does it freeze: the season opens and closes as if it never did.
    NoFreeze,
}

/// What moves zone months.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum MovedBy {
    /// Nothing.
    Nothing,
    /// The heat of the season against that of past years.
    Heat {
        /// The days it was counted over.
        counted: Counted,
    },
    /// Another event of the kind that is seen or has a heat sum.
    Event(Event),
}

/// The days from the first day of a season to yesterday.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Counted {
    /// How many of them have come; zero in a season to come.
    pub passed: usize,
    /// How many of these are measured; past years stand in for the others, each in some of the futures.
    pub measured: usize,
}

/// The events of one planting.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Events {
    /// Event, year of the season, date.
    dates: Vec<(Event, i32, Predicted)>,
}

impl Events {
    /// The date of an event in a season; none when the kind or the place has no such event, or the season is too far off.
    pub fn in_season(&self, event: Event, year: i32) -> Option<&Predicted> {
        let is_it = |(of, in_year, _): &&(Event, i32, Predicted)| *of == event && *in_year == year;
        self.dates.iter().find(is_it).map(|(_, _, date)| date)
    }

    /// The years of the seasons, the first one first.
    pub fn years(&self) -> impl Iterator<Item = i32> + use<> {
        let years = || self.dates.iter().map(|(_, year, _)| *year);
        let (first, last) = (years().min().unwrap_or(0), years().max().unwrap_or(-1));
        first..=last
    }
}

impl Predicted {
    /// A date that is sure.
    fn on(date: NaiveDate, basis: EventBasis) -> Self {
        Self {
            early: date,
            middle: date,
            late: date,
            basis,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_that_was_stored_reads_back() {
        let counted = Counted {
            passed: 82,
            measured: 80,
        };
        let moved = |moved_by| EventBasis::ZoneMonths {
            moved_days: -3,
            moved_by,
        };
        for basis in [
            EventBasis::Calendar,
            EventBasis::Days { counted },
            moved(MovedBy::Nothing),
            moved(MovedBy::Heat { counted }),
            moved(MovedBy::Event(Event::BloomBegin)),
        ] {
            let date = Predicted::on(NaiveDate::from_ymd_opt(2027, 4, 3).unwrap(), basis);
            let stored = serde_json::to_string(&date).unwrap();
            assert_eq!(serde_json::from_str::<Predicted>(&stored).unwrap(), date);
        }
    }
}
