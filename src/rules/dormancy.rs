//! A hard cut wants a plant at rest, where the almanac names no season for it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::season::span;
use super::{Case, Facts, Finding, Stand, calendar, chosen};
use crate::almanac::{Anchor, CutKind, Event, Habit, Season};
use crate::risk::DateRange;

/// Days after bud break on which buds have only begun to move (University of Missouri Extension, Start your shears:
/// still fine when buds have started to move; the days are an estimate).
const GRACE: i32 = 7;

/// Days before bud break from which broadleaf evergreens are cut hard (North Carolina State University Horticulture,
/// Pruning broadleaf evergreens: late winter before growth; the days are an estimate).
const EVERGREEN_FROM: i32 = -35;

const SOURCE: &str = "Morton Arboretum, on hedges: a deep cut waits until it is really cold, about 2019; University of \
     Missouri Extension (Starbuck), Start your shears, no date; days of grace: estimate";

/// The numbers behind a finding on rest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DormancyFacts {
    /// From leaf fall to bud break, with grace; of evergreens the weeks before growth.
    pub rest: DateRange,
    /// Whether it keeps its leaves.
    pub evergreen: bool,
}

/// Holds a hard cut until the plant rests.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let is_hard = matches!(case.cut.cut.cut, CutKind::Renewal | CutKind::CutBack);
    // Where the almanac names a season, it has the rest in it.
    if !is_hard || chosen::season(case) != Season::AnyTime {
        return None;
    }
    let (from, evergreen) = match case.cut.kind.habit {
        Habit::DeciduousShrub => (leaf_fall(case), false),
        Habit::Tree | Habit::Climber if case.cut.kind.leaf_fall.is_some() => {
            (leaf_fall(case), false)
        }
        Habit::SmallLeavedEvergreen | Habit::LargeLeavedEvergreen => {
            (anchor(Event::BudBreak, EVERGREEN_FROM), true)
        }
        Habit::Tree | Habit::Climber | Habit::Conifer | Habit::Perennial | Habit::Grass => {
            return None;
        }
    };
    let rest = span(case, from, anchor(Event::BudBreak, GRACE))?;
    let stand = if rest.from <= case.today {
        Stand::Clear {
            until: Some(rest.to),
        }
    } else {
        calendar::wait(case.today, rest.from)
    };
    Some(Finding {
        stand,
        facts: Facts::Dormancy(DormancyFacts { rest, evergreen }),
        source: SOURCE.to_owned(),
    })
}

/// The kind's leaf fall, else the first killing frost.
fn leaf_fall(case: &Case<'_>) -> Anchor {
    if case.cut.kind.leaf_fall.is_some() {
        anchor(Event::LeafFall, 0)
    } else {
        anchor(Event::HardFrost, 0)
    }
}

const fn anchor(event: Event, days: i32) -> Anchor {
    Anchor { event, days }
}

#[cfg(test)]
mod tests {
    use super::super::scene::{Scene, day, is_clear};
    use super::*;

    #[test]
    fn a_deciduous_shrub_is_cut_hard_from_leaf_fall_until_its_buds_have_moved() {
        let mut scene = Scene::of(
            "Philadelphus",
            Habit::DeciduousShrub,
            CutKind::Renewal,
            "2026-11-09",
        );
        assert!(!is_clear(&scene.stand(find)));
        assert!(is_clear(&scene.on("2026-11-10").stand(find)));
        let clear = scene.on("2027-04-08").stand(find);
        assert_eq!(clear.clear_until(), Some(day("2027-04-08")));
        assert!(!is_clear(&scene.on("2027-04-09").stand(find)));
    }

    #[test]
    fn an_evergreen_is_cut_hard_just_before_growth() {
        let mut scene = Scene::of(
            "Ilex crenata",
            Habit::SmallLeavedEvergreen,
            CutKind::Renewal,
            "2027-01-20",
        );
        assert!(!is_clear(&scene.stand(find)));
        assert!(is_clear(&scene.on("2027-03-01").stand(find)));
    }

    #[test]
    fn where_the_almanac_names_a_season_or_the_cut_is_light_it_is_silent() {
        let mut scene = Scene::of(
            "Philadelphus",
            Habit::DeciduousShrub,
            CutKind::Shear,
            "2027-07-01",
        );
        assert_eq!(scene.find(find), None);
        scene.cut = CutKind::Renewal;
        assert!(scene.find(find).is_some());
        scene.season = Season::Between(anchor(Event::BloomEnd, 0), anchor(Event::BloomEnd, 28));
        assert_eq!(scene.find(find), None);
    }
}
