//! How far the dates move when a parameter moves by its uncertainty.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Risks, Sums};
use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::Outlook;
use crate::units::{CelsiusStep, Chance, DegreeDays};

/// One parameter moved one way, and where the dates then lie.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sensitivity {
    /// What was moved and by how much.
    pub shift: Shift,
    /// The chance for a cut made today.
    pub chance: Chance,
    /// The first go day that is almost sure.
    pub first_go: Option<NaiveDate>,
    /// The last call.
    pub last_call: Option<NaiveDate>,
}

/// A parameter moved by its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shift {
    /// As it is.
    Nothing,
    /// The spot 1 K colder.
    SpotColder,
    /// The spot 1 K warmer.
    SpotWarmer,
    /// Damage from 1 K warmer on.
    MoreTender,
    /// Damage from 1 K colder on.
    LessTender,
    /// One and a half times as long tender.
    LongerTender,
    /// Two thirds as long tender.
    ShorterTender,
    /// Twice the tolerance.
    TwiceTheTolerance,
    /// Half the tolerance.
    HalfTheTolerance,
}

/// The damaging temperature of regrowth and the offset of a spot are known to about 1 K, the length of the tender time
/// to a factor of 1.5 (estimates; the literature on the regrowth of ornamentals is thin).
const KELVIN: f64 = 1.0;
const FACTOR: f64 = 1.5;

impl Shift {
    /// Every shift, the present values first.
    pub const ALL: [Self; 9] = [
        Self::Nothing,
        Self::SpotColder,
        Self::SpotWarmer,
        Self::MoreTender,
        Self::LessTender,
        Self::LongerTender,
        Self::ShorterTender,
        Self::TwiceTheTolerance,
        Self::HalfTheTolerance,
    ];

    fn spot(self, spot: &Spot) -> Spot {
        let by = match self {
            Self::SpotColder => -KELVIN,
            Self::SpotWarmer => KELVIN,
            Self::Nothing
            | Self::MoreTender
            | Self::LessTender
            | Self::LongerTender
            | Self::ShorterTender
            | Self::TwiceTheTolerance
            | Self::HalfTheTolerance => 0.0,
        };
        Spot {
            offset: spot.offset + CelsiusStep::new(by),
            ..spot.clone()
        }
    }

    fn tender(self, tender: &Tender) -> Tender {
        match self {
            Self::MoreTender => with_damage(tender, CelsiusStep::new(KELVIN)),
            Self::LessTender => with_damage(tender, CelsiusStep::new(-KELVIN)),
            Self::LongerTender => with_length(tender, FACTOR),
            Self::ShorterTender => with_length(tender, 1.0 / FACTOR),
            Self::Nothing
            | Self::SpotColder
            | Self::SpotWarmer
            | Self::TwiceTheTolerance
            | Self::HalfTheTolerance => tender.clone(),
        }
    }

    fn tolerance(self, tolerance: Chance) -> Chance {
        match self {
            Self::TwiceTheTolerance => Chance::of(tolerance.share() * 2.0),
            Self::HalfTheTolerance => Chance::of(tolerance.share() / 2.0),
            Self::Nothing
            | Self::SpotColder
            | Self::SpotWarmer
            | Self::MoreTender
            | Self::LessTender
            | Self::LongerTender
            | Self::ShorterTender => tolerance,
        }
    }
}

fn with_damage(tender: &Tender, by: CelsiusStep) -> Tender {
    let mut moved = tender.clone();
    if let Some(edges) = &mut moved.edges {
        edges.damage_at = edges.damage_at + by;
    }
    if let Some(growth) = &mut moved.growth {
        growth.damage_at = growth.damage_at + by;
    }
    if let Some(unhardened) = &mut moved.unhardened {
        unhardened.damage_at = unhardened.damage_at + by;
    }
    moved
}

fn with_length(tender: &Tender, factor: f64) -> Tender {
    let mut moved = tender.clone();
    if let Some(edges) = &mut moved.edges {
        edges.days = days(edges.days, factor);
    }
    if let Some(growth) = &mut moved.growth {
        growth.firm_after = DegreeDays::new(growth.firm_after.sum() * factor);
        growth.days_min = days(growth.days_min, factor);
        growth.days_max = days(growth.days_max, factor);
    }
    moved
}

#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "some days times a small factor fit"
)]
fn days(days: u32, factor: f64) -> u32 {
    (f64::from(days) * factor).round() as u32
}

/// The dates with each parameter moved, the present values first.
pub fn sensitivity(
    outlook: &Outlook,
    tender: &Tender,
    spot: &Spot,
    tolerance: Chance,
) -> Vec<Sensitivity> {
    let shifted = Shift::ALL.map(|shift| (shift.tender(tender), shift.spot(spot)));
    let sums = Sums::default();
    let risks = Risks::of(outlook, &sums);
    risks.prepare(shifted.iter().map(|(tender, spot)| (tender, spot)));
    let moved = |(shift, (tender, spot)): (Shift, &(Tender, Spot))| {
        let risk = risks.risk(tender, spot, shift.tolerance(tolerance));
        Sensitivity {
            shift,
            chance: risk.today(),
            first_go: risk.first_go.map(|go| go.late),
            last_call: risk.last_call,
        }
    };
    Shift::ALL.into_iter().zip(&shifted).map(moved).collect()
}
