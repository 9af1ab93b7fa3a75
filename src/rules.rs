//! Reasons to hold a cut: one file each, one roster.
//!
//! In: a [`Case`], one planned cut with what is known of it today. Out: one [`Finding`] from each rule.
//! Does not fold them: a rule does not know the other rules; folding is the work of [`crate::verdict`].

mod bare_wood;
mod calendar;
mod chosen;
mod closed_season;
mod cold;
mod dormancy;
mod flowering;
mod frost;
mod heat;
mod in_leaf;
mod nesting;
mod pacing;
mod professional;
mod sap;
#[cfg(test)]
mod scene;
mod season;
mod sources;
mod stems;
mod storm;
mod warned;
mod wet;
mod working;

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::climate::Climate;
use crate::events::Events;
use crate::forecast::{ForecastDay, LocalWarning};
use crate::garden::{Choices, Deed, Hemisphere, PlannedCut, Planting};
use crate::outlook::{MeasuredDays, Missing};
use crate::risk::{DateRange, Release, Risk};
use crate::work::WorkWeather;

pub use bare_wood::{BareWoodFacts, Bears};
pub use chosen::chosen_season;
pub use closed_season::{ClosedSeasonFacts, ClosedTree, Closure, Paint};
pub use cold::{After, ColdFacts, Severe, SuddenFall};
pub use dormancy::DormancyFacts;
pub use flowering::FloweringFacts;
pub use frost::{FrostFacts, Least};
pub use heat::{Drought, HeatFacts, HotDay};
pub use nesting::NestingFacts;
pub use pacing::{PacingFacts, Stage, renewal_stage};
pub use professional::{Danger, ProfessionalFacts, dangers};
pub use sap::SapFacts;
pub use season::Anchored;
pub use sources::SourcesFacts;
pub use stems::StemsFacts;
pub use storm::{Leader, Repair, StormFacts};
pub use warned::WarnedFacts;
pub use wet::{BlightSpell, BlossomBlight, RainAhead, WetFacts, WetLeaves, WhyDry};
pub use working::{Bar, Footing, Pick, Remark, WorkingFacts};

/// One planned cut with all that the rules may ask of it.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The cut.
    pub cut: &'a PlannedCut,
    /// The moment.
    pub at: DateTime<Utc>,
    /// The local date.
    pub today: NaiveDate,
    /// Which half of the year is summer.
    pub hemisphere: Hemisphere,
    /// What the place usually does; none when there is no usable record.
    pub climate: Option<&'a Climate>,
    /// The chance of frost while the cut is tender; none when the cut leaves nothing tender.
    pub risk: Option<&'a Risk>,
    /// When the events of the planting come.
    pub events: &'a Events,
    /// The season that the look before had for the cut, and the day of that look; none at the first look of all.
    pub season_before: Option<(DateRange, NaiveDate)>,
    /// What the look before left of the damping; none at the first look of all.
    pub before: Option<Release>,
    /// What the owner chose where published practices differ.
    pub choices: &'a Choices,
    /// What is known of the planting beyond its kind.
    pub planting: &'a Planting,
    /// The days about today as the forecast has them, those just past included.
    pub days: &'a BTreeMap<NaiveDate, ForecastDay>,
    /// The days of late that have come.
    pub measured: &'a MeasuredDays,
    /// What was done to this planting, in the order of the days.
    pub deeds: &'a [Deed],
    /// Rain, wet, heat, cold and wind about today; none when the forecast has temperatures alone.
    pub work: Option<&'a WorkWeather>,
    /// Official warnings of frost and freeze that are in force or to come.
    pub warnings: &'a [LocalWarning],
}

/// What one rule says of a cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// Whether it holds the cut, and until when.
    pub stand: Stand,
    /// The numbers behind it.
    pub facts: Facts,
    /// Where the rule and its figures come from.
    pub source: String,
}

/// Whether a rule holds a cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Stand {
    /// No reason to wait, until that day if there is an end.
    Clear {
        /// The last clear day.
        until: Option<NaiveDate>,
    },
    /// Not now; later this season.
    Hold {
        /// When it will likely be clear.
        opens: Option<DateRange>,
    },
    /// Not this season.
    Shut {
        /// When the next season opens.
        opens: Option<DateRange>,
    },
    /// Too little is known.
    Unknown {
        /// What is missing.
        missing: Vec<Missing>,
    },
    /// Not the keeper's work.
    Professional,
}

