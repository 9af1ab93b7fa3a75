//! Words for sap that drips, burns or poisons.

use chrono::NaiveDate;

use super::{date, range};
use crate::almanac::Sap;
use crate::rules::{SapFacts, Stand};

pub(super) fn reason(facts: &SapFacts, stand: &Stand, today: NaiveDate) -> String {
    let drips = facts.drips.map(|drips| match stand {
        Stand::Clear { .. } => format!(
            "its cuts drip until about {}, which looks bad and does no harm; sources differ on waiting for full leaf or \
             for leaf fall",
            date(drips.to, today)
        ),
        Stand::Hold { .. } | Stand::Shut { .. } | Stand::Unknown { .. } | Stand::Professional => {
            "its cuts drip now, and you chose to wait for full leaf".to_owned()
        }
    });
    let cautions = facts.sap.iter().map(|sap| caution(*sap).to_owned());
    drips
        .into_iter()
        .chain(cautions)
        .collect::<Vec<_>>()
        .join("; ")
}

pub(super) fn numbers(facts: &SapFacts, today: NaiveDate) -> Vec<(&'static str, String)> {
    let drips = facts.drips.map(|drips| ("drips", range(drips, today)));
    drips.into_iter().collect()
}

/// What one kind of sap does.
pub(super) const fn caution(sap: Sap) -> &'static str {
    match sap {
        Sap::Bleeds => "its cuts drip in late winter",
        Sap::Irritant => {
            "its sap hurts skin and eyes: gloves, long sleeves, eye cover, and wash with cold water and soap"
        }
        Sap::PoisonousEaten => {
            "it is poisonous when eaten: gather up every clipping, away from children, pets and livestock"
        }
        Sap::PoisonousSmoke => "its smoke is poisonous: never burn the clippings",
    }
}
