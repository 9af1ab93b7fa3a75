//! The season in which a plant bears a cut, by the wood on which it flowers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::season::{Anchored, Window, window};
use super::{Case, Facts, Finding, Stand, calendar, chosen};
use crate::almanac::{CutKind, Season, Wood};
use crate::outlook::Missing;
use crate::risk::DateRange;

/// The numbers behind a finding on the season.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FloweringFacts {
    /// On which wood the plant flowers.
    pub wood: Wood,
    /// The season that is open now or opens next; none when the cut may be made at any time.
    pub season: Option<DateRange>,
    /// The event with which the season opens; none when the cut may be made at any time.
    #[serde(default)]
    pub opens_by: Option<Anchored>,
    /// The event with which it closes.
    #[serde(default)]
    pub closes_by: Option<Anchored>,
    /// The hardiness zone by which the dates were moved; none when it is not known.
    pub zone: Option<f64>,
    /// Why the cut is not made outside the season.
    pub outside: Option<String>,
}

/// Shuts a cut outside the season in which the plant bears it.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    let cut = &case.cut.cut;
    // Broken wood is cut at any time, whatever it bears.
    if cut.cut == CutKind::StormRepair {
        return None;
    }
    let (window, stand) = match chosen::season(case) {
        Season::AnyTime => (None, Stand::Clear { until: None }),
        Season::Between(from, to) => match window(case, from, to) {
            Some(window) => {
                let stand = stand(case, &window);
                (Some(window), stand)
            }
            None => (
                None,
                Stand::Unknown {
                    missing: vec![Missing::Season],
                },
            ),
        },
    };
    let facts = FloweringFacts {
        wood: case.cut.kind.wood,
        season: window.as_ref().map(|window| window.season),
        opens_by: window.as_ref().map(|window| window.opens_by.clone()),
        closes_by: window.map(|window| window.closes_by),
        zone: case.climate.map(crate::climate::Climate::hardiness_zone),
        outside: cut.outside.clone(),
    };
    Some(Finding {
        stand,
        facts: Facts::FloweringWood(facts),
        source: cut.source.clone(),
    })
}

fn stand(case: &Case<'_>, window: &Window) -> Stand {
    let season = window.season;
    if season.from <= case.today {
        return Stand::Clear {
            until: Some(season.to),
        };
    }
    let opens = DateRange {
        from: season.from,
        to: window.opens_late().max(season.from),
    };
    calendar::wait_for(case.today, opens)
}
