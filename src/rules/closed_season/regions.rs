//! Which months close which tree in which region, by what each source says.

use super::super::Case;
use super::super::calendar::Yearly;
use super::{ClosedTree, Paint};
use crate::almanac::Habit;
use crate::garden::{Birch, Cherry, OakRegion};

/// Months in which beetles may fly at all: not in December and January (estimate).
const FLIGHT: Yearly = Yearly::new((2, 1), (11, 30));
const ALL_YEAR: Yearly = Yearly::new((1, 1), (12, 31));

const APRIL_TO_NOVEMBER: Yearly = Yearly::new((4, 1), (11, 30));
const APRIL_TO_OCTOBER: Yearly = Yearly::new((4, 1), (10, 31));
const FEBRUARY_TO_JUNE: Yearly = Yearly::new((2, 1), (6, 30));
const MAY_TO_AUGUST: Yearly = Yearly::new((5, 1), (8, 31));
const WET_COOL: Yearly = Yearly::new((10, 1), (3, 1));
const DOGWOOD_BORER: Yearly = Yearly::new((4, 15), (6, 1));

const OAK: &str = "Wisconsin Department of Natural Resources, oak wilt, 2017 (April to July); University of Minnesota \
     Extension, about 2017 and 2023 (April to June, April to October); University of Wisconsin-Madison Extension, Dane \
     County, 2023 (April to November, below 50 °F for 48 hours after); City of East Lansing (below 50 °F)";
const OAK_TEXAS: &str =
    "City of Lakeway after Texas A&M Forest Service, Prune when the risk is low (February to June)";
const ELM: &str = "University of Wisconsin-Madison Extension, Dane County, 2023; City of East Lansing, Dutch elm disease";
const CHERRY_WET: &str = "University of Minnesota Extension, about 2017; from memory: Royal Horticultural Society \
     (silver leaf and canker); the days are an estimate";
const CHERRY_MOTH: &str =
    "University of Washington, Miller Library, Garden tip 15 (cherry bark tortrix, May to August)";
const BIRCH: &str =
    "garden press, and from memory: USDA Forest Service (bronze birch borer, May to August)";
const BIRCH_DRIP: &str =
    "University of Minnesota Extension, about 2017 (after full leaf); the days are an estimate";
const DOGWOOD: &str = "from memory: borers of dogwood lay in spring; North Carolina Cooperative Extension, Johnston County, 2009 (June and July)";

/// What closes one tree at one place.
pub(super) struct Closed {
    pub(super) tree: ClosedTree,
    pub(super) season: Option<Yearly>,
    /// The months in which a warm day closes it as well.
    pub(super) flight: Option<Yearly>,
    pub(super) paint: Paint,
    pub(super) source: &'static str,
}

/// What closes the tree of a case; none when nothing does.
pub(super) fn closed(case: &Case<'_>) -> Option<Closed> {
    let kind = &case.cut.kind;
    let genus = kind.botanical.split_whitespace().next()?;
    let drops_leaves = matches!(kind.habit, Habit::Tree | Habit::DeciduousShrub);
    let plain = |tree, season, source| Closed {
        tree,
        season: Some(season),
        flight: None,
        paint: Paint::Never,
        source,
    };
    match genus {
        "Quercus" => oak(case.choices.oak_region),
        "Ulmus" => Some(elm(case.choices.oak_region)),
        "Prunus" if drops_leaves => Some(match case.choices.cherry {
            Cherry::DrySummer => plain(ClosedTree::CherryWet, WET_COOL, CHERRY_WET),
            Cherry::NotMayToAugust => plain(ClosedTree::CherryMoth, MAY_TO_AUGUST, CHERRY_MOTH),
        }),
        "Betula" => Some(match case.choices.birch {
            Birch::OutsideBorerFlight => plain(ClosedTree::BirchBorer, MAY_TO_AUGUST, BIRCH),
            Birch::AfterFullLeaf => plain(
                ClosedTree::BirchDrip,
                Yearly::new((1, 15), (5, 15)),
                BIRCH_DRIP,
            ),
        }),
        "Cornus" if kind.habit == Habit::Tree => {
            Some(plain(ClosedTree::Dogwood, DOGWOOD_BORER, DOGWOOD))
        }
        _ => None,
    }
}

/// Oak by region; where the region's own sources differ, the strictest of them.
fn oak(region: OakRegion) -> Option<Closed> {
    let (season, flight, paint, source) = match region {
        OakRegion::NorthAmerica | OakRegion::Wisconsin => {
            (Some(APRIL_TO_NOVEMBER), Some(FLIGHT), Paint::InSeason, OAK)
        }
        OakRegion::Minnesota => (Some(APRIL_TO_OCTOBER), Some(FLIGHT), Paint::InSeason, OAK),
        OakRegion::Michigan => (None, Some(ALL_YEAR), Paint::InSeason, OAK),
        // Beetles are about on winter days there too, which is why each wound is painted.
        OakRegion::Texas => (Some(FEBRUARY_TO_JUNE), None, Paint::AllYear, OAK_TEXAS),
        OakRegion::NoOakWilt => return None,
    };
    Some(Closed {
        tree: ClosedTree::Oak,
        season,
        flight,
        paint,
        source,
    })
}

fn elm(region: OakRegion) -> Closed {
    let (season, flight) = match region {
        OakRegion::NorthAmerica | OakRegion::Wisconsin => (Some(APRIL_TO_NOVEMBER), Some(FLIGHT)),
        OakRegion::Minnesota | OakRegion::NoOakWilt => (Some(APRIL_TO_OCTOBER), Some(FLIGHT)),
        OakRegion::Michigan => (None, Some(ALL_YEAR)),
        OakRegion::Texas => (Some(APRIL_TO_OCTOBER), None),
    };
    Closed {
        tree: ClosedTree::Elm,
        season,
        flight,
        paint: Paint::Never,
        source: ELM,
    }
}
