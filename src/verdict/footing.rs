//! What a look leaves for the next one to stand on.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use super::Verdict;
use crate::garden::PlannedCut;
use crate::risk::{DateRange, Release};
use crate::rules::{Facts, Finding};

/// A look further back than this is forgotten: the weather has moved on.
const LOOK_KEPT_FOR: TimeDelta = TimeDelta::days(4);

/// What a look at a cut leaves for the next one: what damps a change, and nothing that the next look finds by itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Footing {
    /// The cut's name in the garden.
    pub cut: String,
    /// When the look was.
    pub at: DateTime<Utc>,
    /// The local date there at that moment.
    pub today: NaiveDate,
    /// How far the release of the cut had come; none where frost is no matter.
    pub release: Option<Release>,
    /// The season that the look had for the cut by the buds of its wood.
    pub season: Option<DateRange>,
}

impl Footing {
    /// What a verdict leaves.
    pub fn from(verdict: &Verdict) -> Self {
        let frost = verdict.findings.iter().find_map(Finding::frost);
        let season = verdict.findings.iter().find_map(|finding| {
            if let Facts::FloweringWood(facts) = &finding.facts {
                facts.season
            } else {
                None
            }
        });
        Self {
            cut: verdict.cut.clone(),
            at: verdict.at,
            today: verdict.today,
            release: frost.map(|facts| facts.release),
            season,
        }
    }

    /// The same of each of some verdicts.
    pub fn from_all(verdicts: &[Verdict]) -> Vec<Self> {
        verdicts.iter().map(Self::from).collect()
    }

    /// What the look before left of a cut; a look too long ago counts as none.
    pub(super) fn of<'a>(
        before: &'a [Self],
        cut: &PlannedCut,
        now: DateTime<Utc>,
    ) -> Option<&'a Self> {
        let is_it = |left: &&Self| left.cut == cut.name && now - left.at <= LOOK_KEPT_FOR;
        before.iter().find(is_it)
    }
}
