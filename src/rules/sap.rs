//! Sap that drips, burns or poisons: cautions, and a wait only where the owner chose one.

use serde::{Deserialize, Serialize};

use super::season::span;
use super::{Case, Facts, Finding, Stand, calendar};
use crate::almanac::{Anchor, CutKind, Event, Sap};
use crate::garden::Bleeders;
use crate::risk::DateRange;

/// Days before mid-winter from which wounds may drip (estimate).
const DRIP_FROM: i32 = -15;

/// Days from bud break until the leaves are full, where the kind's own date is not known (estimate).
const LEAVES_OUT: i32 = 35;

const SOURCE: &str = "University of Minnesota Extension, about 2017 (after full leaf); University of Washington, Miller \
     Library, Garden tip 15 (after leaf fall); Clemson Extension, 2015 (harmless)";
const POISON: &str = "Medscape, on euphorbia sap in eyes, no date; from memory: lists of poisonous plants of the American \
     Society for the Prevention of Cruelty to Animals";

/// The numbers behind a finding on sap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SapFacts {
    /// From when to when its wounds drip, if they do so now.
    pub drips: Option<DateRange>,
    /// What else its sap does.
    pub sap: Vec<Sap>,
}

/// Says what the sap of a plant does to the cut and to whoever makes it.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let kind = &case.cut.kind;
    let wounds = !matches!(case.cut.cut.cut, CutKind::Deadhead | CutKind::Pinch);
    let drips = (wounds && kind.sap.contains(&Sap::Bleeds))
        .then(|| dripping(case))
        .flatten();
    let sap: Vec<Sap> = kind
        .sap
        .iter()
        .copied()
        .filter(|sap| *sap != Sap::Bleeds)
        .collect();
    if drips.is_none() && sap.is_empty() {
        return None;
    }
    let stand = match (drips, case.choices.bleeders) {
        // Broken wood does not wait for a drip.
        (Some(drips), Bleeders::AfterFullLeaf) if case.cut.cut.cut != CutKind::StormRepair => {
            calendar::wait_out(case.today, drips)
        }
        (Some(_) | None, Bleeders::AfterFullLeaf | Bleeders::AnyTime) => {
            Stand::Clear { until: None }
        }
    };
    let source = match (drips.is_some(), sap.is_empty()) {
        (true, true) => SOURCE.to_owned(),
        (true, false) => format!("{SOURCE}; {POISON}"),
        (false, _) => POISON.to_owned(),
    };
    Some(Finding {
        stand,
        facts: Facts::Sap(SapFacts { drips, sap }),
        source,
    })
}

/// From mid-winter until the leaves are out, if that is now.
fn dripping(case: &Case<'_>) -> Option<DateRange> {
    let from = anchor(Event::MidWinter, DRIP_FROM);
    let to = if case.cut.kind.full_leaf.is_some() {
        anchor(Event::FullLeaf, 0)
    } else {
        anchor(Event::BudBreak, LEAVES_OUT)
    };
    span(case, from, to).filter(|drips| drips.from <= case.today)
}

const fn anchor(event: Event, days: i32) -> Anchor {
    Anchor { event, days }
}
