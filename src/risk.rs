//! Stage 3: the chance that frost falls into a cut's tender period, for a cut on each of the coming days.
//!
//! In: the outlook, a tender period, the spot's offset, a tolerance. Out: the [`Risk`] with its curve, the first go
//! day and the last call. Does not know other reasons to hold a cut.

mod after;
mod decision;
mod doubt;
mod first_hits;
mod minima;
mod period;
mod release;
mod sensitivity;
mod sum;
mod sums;

use chrono::{DateTime, NaiveDate, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::{Basis, Bound, Outlook};
use crate::units::{Celsius, Chance, DegreeDays};

pub use after::{AfterCut, NightRisk, Part, PastFrost};
pub use decision::{EARLY_MARGIN, LAST_CALL_MARGIN, LIKELY_MARGIN, STAYS_DAYS};
pub use first_hits::FirstHits;
pub use release::{Look, Release, WITHDRAWN_ABOVE};
pub use sensitivity::{Sensitivity, Shift, sensitivity};
pub use sums::Sums;

/// The chance of frost while a cut is tender, by cutting day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Risk {
    /// What it rests on.
    pub basis: Basis,
    /// Whether the chances are whole or only what the forecast nights alone amount to.
    pub bound: Bound,
    /// The chance for a cut made today plus as many days as the index says.
    pub curve: Vec<Chance>,
    /// How far today's chance may be off because the past years are a sample, as a standard error.
    pub today_error: Option<f64>,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// The first day on which the cut is go: in the earliest tenth, in half and in nearly all of the seasons like this
    /// one; today when the chance is within the tolerance now.
    pub first_go: Option<Spread>,
    /// The times of the coming year in which the chance is within the tolerance.
    pub open: Vec<DateRange>,
    /// The last day of that open time on which to cut; none when it does not end within a year.
    pub last_call: Option<NaiveDate>,
    /// When a cut made today would be firm, in one, five and nine of ten futures; none when nothing is tender.
    pub firm_by: Option<Spread>,
    /// The night that most often is the first to damage a cut made today, and its share of all futures.
    pub first_hit: Option<(NaiveDate, Chance)>,
    /// The chance of the most dangerous of the next four nights for a cut made today.
    pub near_night: Chance,
    /// The first of the next two nights that the forecast itself has as damaging to a cut made today.
    pub frost_at_hand: Option<(NaiveDate, Celsius)>,
}

/// From a likely first to an almost sure last day.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub struct DateRange {
    /// The likely day.
    pub from: NaiveDate,
    /// The almost sure day.
    pub to: NaiveDate,
}

/// A date that differs from future to future.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Spread {
    /// One future in ten is earlier.
    pub early: NaiveDate,
    /// Half of the futures are earlier.
    pub middle: NaiveDate,
    /// Nine futures in ten are earlier.
    pub late: NaiveDate,
}

/// How many nights ahead a forecast frost rules over every chance.
const AT_HAND_NIGHTS: usize = 2;

/// The risks of one outlook: what several cuts have in common is worked out once.
#[derive(Debug, Clone, Copy)]
pub struct Risks<'a> {
    outlook: &'a Outlook,
    basis: &'a Basis,
    sums: &'a Sums,
}

impl<'a> Risks<'a> {
    /// The risks of an outlook, with the sums over it that are known.
    pub const fn of(outlook: &'a Outlook, sums: &'a Sums) -> Self {
        Self {
            outlook,
            basis: &outlook.basis,
            sums,
        }
    }

    /// The same for somebody for whom the outlook rests on something else.
    #[must_use]
    pub const fn resting_on(self, basis: &'a Basis) -> Self {
        Self { basis, ..self }
    }

