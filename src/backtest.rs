//! The chance held against past years: what would have been said on each day, and what came.
//!
//! In: a daily record, a question, forecasts from a file or made up with stated errors. Out: a row for each decision
//! day, scores and tables. Does not use anything that was not known on the day.

mod baseline;
mod calendar;
mod decision;
mod figures;
mod keeper;
mod last_call;
mod letters;
mod nights;
mod page;
mod plan;
mod question;
mod release;
mod row;
mod series;
mod table;
mod teacher;
mod today;
mod world;

use thiserror::Error;

pub use baseline::Teller;
pub use calendar::Season;
pub use decision::{Decisions, Stance, TOLERANCES, stances};
pub use figures::{Bin, Figure, Figures, Followed, TellerScore, figures, mean_brier};
pub use keeper::{By, Take};
pub use letters::Letters;
pub use nights::{NightCheck, Nights};
pub use page::page;
pub use plan::Plan;
pub use question::Question;
pub use row::{CurveCheck, FirstGo, Row};
pub use series::{Series, run};
pub use table::rows_csv;
pub use teacher::Prior;
pub use world::{
    BRIDGE_DAYS, BridgeWorld, Given, GivenError, Issue, Source, USUAL_ERRORS, Weather,
};

/// A record that cannot be tested.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BacktestError {
    /// No night of it is cold enough for there to be a season.
    #[error("no night of that season is at or below {limit:.1} °C in any year")]
    NoFreeze {
        /// The limit in °C.
        limit: f64,
    },
    /// A cut is never safe there, or never in danger.
    #[error(
        "the climate has no last call for that cut: frost after it is never unlikely, or never likely, in any season"
    )]
    NoLastCall,
    /// There are too few years before any season of it.
    #[error("no season has {needed} usable years before it and an answer on record")]
    TooShort {
        /// How many years are asked for.
        needed: usize,
    },
}
