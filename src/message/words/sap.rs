//! Words for sap that drips, burns or poisons.

use chrono::NaiveDate;

use super::{Row, range};
use crate::almanac::Sap;
use crate::locale::{Locale, say};
use crate::rules::{SapFacts, Stand};

pub(super) fn reason(facts: &SapFacts, stand: &Stand, today: NaiveDate, locale: Locale) -> String {
    let drips = facts.drips.map(|drips| match stand {
        Stand::Clear { .. } => {
            say!(
                locale,
                "sap-drips-until",
                end = locale.date(drips.to, today)
            )
        }
        Stand::Hold { .. } | Stand::Shut { .. } | Stand::Unknown { .. } | Stand::Professional => {
            say!(locale, "sap-drips-wait")
        }
    });
    let cautions = facts.sap.iter().map(|sap| caution(*sap, locale));
    drips
        .into_iter()
        .chain(cautions)
        .collect::<Vec<_>>()
        .join("; ")
}

pub(super) fn numbers(facts: &SapFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let drips = facts.drips;
    let drips = drips.map(|drips| (say!(locale, "row-drips"), range(drips, today, locale)));
    drips.into_iter().collect()
}

/// What one kind of sap does.
pub(super) fn caution(sap: Sap, locale: Locale) -> String {
    match sap {
        Sap::Bleeds => say!(locale, "sap-bleeds"),
        Sap::Irritant => say!(locale, "sap-irritant"),
        Sap::PoisonousEaten => say!(locale, "sap-poisonous-eaten"),
        Sap::PoisonousSmoke => say!(locale, "sap-poisonous-smoke"),
    }
}
