//! Skill as a place has taught it: forecasts that were kept, held against what came.
//!
//! Verified nights move the published figures no further than they can carry: the bias within a month or two, the
//! correlations within a season or two, and towards more trust more slowly than towards less.

mod bias;
mod leads;
mod nights;
mod pairs;
mod sources;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use self::nights::Nights;
pub use self::pairs::verified_pairs;
pub use self::sources::{Kept, SourceSkill};
use super::skill::{LeadSkill, Skill};
use crate::climate::Climate;
use crate::units::{Celsius, CelsiusStep, count};

/// A forecast night minimum whose night has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verified {
    /// The date of the night's morning.
    pub date: NaiveDate,
    /// Days from the making of the forecast to the night, counted from 1.
    pub lead: usize,
    /// How many members the forecast had; one for a single run.
    pub members: usize,
    /// The forecast, the mean of the members, brought to the height of the place but with its bias.
    pub forecast: Celsius,
    /// What came.
    pub observed: Celsius,
    /// Who says what came.
    pub truth: Truth,
}

/// What a forecast was held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Truth {
    /// The daily record of the place.
    Record,
    /// The model's own analysis: the hours of a later run that were past when it was made. It shares the model's
    /// faults and flatters it, so that such a night counts half, and teaches nothing about what they have in common.
    Analysis,
}

/// What a forecast was made of; each kind has a skill of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum ForecastKind {
    Run,
    Ensemble,
}

/// A skill with what it was learned from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Learned {
    /// The skill to use.
    pub skill: Skill,
    /// How many nights were verified.
    pub nights: usize,
    /// How many of them against the record; the rest only against the model's own analysis.
    pub by_record: usize,
    /// How many nights do not count, since the thermometer or the forecast was wrong beyond belief.
    pub ignored: usize,
    /// The first of the nights.
    pub since: Option<NaiveDate>,
    /// What each lead showed of single runs, from lead 1 on.
    pub runs: Vec<LeadEvidence>,
    /// The same of the means of ensembles.
    pub ensembles: Vec<LeadEvidence>,
}

/// What the verified nights of one lead showed, and what is made of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LeadEvidence {
    /// Days from the making of the forecast to the night.
    pub lead: usize,
    /// How many nights.
    pub nights: usize,
    /// The published figures.
    pub prior: LeadSkill,
    /// As the nights alone show it; none when they are too few or all alike.
    pub shown: Option<LeadSkill>,
    /// The figures to use.
    pub used: LeadSkill,
    /// By how much the forecasts were too warm on average; none without a night.
    pub bias: Option<CelsiusStep>,
    /// The standard deviation of the errors about that; none with fewer than two nights.
    pub error_spread: Option<CelsiusStep>,
}

/// The published figures count as much as so many nights.
const PRIOR_NIGHTS: f64 = 60.0;

impl Truth {
    /// How much such a night counts.
    const fn weight(self) -> f64 {
        match self {
            Self::Record => 1.0,
            Self::Analysis => 0.5,
        }
    }
}

impl Verified {
    /// Whether it was a single run's or an ensemble's.
    fn kind(&self) -> ForecastKind {
        if self.members > 1 {
            ForecastKind::Ensemble
        } else {
            ForecastKind::Run
        }
    }
}

impl Skill {
    /// This skill, moved towards what the verified nights before `today` show, no further than they can carry.
    #[must_use]
    pub fn learned(&self, verified: &[Verified], climate: &Climate, today: NaiveDate) -> Self {
        self.learn(verified, climate, today).skill
    }

    /// The same with all that it was learned from.
    pub fn learn(&self, verified: &[Verified], climate: &Climate, today: NaiveDate) -> Learned {
        let nights = Nights::of(verified, &climate.min, today, self.leads());
        self.moved_by(&nights, today)
    }

    /// This skill as it stands, learned from nothing.
    pub fn unlearned(&self) -> Learned {
        self.moved_by(&Nights::default(), NaiveDate::MIN)
    }

    fn moved_by(&self, nights: &Nights, today: NaiveDate) -> Learned {
        let bias = bias::learned(self, &nights.pairs, today);
        let of_kind = |kind, prior: &[LeadSkill]| {
            let evidence = leads::learned(prior, &nights.of_kind(kind), bias);
            let used: Vec<LeadSkill> = evidence.iter().map(|lead| lead.used).collect();
            (used, evidence)
        };
        let (run, runs_showed) = of_kind(ForecastKind::Run, &self.run);
        let (ensemble, ensembles_showed) = of_kind(ForecastKind::Ensemble, &self.ensemble);
        let by_record = nights.count_by(Truth::Record);
        let local = PRIOR_NIGHTS / (PRIOR_NIGHTS + count(by_record));
        Learned {
            skill: Self {
                run,
                ensemble,
                bias,
                // What a place differs from the record is within the errors that were seen against it.
                local_spread: self.local_spread * local,
                member_spread: self.member_spread,
            },
            nights: nights.count(),
            by_record,
            ignored: nights.ignored,
            since: nights.since(),
            runs: runs_showed,
            ensembles: ensembles_showed,
        }
    }
}
