//! Work that is a licensed arborist's: height, weight, thick branches, lines, saws overhead, wood that may fall.

use chrono::{Months, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, Habit};
use crate::garden::{Mark, PlannedCut, Planting};
use crate::units::{Centimetres, Kilograms, Metres};

/// Taller trees are a professional's: 20 ft (Tree Care Industry Association, Storm damage tips, 2012).
const HEIGHT_MAX: Metres = Metres(6.096);

/// Thicker branches are a professional's: 4 in (from memory).
const BRANCH_MAX: Centimetres = Centimetres(10.16);

/// Unqualified people and all that they hold stay as far from lines: 10 ft up to 50 kV (US OSHA, 29 CFR 1910.333).
const LINES_MIN: Metres = Metres(3.048);

/// No one lifts or catches more: 51 lb, the load constant of the revised NIOSH lifting equation (Waters, Putz-Anderson &
/// Garg, 1994; from memory). Taken as the weight above which a branch is lowered by ropes.
const LOAD_MAX: Kilograms = Kilograms(23.0);

/// A standing dead trunk is looked at so often (common practice, no source).
const CHECKED_EVERY: Months = Months::new(12);

/// How the name of a check ends in the journal.
const CHECK: &str = "-check";

const SOURCE: &str = "Tree Care Industry Association, Storm damage tips, 2012 (over 20 ft, ladders); US OSHA, 29 CFR \
     1910.333 (10 ft from lines); International Society of Arboriculture, Post-storm tree first aid, 2007 (ladder or \
     overhead saw); from memory: 4 in branches, NIOSH lifting equation, 1994";
const TRUNK: &str = "common practice, no source";

/// The numbers behind a finding on whose work it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ProfessionalFacts {
    /// What makes it a professional's work; empty where nothing does and the limits are only named.
    pub dangers: Vec<Danger>,
    /// Whether the height is known.
    pub height: Option<Metres>,
    /// When a standing dead trunk was last looked at, as far as it was told.
    pub checked: Option<NaiveDate>,
    /// When the next look is due.
    pub check_due: Option<NaiveDate>,
}

/// What makes a cut a professional's work.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Danger {
    /// It is too tall.
    Tall {
        /// How tall.
        height: Metres,
    },
    /// A branch is too thick.
    Thick {
        /// How thick.
        branch: Centimetres,
    },
    /// A branch is too heavy.
    Heavy {
        /// How heavy.
        branch: Kilograms,
    },
    /// Power lines are too near.
    Lines {
        /// How near.
        distance: Metres,
    },
    /// A dead or hanging branch is overhead and nobody told its weight.
    Overhead,
    /// A saw overhead or on a ladder.
    SawOverhead,
    /// It is dead.
    Dead,
    /// A dead trunk stands.
    StandingDeadTrunk,
    /// It leans.
    Leaning,
    /// It is cracked.
    Cracked,
    /// Something or somebody is below it.
    OverTarget,
}

/// Hands a dangerous cut to a professional, and names the limits for every other cut that may come near them.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let kind = &case.cut.kind;
    if matches!(kind.habit, Habit::Perennial | Habit::Grass) && case.planting.near_lines.is_none() {
        return None;
    }
    let dangers = dangers(case.cut);
    if dangers.is_empty() && !is_near_limits(case) {
        return None;
    }
    let stand = if dangers.is_empty() {
        Stand::Clear { until: None }
    } else {
        Stand::Professional
    };
    let is_trunk = case.planting.is(Mark::StandingDeadTrunk);
    let checked = is_trunk.then(|| last_check(case)).flatten();
    let due = |last: NaiveDate| last.checked_add_months(CHECKED_EVERY);
    let source = if is_trunk {
        format!("{SOURCE}; yearly check: {TRUNK}")
    } else {
        SOURCE.to_owned()
    };
    Some(Finding {
        stand,
        facts: Facts::Professional(ProfessionalFacts {
            dangers,
            height: case.planting.height,
            checked,
            check_due: is_trunk.then(|| checked.and_then(due).unwrap_or(case.today)),
        }),
        source,
    })
}

