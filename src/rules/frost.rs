//! Frost while the cut is tender.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, Stand};
use crate::almanac::Tender;
use crate::outlook::Bound;
use crate::risk::{DateRange, Risk, Spread};
use crate::units::{Celsius, CelsiusStep, Chance};

/// A hold that ends within so many days is a wait; one that lasts longer is the season's end (estimate).
const WAIT_DAYS: i64 = 120;

/// The numbers behind a frost finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FrostFacts {
    /// The chance of damage for a cut made today.
    pub chance: Chance,
    /// Whether that is the whole chance.
    pub bound: Bound,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// The warmest temperature that does damage at some time of the tender period.
    pub damage_at: Celsius,
    /// The tender class of the cut.
    pub tender_class: String,
    /// What the spot adds to every night.
    pub spot_offset: CelsiusStep,
    /// When a cut made today would be firm.
    pub firm_by: Option<Spread>,
    /// The night that most often is the first to do damage, and how often.
    pub first_hit: Option<(NaiveDate, Chance)>,
    /// From the likely to the almost sure first go day.
    pub first_go: Option<DateRange>,
    /// The last day on which to cut.
    pub last_call: Option<NaiveDate>,
    /// The number of futures on which chance and dates rest.
    pub futures: usize,
}

/// Holds a cut while frost is more likely to catch it than the keeper accepts.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let tender = case.cut.cut.tender.as_ref()?;
    let risk = case.risk?;
    Some(Finding {
        stand: stand(risk, case.today),
        facts: Facts::FrostWhileTender(facts(case, tender, risk)),
        source: tender.source.clone(),
    })
}

fn stand(risk: &Risk, today: NaiveDate) -> Stand {
    let within = risk.today().share() <= risk.tolerance.share();
    match (risk.bound, risk.first_go) {
        // A bound within the tolerance releases nothing, one above it is reason enough to wait.
        (Bound::AtLeast, _) if within || risk.curve.is_empty() => Stand::Unknown {
            missing: risk.basis.missing.clone(),
        },
        (Bound::AtLeast, _) => Stand::Hold { opens: None },
        (Bound::Whole, _) if within => Stand::Clear {
            until: risk.last_call,
        },
        (Bound::Whole, Some(range)) if (range.to - today).num_days() <= WAIT_DAYS => {
            Stand::Hold { opens: Some(range) }
        }
        (Bound::Whole, opens) => Stand::Shut { opens },
    }
}

fn facts(case: &Case<'_>, tender: &Tender, risk: &Risk) -> FrostFacts {
    let edges = tender.edges.map(|edges| edges.damage_at);
    let growth = tender.growth.map(|growth| growth.damage_at);
    let damage_at = edges
        .into_iter()
        .chain(growth)
        .reduce(Celsius::max)
        .unwrap_or(Celsius::new(0.0));
    FrostFacts {
        chance: risk.today(),
        bound: risk.bound,
        tolerance: risk.tolerance,
        damage_at,
        tender_class: tender.class.clone(),
        spot_offset: case.cut.spot.offset,
        firm_by: risk.firm_by,
        first_hit: risk.first_hit,
        first_go: risk.first_go,
        last_call: risk.last_call,
        futures: risk.basis.futures,
    }
}
