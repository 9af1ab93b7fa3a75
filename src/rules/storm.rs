//! Broken wood: it may be cut clean on any day, and what is not done to it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, closed_season};
use crate::almanac::{CutKind, Habit};
use crate::garden::Mark;

const SOURCE: &str = "Salisbury Post, North Carolina extension (Blackwelder), 2021 (no paint, damaged wood at once); \
     International Society of Arboriculture, Post-storm tree first aid, 2007";
const OAK: &str = "University of Minnesota Extension, about 2017, and City of Lakeway after Texas A&M Forest Service (paint on oak)";
const LEADER: &str = "common practice, no source";

/// What is known of broken wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StormFacts {
    /// The broken wood that the cut takes, if that is the cut.
    pub repair: Option<Repair>,
    /// The leading shoot that was lost, if one was.
    pub leader: Option<Leader>,
}

/// How broken wood is treated after the cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Repair {
    /// Left open to the air.
    Bare,
    /// Painted within minutes: oak, while the beetles of oak wilt fly.
    Painted,
}

/// A tree that lost its leading shoot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Leader {
    /// A conifer: a shoot of the top whorl can be tied up.
    Conifer,
    /// A tree with leaves: an upright side branch takes over, or it goes on without one.
    Broadleaf,
    /// A shrub: it needs none.
    Shrub,
}

/// Says how broken wood is cut, and what becomes of a lost leader.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let cut = case.cut.cut.cut;
    let repair = (cut == CutKind::StormRepair).then(|| {
        if closed_season::paints_today(case) {
            Repair::Painted
        } else {
            Repair::Bare
        }
    });
    let shapes = matches!(cut, CutKind::StormRepair | CutKind::ThinningCut);
    let leader =
        (shapes && case.planting.is(Mark::LostLeader)).then(|| leader(case.cut.kind.habit));
    if repair.is_none() && leader.is_none() {
        return None;
    }
    let mut source = SOURCE.to_owned();
    if repair == Some(Repair::Painted) {
        source = format!("{source}; {OAK}");
    }
    if leader.is_some() {
        source = format!("{source}; on leaders: {LEADER}");
    }
    Some(Finding::note(
        Facts::Storm(StormFacts { repair, leader }),
        source,
    ))
}

const fn leader(habit: Habit) -> Leader {
    match habit {
        Habit::Conifer => Leader::Conifer,
        Habit::Tree => Leader::Broadleaf,
        Habit::SmallLeavedEvergreen
        | Habit::LargeLeavedEvergreen
        | Habit::DeciduousShrub
        | Habit::Perennial
        | Habit::Grass
        | Habit::Climber => Leader::Shrub,
    }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, is_clear};
    use super::super::{Stand, flowering};
    use super::*;

    fn facts(scene: &Scene) -> Option<StormFacts> {
        let finding = scene.find(find)?;
        assert!(is_clear(&finding.stand));
        let Facts::Storm(facts) = finding.facts else {
            panic!("another rule's facts");
        };
        Some(facts)
    }

    #[test]
    fn broken_wood_is_cut_on_any_day() {
        for today in ["2027-01-15", "2027-04-20", "2027-07-01", "2027-10-10"] {
            let scene = Scene::of("Acer rubrum", Habit::Tree, CutKind::StormRepair, today);
            let repair = Some(Repair::Bare);
            let leader = None;
            assert_eq!(facts(&scene), Some(StormFacts { repair, leader }));
            assert_eq!(scene.stand(flowering::find), Stand::Clear { until: None });
        }
    }

    #[test]
    fn a_lost_leader_gets_a_word_that_fits_the_plant() {
        let mut scene = Scene::of(
            "Acer rubrum",
            Habit::Tree,
            CutKind::ThinningCut,
            "2027-06-10",
        );
        assert_eq!(facts(&scene), None);
        scene.mark(Mark::LostLeader);
        assert_eq!(facts(&scene).unwrap().leader, Some(Leader::Broadleaf));
        scene.kind.habit = Habit::Conifer;
        assert_eq!(facts(&scene).unwrap().leader, Some(Leader::Conifer));
        scene.cut = CutKind::Deadhead;
        assert_eq!(facts(&scene), None);
    }
}
