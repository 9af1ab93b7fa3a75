//! Stage 3: the chance that frost falls into a cut's tender period, for a cut on each of the coming days.
//!
//! In: the outlook, a tender period, the spot's offset, a tolerance. Out: the [`Risk`] with its curve, the first go
//! day and the last call. Does not know other reasons to hold a cut.

mod decision;
mod period;
mod sum;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::{Basis, Bound, Outlook};
use crate::units::Chance;

pub use decision::{LAST_CALL_MARGIN, LIKELY_MARGIN, STAYS_DAYS};

/// The chance of frost while a cut is tender, by cutting day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Risk {
    /// What it rests on.
    pub basis: Basis,
    /// Whether the chances are whole or only what the forecast nights alone amount to.
    pub bound: Bound,
    /// The chance for a cut made today plus as many days as the index says.
    pub curve: Vec<Chance>,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// From the likely to the almost sure first day on which the cut is go; today when it is go now.
    pub first_go: Option<DateRange>,
    /// The last day of that open time on which to cut; none when it does not end within a year.
    pub last_call: Option<NaiveDate>,
    /// When a cut made today would be firm, in one, five and nine of ten futures; none when nothing is tender.
    pub firm_by: Option<Spread>,
    /// The night that most often is the first to damage a cut made today, and its share of all futures.
    pub first_hit: Option<(NaiveDate, Chance)>,
}

/// From a likely first to an almost sure last day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct DateRange {
    /// The likely day.
    pub from: NaiveDate,
    /// The almost sure day.
    pub to: NaiveDate,
}

/// A date that differs from future to future.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spread {
    /// One future in ten is earlier.
    pub early: NaiveDate,
    /// Half of the futures are earlier.
    pub middle: NaiveDate,
    /// Nine futures in ten are earlier.
    pub late: NaiveDate,
}

impl Risk {
    /// The risk of a cut with that tender period in that spot.
    pub fn of(outlook: &Outlook, tender: &Tender, spot: &Spot, tolerance: Chance) -> Self {
        let sum = sum::FrostSum::of(outlook, tender, spot);
        let plan = decision::decide(&outlook.basis, &sum.curve, tolerance);
        Self {
            basis: outlook.basis.clone(),
            bound: outlook.bound,
            curve: sum.curve,
            tolerance,
            first_go: plan.first_go,
            last_call: plan.last_call,
            firm_by: sum.firm_by,
            first_hit: sum.first_hit,
        }
    }

    /// The chance for a cut made today; certain damage when nothing is known.
    pub fn today(&self) -> Chance {
        self.curve.first().copied().unwrap_or(Chance::of(1.0))
    }
}
