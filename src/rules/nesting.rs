//! Birds on their nests: a search before each cut, or a wait where the owner or the law wants one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::calendar::{Yearly, wait_out};
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, Habit, Wildlife};
use crate::garden::{NestRegion, Nests};
use crate::risk::DateRange;

/// The numbers behind a finding on nests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NestingFacts {
    /// The region whose season counts.
    pub region: NestRegion,
    /// The nest season that is on.
    pub season: DateRange,
    /// Whether the cut waits for its end.
    pub holds: bool,
}

/// Asks for a search while birds nest.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let cut = case.cut.cut.cut;
    if matches!(cut, CutKind::Deadhead | CutKind::Pinch) || !gives_cover(case) {
        return None;
    }
    let region = case.choices.nest_region;
    let (season, source) = season_of(region);
    let season = season.holding(case.today)?;
    let holds =
        case.choices.nests == Nests::Hold || (region == NestRegion::Germany && is_hard(cut));
    let stand = if holds {
        wait_out(case.today, season)
    } else {
        Stand::Clear { until: None }
    };
    Some(Finding {
        stand,
        facts: Facts::Nesting(NestingFacts {
            region,
            season,
            holds,
        }),
        source: source.to_owned(),
    })
}

/// Whether birds may nest in it: the almanac says so, or it is a leafy hedge.
fn gives_cover(case: &Case<'_>) -> bool {
    let kind = &case.cut.kind;
    let evergreen = matches!(
        kind.habit,
        Habit::SmallLeavedEvergreen | Habit::LargeLeavedEvergreen | Habit::Conifer
    );
    kind.wildlife.contains(&Wildlife::NestCover)
        || (evergreen && case.cut.cut.cut == CutKind::Shear)
}

/// Cuts that leave little of a hedge; German law forbids them from March to September and lets shaping be.
const fn is_hard(cut: CutKind) -> bool {
    matches!(cut, CutKind::Renewal | CutKind::CutBack)
}

const fn season_of(region: NestRegion) -> (Yearly, &'static str) {
    match region {
        NestRegion::UnitedKingdom => (
            Yearly::new((3, 1), (8, 31)),
            "RSPB, Hedges and the law (March to August; Wildlife and Countryside Act 1981); others say March to July",
        ),
        NestRegion::UnitedStates => (
            Yearly::new((3, 1), (8, 31)),
            "from memory: Migratory Bird Treaty Act, roughly March to August; Red Rock Audubon (any month with a search)",
        ),
        NestRegion::SouthernCalifornia => (
            Yearly::new((2, 1), (8, 15)),
            "Escondido Creek Conservancy and Palomar Audubon, Trim trees in fall and winter (1 February to 15 August; owls \
             from January)",
        ),
        NestRegion::Germany => (
            Yearly::new((3, 1), (9, 30)),
            "from memory: Bundesnaturschutzgesetz section 39, 2009 (1 March to 30 September)",
        ),
        NestRegion::OtherNorth => (
            Yearly::new((3, 1), (8, 31)),
            "estimate after RSPB, Hedges and the law (March to August)",
        ),
        NestRegion::South => (
            Yearly::new((8, 1), (1, 31)),
            "from memory: about August to January in the south",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, is_clear};
    use super::*;
    use crate::garden::Hemisphere;

    fn hedge(region: NestRegion, today: &str) -> Scene {
        let habit = Habit::SmallLeavedEvergreen;
        let mut scene = Scene::of("Buxus sempervirens", habit, CutKind::Shear, today);
        scene.choices.nest_region = region;
        scene
    }

    /// First and last day of a season, and the days beside it.
    fn assert_season(region: NestRegion, inside: [&str; 2], outside: [&str; 2]) {
        for today in inside {
            let finding = hedge(region, today).find(find);
            assert!(
                finding.is_some_and(|finding| is_clear(&finding.stand)),
                "{today}"
            );
        }
        for today in outside {
            assert_eq!(hedge(region, today).find(find), None, "{today}");
        }
    }

    #[test]
    fn each_region_has_its_season() {
        use NestRegion::{South, SouthernCalifornia, UnitedKingdom, UnitedStates};
        let spring = ["2027-03-01", "2027-08-31"];
        let beside = ["2027-02-28", "2027-09-01"];
        assert_season(UnitedKingdom, spring, beside);
        assert_season(UnitedStates, spring, beside);
        assert_season(
            SouthernCalifornia,
            ["2027-02-01", "2027-08-15"],
            ["2027-01-31", "2027-08-16"],
        );
        assert_season(
            South,
            ["2027-08-01", "2028-01-31"],
            ["2027-07-31", "2028-02-01"],
        );
    }

    #[test]
    fn the_owner_may_wait_and_german_law_does() {
        let mut scene = hedge(NestRegion::UnitedStates, "2027-08-10");
        scene.choices.nests = Nests::Hold;
        assert!(matches!(scene.stand(find), Stand::Hold { .. }));
        assert!(matches!(
            scene.on("2027-05-10").stand(find),
            Stand::Shut { .. }
        ));
        let mut germany = hedge(NestRegion::Germany, "2027-05-10");
        assert!(is_clear(&germany.stand(find)));
        germany.kind.wildlife = vec![Wildlife::NestCover];
        germany.cut = CutKind::Renewal;
        assert!(!is_clear(&germany.stand(find)));
    }

    #[test]
    fn a_plant_without_cover_and_a_spent_flower_need_no_search() {
        let mut scene = hedge(NestRegion::UnitedStates, "2027-05-10");
        scene.hemisphere = Hemisphere::North;
        scene.cut = CutKind::Deadhead;
        assert_eq!(scene.find(find), None);
        let rose = Scene::of("Rosa", Habit::DeciduousShrub, CutKind::Shear, "2027-05-10");
        assert_eq!(rose.find(find), None);
    }
}
