//! Reasons to hold a cut: one file each, one roster.
//!
//! In: a [`Case`], one planned cut with what is known of it today. Out: one [`Finding`] from each rule.
//! Does not fold them: a rule does not know the other rules; folding is the work of [`crate::verdict`].

mod cold;
mod flowering;
mod frost;
mod heat;
mod in_leaf;
mod season;
mod wet;
mod working;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::climate::Climate;
use crate::garden::{Hemisphere, PlannedCut};
use crate::outlook::Missing;
use crate::risk::{DateRange, Release, Risk};
use crate::work::WorkWeather;

pub use cold::{After, ColdFacts, Severe, SuddenFall};
pub use flowering::FloweringFacts;
pub use frost::{FrostFacts, Least};
pub use heat::{Drought, HeatFacts, HotDay};
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
    /// What the look before left of the damping; none at the first look of all.
    pub before: Option<Release>,
    /// Rain, wet, heat, cold and wind about today; none when the forecast has temperatures alone.
    pub work: Option<&'a WorkWeather>,
}

/// What one rule says of a cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Whether it holds the cut, and until when.
    pub stand: Stand,
    /// The numbers behind it.
    pub facts: Facts,
    /// Where the rule and its figures come from.
    pub source: String,
}

/// Whether a rule holds a cut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "rule", rename_all = "kebab-case")]
pub enum Facts {
    /// Frost while the cut is tender.
    FrostWhileTender(FrostFacts),
    /// The season in which the plant bears the cut, by flowering wood.
    FloweringWood(FloweringFacts),
    /// Heat, bright sun and drought.
    Heat(HeatFacts),
    /// Wet leaves and the diseases that they let in.
    Wetness(WetFacts),
    /// Severe cold soon after a cut, and frozen wood.
    FreshCutCold(ColdFacts),
    /// The half-days of the week to work in.
    WorkingConditions(WorkingFacts),
}

/// A rule: from a case to its finding; none when it has nothing to do with the cut.
type Rule = fn(&Case<'_>) -> Option<Finding>;

/// A hold by the weather of the week that ends within so many days passes by itself (estimate).
const PASSING_DAYS: i64 = 7;

/// Every rule, in the order in which reasons are shown.
const RULES: [Rule; 6] = [
    |case| Some(flowering::find(case)),
    frost::find,
    cold::find,
    heat::find,
    wet::find,
    working::find,
];

/// What all rules find on one cut.
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    RULES.iter().filter_map(|rule| rule(case)).collect()
}

impl Finding {
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
        let of_weather = matches!(
            self.facts,
            Facts::Heat(_)
                | Facts::Wetness(_)
                | Facts::FreshCutCold(_)
                | Facts::WorkingConditions(_)
        );
        of_weather && self.stand == Stand::Clear { until: None }
    }

    /// Whether it holds a cut for a few days of heat, wet or frozen wood, of which a mail would come too often. Severe
    /// cold is none of these: it does harm to what was cut the day before.
    pub fn is_passing_weather(&self, today: NaiveDate) -> bool {
        let passes = match &self.facts {
            Facts::Heat(_) | Facts::Wetness(_) | Facts::WorkingConditions(_) => true,
            Facts::FreshCutCold(facts) => facts.severe.is_none() && facts.fall.is_none(),
            Facts::FrostWhileTender(_) | Facts::FloweringWood(_) => false,
        };
        let soon = |range: DateRange| (range.to - today).num_days() <= PASSING_DAYS;
        passes && self.stand.opens().is_some_and(soon)
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