/// Whether a cut that is no danger as far as is known may turn into one: wood of a tree, limbs, a
/// ladder, a chain saw.
fn is_near_limits(case: &Case<'_>) -> bool {
    let is_tree = matches!(case.cut.kind.habit, Habit::Tree | Habit::Conifer);
    let marked = [Mark::OffLadder, Mark::ChainSaw]
        .into_iter()
        .any(|mark| case.planting.is(mark));
    let is_limb_up = case.cut.cut.cut == CutKind::LimbUp;
    (is_tree && wants_a_saw(case.cut)) || is_limb_up || marked
}

/// What makes a cut a professional's work, by what the keeper told of the planting; nothing where it is not.
pub fn dangers(cut: &PlannedCut) -> Vec<Danger> {
    let planting = &*cut.facts;
    let mut found = Vec::new();
    if let Some(distance) = planting.near_lines.filter(|near| *near < LINES_MIN) {
        found.push(Danger::Lines { distance });
    }
    if wants_a_saw(cut) || cut.cut_kind() == CutKind::Shear {
        let height = planting.height.filter(|height| *height > HEIGHT_MAX);
        // The lowest limbs of a tall tree may be in reach from the ground.
        if cut.cut_kind() != CutKind::LimbUp {
            found.extend(height.map(|height| Danger::Tall { height }));
        }
        let thick = planting
            .thickest_branch
            .filter(|branch| *branch > BRANCH_MAX);
        found.extend(thick.map(|branch| Danger::Thick { branch }));
        found.extend(heavy_branch(planting));
        let is_saw_up = planting.is(Mark::ChainSaw)
            && (planting.is(Mark::OffLadder) || planting.is(Mark::BranchOverhead));
        let is_ladder_in_tree = planting.is(Mark::OffLadder) && cut.kind.habit == Habit::Tree;
        if is_saw_up || is_ladder_in_tree {
            found.push(Danger::SawOverhead);
        }
    }
    // What may fall is dangerous whatever the cut.
    let marked = [
        (Mark::Dead, Danger::Dead),
        (Mark::StandingDeadTrunk, Danger::StandingDeadTrunk),
        (Mark::Leaning, Danger::Leaning),
        (Mark::Cracked, Danger::Cracked),
        (Mark::OverTarget, Danger::OverTarget),
    ];
    let is_shrub = !matches!(cut.kind.habit, Habit::Tree | Habit::Conifer);
    let harmless = |mark: Mark| mark == Mark::Dead && is_shrub;
    let marked = marked
        .into_iter()
        .filter(|(mark, _)| planting.is(*mark) && !harmless(*mark));
    found.extend(marked.map(|(_, danger)| danger));
    found
}

/// A branch that nobody holds with one hand; overhead, one of unknown weight counts as such.
fn heavy_branch(planting: &Planting) -> Option<Danger> {
    match planting.heaviest_branch {
        Some(branch) => (branch > LOAD_MAX).then_some(Danger::Heavy { branch }),
        None => planting
            .is(Mark::BranchOverhead)
            .then_some(Danger::Overhead),
    }
}

/// Cuts that take wood; the others are made by hand from the ground.
fn wants_a_saw(cut: &PlannedCut) -> bool {
    match cut.cut_kind() {
        CutKind::ThinningCut
        | CutKind::Renewal
        | CutKind::CutBack
        | CutKind::LimbUp
        | CutKind::StormRepair => true,
        CutKind::Shear | CutKind::Deadhead | CutKind::Pinch => false,
    }
}