    /// The risk of a cut with that tender period in that spot.
    pub fn risk(&self, tender: &Tender, spot: &Spot, tolerance: Chance) -> Risk {
        let (outlook, basis) = (self.outlook, self.basis);
        let sum = self.sums.of(outlook, tender, spot);
        let plan = decision::decide(basis, &sum.curve, tolerance);
        Risk {
            basis: basis.clone(),
            bound: outlook.bound,
            curve: sum.curve.clone(),
            tolerance,
            first_go: plan.first_go,
            open: plan.open,
            last_call: plan.last_call,
            firm_by: sum.firm_by,
            first_hit: sum.first_hit,
            near_night: sum.near_night,
            today_error: sum.today_error,
            frost_at_hand: frost_at_hand(outlook, tender, spot),
        }
    }

    /// Works out the sums of several cuts in one pass over the futures, so that each risk is then told at once.
    pub fn prepare<'t>(&self, cuts: impl IntoIterator<Item = (&'t Tender, &'t Spot)>) {
        self.sums.prepare(self.outlook, cuts);
    }
}

impl Risk {
    /// The risk of a single cut.
    pub fn of(outlook: &Outlook, tender: &Tender, spot: &Spot, tolerance: Chance) -> Self {
        Risks::of(outlook, &Sums::default()).risk(tender, spot, tolerance)
    }

    /// The chance for a cut made today; certain damage when nothing is known.
    pub fn today(&self) -> Chance {
        self.curve.first().copied().unwrap_or(Chance::of(1.0))
    }

    /// Between what today's chance may lie, in nine of ten samples of past years.
    pub fn today_range(&self) -> Option<(Chance, Chance)> {
        // 1.645: the standard normal quantile of 95 % (Abramowitz & Stegun 1964, table 26.5).
        let reach = 1.645 * self.today_error?;
        let chance = self.today().share();
        Some((Chance::of(chance - reach), Chance::of(chance + reach)))
    }

    /// The least risky day from today to `until` and its chance.
    pub fn least(&self, until: NaiveDate) -> Option<(NaiveDate, Chance)> {
        let days = usize::try_from((until - self.basis.today).num_days()).ok()?;
        decision::least(&self.curve, days).map(|(day, chance)| (self.basis.date(day), chance))
    }

    /// What the tolerance alone says of waiting until `until`: the day on which the loss to be feared is least, when
    /// a window that was missed costs the tolerance's share of a plant that was lost.
    ///
    /// The expected cost of a day is its chance of loss, and of waiting past the window the tolerance (cost-loss
    /// model: Murphy, Mon. Wea. Rev. 105, 1977; Richardson, Q. J. R. Meteorol. Soc. 126, 2000). So it is none when
    /// every day within the window costs more than to miss it.
    pub fn best_day(&self, until: NaiveDate) -> Option<(NaiveDate, Chance)> {
        self.least(until)
            .filter(|(_, chance)| chance.share() <= self.tolerance.share())
    }

    /// What a look at this risk finds, for the damping of releases.
    pub fn look(&self, at: DateTime<Utc>) -> Look {
        Look {
            at,
            chance: self.today(),
            tomorrow: self.curve.get(1).copied().unwrap_or(self.today()),
            tolerance: self.tolerance,
            frost_at_hand: self.frost_at_hand.is_some(),
            near_night: self.near_night,
            go_in_days: self
                .first_go
                .map(|go| (go.late - self.basis.today).num_days()),
        }
    }
}

/// The first of the next nights in which the forecast's own minimum damages a cut made today.
///
/// Only what is tender from the first night on counts: edges, and growth that starts at once.
fn frost_at_hand(outlook: &Outlook, tender: &Tender, spot: &Spot) -> Option<(NaiveDate, Celsius)> {
    let edges = tender
        .edges
        .filter(|edges| edges.days > 0)
        .map(|edges| edges.damage_at);
    let growth = tender
        .growth
        .filter(|growth| growth.starts_after <= DegreeDays::ZERO)
        .map(|growth| growth.damage_at);
    let damage_at = edges.into_iter().chain(growth).reduce(Celsius::max)?;
    let nights = outlook
        .coming_at_leaf()
        .map(|night| night + spot.offset)
        .enumerate()
        .take(AT_HAND_NIGHTS);
    let mut frosts = nights.filter(|(_, night)| *night <= damage_at);
    frosts
        .next()
        .map(|(index, night)| (outlook.basis.date(index + 1), night))
}
