//! Birds on their nests: a search before each cut, or a wait where the owner or the law wants one.

use serde::{Deserialize, Serialize};

use super::calendar::{Yearly, wait_out};
use super::{Case, Facts, Finding, Stand};
use crate::almanac::{CutKind, Habit, Wildlife};
use crate::garden::{NestRegion, Nests};
use crate::risk::DateRange;

/// The numbers behind a finding on nests.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