/// When somebody last told of a check of the trunk, as a deed whose name ends so.
fn last_check(case: &Case<'_>) -> Option<NaiveDate> {
    let checks = case.deeds.iter().filter(|deed| deed.cut.ends_with(CHECK));
    checks
        .map(|deed| deed.on)
        .filter(|on| *on <= case.today)
        .max()
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, day};
    use super::*;
    use crate::garden::Deed;

    fn tree(cut: CutKind) -> Scene {
        Scene::of("Acer rubrum", Habit::Tree, cut, "2027-02-10")
    }

    fn is_pro(scene: &Scene) -> bool {
        scene.stand(find) == Stand::Professional
    }

    #[test]
    fn the_limits_themselves_are_still_the_keepers() {
        let mut scene = tree(CutKind::ThinningCut);
        scene.planting.height = Some("20 ft".parse().unwrap());
        scene.planting.thickest_branch = Some("4 in".parse().unwrap());
        scene.planting.near_lines = Some("10 ft".parse().unwrap());
        assert!(!is_pro(&scene));
        // The limits are named even so.
        assert!(scene.find(find).is_some());
        scene.planting.height = Some("21 ft".parse().unwrap());
        assert!(is_pro(&scene));
        scene.cut = CutKind::LimbUp;
        assert!(!is_pro(&scene));
        scene.planting.thickest_branch = Some("5 in".parse().unwrap());
        assert!(is_pro(&scene));
    }

    #[test]
    fn near_lines_no_cut_at_all_is_the_keepers() {
        let mut scene = tree(CutKind::Deadhead);
        scene.planting.near_lines = Some("3.04 m".parse().unwrap());
        assert!(is_pro(&scene));
        scene.planting.near_lines = Some("3.05 m".parse().unwrap());
        assert_eq!(scene.find(find), None);
    }

    #[test]
    fn a_dead_branch_of_90_kg_overhead_is_a_professionals() {
        let mut scene = tree(CutKind::StormRepair);
        scene.planting.heaviest_branch = Some("90 kg".parse().unwrap());
        assert!(is_pro(&scene));
        scene.planting.heaviest_branch = Some("10 kg".parse().unwrap());
        assert!(!is_pro(scene.mark(Mark::BranchOverhead)));
        // Overhead and of unknown weight.
        scene.planting.heaviest_branch = None;
        assert!(is_pro(&scene));
    }

    #[test]
    fn saws_overhead_and_wood_that_may_fall_are_a_professionals() {
        for marks in [
            vec![Mark::ChainSaw, Mark::OffLadder],
            vec![Mark::OffLadder],
            vec![Mark::Leaning],
            vec![Mark::Cracked],
            vec![Mark::OverTarget],
            vec![Mark::Dead],
        ] {
            let mut scene = tree(CutKind::ThinningCut);
            for mark in &marks {
                scene.mark(*mark);
            }
            assert!(is_pro(&scene), "{marks:?}");
        }
        let mut scene = tree(CutKind::ThinningCut);
        assert!(!is_pro(scene.mark(Mark::ChainSaw)));
        let mut shrub = Scene::of(
            "Weigela",
            Habit::DeciduousShrub,
            CutKind::Renewal,
            "2027-02-10",
        );
        assert_eq!(shrub.mark(Mark::Dead).find(find), None);
    }

    #[test]
    fn a_standing_dead_trunk_is_checked_every_year() {
        let mut scene = tree(CutKind::ThinningCut);
        scene.mark(Mark::StandingDeadTrunk);
        let due = |scene: &Scene| {
            let Facts::Professional(facts) = scene.find(find).unwrap().facts else {
                panic!("another rule's facts");
            };
            facts.check_due
        };
        assert!(is_pro(&scene));
        assert_eq!(due(&scene), Some(day("2027-02-10")));
        scene.deeds = vec![Deed {
            cut: "dead-beech-check".to_owned(),
            planting: "dead beech".to_owned(),
            on: day("2026-06-01"),
            share: None,
            note: None,
        }];
        assert_eq!(due(&scene), Some(day("2027-06-01")));
    }
}
