//! Sap that drips, burns or poisons: cautions, and a wait only where the owner chose one.

use schemars::JsonSchema;
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
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

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, is_clear};
    use super::*;
    use crate::almanac::Habit;

    #[test]
    fn a_maple_drips_until_its_leaves_are_out_and_only_the_owner_makes_that_a_wait() {
        let mut maple = Scene::of(
            "Acer saccharum",
            Habit::Tree,
            CutKind::ThinningCut,
            "2027-02-10",
        );
        maple.kind.sap = vec![Sap::Bleeds];
        assert!(maple.find(find).is_some() && is_clear(&maple.stand(find)));
        maple.choices.bleeders = Bleeders::AfterFullLeaf;
        assert!(!is_clear(&maple.stand(find)));
        maple.cut = CutKind::StormRepair;
        assert!(is_clear(&maple.stand(find)));
        assert_eq!(maple.on("2027-06-10").find(find), None);
        assert_eq!(maple.on("2027-11-10").find(find), None);
    }

    #[test]
    fn sap_that_hurts_is_told_with_every_cut() {
        let mut spurge = Scene::of(
            "Euphorbia",
            Habit::Perennial,
            CutKind::Deadhead,
            "2027-06-10",
        );
        assert_eq!(spurge.find(find), None);
        spurge.kind.sap = vec![Sap::Irritant];
        assert!(is_clear(&spurge.find(find).unwrap().stand));
    }
}