/// The numbers of a finding, by rule.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "rule", rename_all = "kebab-case")]
pub enum Facts {
    /// Frost while the cut is tender.
    FrostWhileTender(FrostFacts),
    /// Official warnings of frost and freeze.
    OfficialWarning(WarnedFacts),
    /// The season in which the plant bears the cut, by flowering wood.
    FloweringWood(FloweringFacts),
    /// Rest before a hard cut.
    Dormancy(DormancyFacts),
    /// Closed seasons of some trees, for what their fresh wounds draw.
    ClosedSeason(ClosedSeasonFacts),
    /// Sap that drips, burns or poisons.
    Sap(SapFacts),
    /// Old stems and who lives in them.
    Stems(StemsFacts),
    /// Birds on their nests.
    Nesting(NestingFacts),
    /// How much may go in a year.
    Pacing(PacingFacts),
    /// What the kind bears of a hard cut.
    BareWood(BareWoodFacts),
    /// Work that is a professional's.
    Professional(ProfessionalFacts),
    /// Broken wood.
    Storm(StormFacts),
    /// Heat, bright sun and drought.
    Heat(HeatFacts),
    /// Wet leaves and the diseases that they let in.
    Wetness(WetFacts),
    /// Severe cold soon after a cut, and frozen wood.
    FreshCutCold(ColdFacts),
    /// The half-days of the week to work in.
    WorkingConditions(WorkingFacts),
    /// Sources of weather that differ.
    Sources(SourcesFacts),
}

/// A rule: from a case to its finding; none when it has nothing to do with the cut.
type Rule = fn(&Case<'_>) -> Option<Finding>;

/// A hold by the weather of the week that ends within so many days passes by itself (estimate).
const PASSING_DAYS: i64 = 7;

/// Every rule, in the order in which reasons are shown.
const RULES: [Rule; 16] = [
    storm::find,
    flowering::find,
    dormancy::find,
    closed_season::find,
    bare_wood::find,
    pacing::find,
    frost::find,
    warned::find,
    cold::find,
    heat::find,
    wet::find,
    stems::find,
    nesting::find,
    sap::find,
    working::find,
    professional::find,
];

/// What all rules find on one cut.
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    RULES.iter().filter_map(|rule| rule(case)).collect()
}

impl Finding {
    /// A finding that only informs.
    fn note(facts: Facts, source: impl Into<String>) -> Self {
        Self {
            stand: Stand::Clear { until: None },
            facts,
            source: source.into(),
        }
    }

    /// What it says of frost, if that is what it is about.
    pub fn frost(&self) -> Option<&FrostFacts> {
        if let Facts::FrostWhileTender(facts) = &self.facts {
            Some(facts)
        } else {
            None
        }
    }

    /// Whether it only says something of the weather to work in, and decides nothing.
    pub fn is_weather_note(&self) -> bool {
        self.facts.is_of_the_weeks_weather() && self.stand == Stand::Clear { until: None }
    }

    /// Whether it holds a cut for a few days of heat, wet or frozen wood, of which a mail would come too often. Severe
    /// cold is none of these: it does harm to what was cut the day before.
    pub fn is_passing_weather(&self, today: NaiveDate) -> bool {
        let does_harm = matches!(&self.facts, Facts::FreshCutCold(facts) if facts.severe.is_some() || facts.fall.is_some());
        let is_warm_spell = matches!(&self.facts, Facts::ClosedSeason(facts) if matches!(facts.closure, Closure::Warm { .. }));
        let passes = is_warm_spell || (self.facts.is_of_the_weeks_weather() && !does_harm);
        let soon = |range: DateRange| (range.to - today).num_days() <= PASSING_DAYS;
        passes && self.stand.opens().is_some_and(soon)
    }
}

impl Facts {
    /// Whether it is about the weather to work in: days too hot, wet, cold or rough, which end no season.
    pub const fn is_of_the_weeks_weather(&self) -> bool {
        match self {
            Self::Heat(_)
            | Self::Wetness(_)
            | Self::FreshCutCold(_)
            | Self::WorkingConditions(_) => true,
            Self::FrostWhileTender(_)
            | Self::OfficialWarning(_)
            | Self::FloweringWood(_)
            | Self::Dormancy(_)
            | Self::ClosedSeason(_)
            | Self::Sap(_)
            | Self::Stems(_)
            | Self::Nesting(_)
            | Self::Pacing(_)
            | Self::BareWood(_)
            | Self::Professional(_)
            | Self::Storm(_)
            | Self::Sources(_) => false,
        }
    }
}

impl Stand {
    /// The last clear day, where the stand is clear and has an end.
    pub fn clear_until(&self) -> Option<NaiveDate> {
        match self {
            Self::Clear { until } => *until,
            Self::Hold { .. } | Self::Shut { .. } | Self::Unknown { .. } | Self::Professional => {
                None
            }
        }
    }

    /// When a cut that is not clear will likely be.
    pub fn opens(&self) -> Option<DateRange> {
        match self {
            Self::Hold { opens } | Self::Shut { opens } => *opens,
            Self::Clear { .. } | Self::Unknown { .. } | Self::Professional => None,
        }
    }
}
