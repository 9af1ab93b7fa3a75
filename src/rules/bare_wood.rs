//! What a kind bears of a hard cut: all at once, by thirds, never into bare wood.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, Stand, chosen};
use crate::almanac::{CutKind, Habit, HardCut};
use crate::garden::{BoxwoodHardCut, Mark, OvergrownBloomers, Planting};

const NO_BUDS: &str = "Berkshire Eagle (Kujawski, formerly University of Massachusetts Extension), Pruning evergreen trees \
     and shrubs, 2022; hedge guides after Royal Horticultural Society practice, 2016";
const WHOLE: &str = "Fine Gardening (Dwyer), Hard pruning for common shrubs, 2020s (3-6 in); University of Illinois \
     Extension (Allsup), 2021 (6 in); Newsday, Rejuvenation pruning, 2019";
const STAGED: &str = "Missouri Botanical Garden, 2023; from memory: Dirr, Manual of Woody Landscape Plants, 2009; Iowa \
     State University Extension, 2011";

/// What a kind bears, and what the owner has chosen of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BareWoodFacts {
    /// What it bears.
    pub bears: Bears,
    /// Whether it is boxwood, of which sources name three times for a hard cut, and the time that the owner chose.
    pub boxwood: Option<BoxwoodHardCut>,
    /// Whether it is an overgrown shrub that flowers on old wood, and the time that the owner chose.
    pub overgrown_bloomer: Option<OvergrownBloomers>,
}

/// What a kind bears of a hard cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Bears {
    /// The whole plant in one go, and the owner accepts the risk.
    WholeAccepted,
    /// The whole plant in one go, which the owner has not accepted: by thirds.
    WholeOrThirds,
    /// A third a year, and no more whatever the owner accepts.
    ThirdsOnly,
    /// No cut below the last green.
    GreenOnly,
    /// No hard cut: single old stems at most.
    SingleStems,
}

/// Whether the owner of a plant that bears a hard cut whole has it done by thirds.
pub(super) fn is_chosen_staged(planting: &Planting) -> bool {
    planting.is(Mark::Overgrown) && !planting.is(Mark::RiskAccepted)
}

/// Whether the owner may think of more than the third that the pacing names each year.
fn is_in_doubt(case: &Case<'_>) -> bool {
    let planting = case.planting;
    planting.is(Mark::Overgrown) || planting.is(Mark::RiskAccepted) || chosen::is_boxwood(case.cut)
}

/// Says what a hard cut may take, and shuts one that the plant would not outlive.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let cut = case.cut.cut.cut;
    let is_woody = !matches!(case.cut.kind.habit, Habit::Perennial | Habit::Grass);
    let is_hard = cut == CutKind::Renewal || (cut == CutKind::CutBack && is_woody);
    let (bears, source) = match (case.cut.kind.hard_cut, is_hard) {
        (HardCut::NotIntoBareWood, true) => (Bears::GreenOnly, NO_BUDS),
        (HardCut::NotIntoBareWood, false) if takes_green(cut) => (Bears::GreenOnly, NO_BUDS),
        (HardCut::Staged, true) if cut == CutKind::Renewal && is_in_doubt(case) => {
            (Bears::ThirdsOnly, STAGED)
        }
        (HardCut::No, true) if cut == CutKind::Renewal => (Bears::SingleStems, STAGED),
        (HardCut::Whole, true) if case.planting.is(Mark::RiskAccepted) => {
            (Bears::WholeAccepted, WHOLE)
        }
        (HardCut::Whole, true) if is_chosen_staged(case.planting) => (Bears::WholeOrThirds, WHOLE),
        (
            HardCut::NotIntoBareWood
            | HardCut::Staged
            | HardCut::No
            | HardCut::Whole
            | HardCut::DiesBack,
            _,
        ) => return None,
    };
    let facts = BareWoodFacts {
        bears,
        boxwood: chosen::is_boxwood(case.cut).then_some(case.choices.boxwood_hard_cut),
        overgrown_bloomer: chosen::is_overgrown_bloomer(case.cut)
            .then_some(case.choices.overgrown_bloomers),
    };
    let mut finding = Finding::note(Facts::BareWood(facts), source);
    // No bud waits in that wood: what is cut to it stays bare or dies.
    if bears == Bears::GreenOnly && cut == CutKind::Renewal {
        finding.stand = Stand::Shut { opens: None };
    }
    Some(finding)
}

/// Cuts that shorten leafy shoots and may go too far.
const fn takes_green(cut: CutKind) -> bool {
    matches!(cut, CutKind::Shear | CutKind::ThinningCut)
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, is_clear};
    use super::*;

    fn bears(scene: &Scene) -> Option<Bears> {
        let Facts::BareWood(facts) = scene.find(find)?.facts else {
            panic!("another rule's facts");
        };
        Some(facts.bears)
    }

    fn shrub(hard_cut: HardCut, cut: CutKind) -> Scene {
        let mut scene = Scene::of("Forsythia", Habit::DeciduousShrub, cut, "2027-03-10");
        scene.kind.hard_cut = hard_cut;
        scene
    }

    #[test]
    fn never_into_bare_wood() {
        let juniper = shrub(HardCut::NotIntoBareWood, CutKind::Renewal);
        assert_eq!(bears(&juniper), Some(Bears::GreenOnly));
        assert_eq!(juniper.stand(find), Stand::Shut { opens: None });
        let sheared = shrub(HardCut::NotIntoBareWood, CutKind::Shear);
        assert_eq!(bears(&sheared), Some(Bears::GreenOnly));
        assert!(is_clear(&sheared.stand(find)));
    }

    #[test]
    fn whole_only_where_the_kind_bears_it_and_the_owner_accepts_the_risk() {
        let mut scene = shrub(HardCut::Whole, CutKind::Renewal);
        assert_eq!(bears(&scene), None);
        assert_eq!(
            bears(scene.mark(Mark::Overgrown)),
            Some(Bears::WholeOrThirds)
        );
        assert_eq!(
            bears(scene.mark(Mark::RiskAccepted)),
            Some(Bears::WholeAccepted)
        );
        // No owner can accept what the plant does not bear.
        scene.kind.hard_cut = HardCut::Staged;
        assert_eq!(bears(&scene), Some(Bears::ThirdsOnly));
        scene.kind.hard_cut = HardCut::No;
        assert_eq!(bears(&scene), Some(Bears::SingleStems));
    }

    #[test]
    fn light_cuts_and_tops_that_die_back_need_no_word() {
        assert_eq!(bears(&shrub(HardCut::Staged, CutKind::Shear)), None);
        assert_eq!(bears(&shrub(HardCut::DiesBack, CutKind::CutBack)), None);
    }
}
