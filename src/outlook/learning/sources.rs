//! The skill of each source whose forecasts were kept: one source's faults are not another's.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{LeadEvidence, Learned, verified_pairs};
use crate::climate::{Climate, DailyRecord};
use crate::garden::Place;
use crate::outlook::RunDays;
use crate::outlook::skill::Skill;

/// What was kept of a place's weather.
#[derive(Debug, Clone, Copy)]
pub struct Kept<'a> {
    /// The runs of any source, in any order.
    pub runs: &'a [Arc<RunDays>],
    /// The newest one, whether it was kept or not.
    pub newest: Option<&'a RunDays>,
    /// The record of the place.
    pub record: Option<&'a DailyRecord>,
    /// What it usually does; without it no forecast can be judged.
    pub climate: Option<&'a Climate>,
    /// Where.
    pub place: &'a Place,
}

/// The skill of one source at a place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SourceSkill {
    /// The source, as its forecasts name it.
    pub source: String,
    /// How many members its newest forecast has; one for a single run.
    pub members: usize,
    /// What was learned of it.
    #[serde(flatten)]
    pub learned: Learned,
}

impl SourceSkill {
    /// What the leads showed of the kind of forecast that is in use.
    pub fn in_use(&self) -> &[LeadEvidence] {
        if self.members > 1 {
            &self.learned.ensembles
        } else {
            &self.learned.runs
        }
    }
}

impl Skill {
    /// This skill as each source has taught better, by the sources' names.
    pub fn by_source(&self, kept: &Kept<'_>, today: NaiveDate) -> Vec<SourceSkill> {
        let mut by_source: BTreeMap<&str, Vec<&RunDays>> = BTreeMap::new();
        for run in kept.runs.iter().map(Arc::as_ref).chain(kept.newest) {
            by_source.entry(&run.source).or_default().push(run);
        }
        by_source
            .into_iter()
            .map(|(source, runs)| {
                let newest = runs.iter().max_by_key(|run| run.data_at);
                let members = newest.map_or(1, |run| run.members.max(1));
                let learned = match kept.climate {
                    Some(climate) => {
                        let verified = verified_pairs(runs, kept.record, kept.place);
                        self.learn(&verified, climate, today)
                    }
                    None => self.unlearned(),
                };
                SourceSkill {
                    source: source.to_owned(),
                    members,
                    learned,
                }
            })
            .collect()
    }
}
