//! Reasons to hold a cut: one file each, one roster.
//!
//! In: a [`Case`], one planned cut with what is known of it today. Out: one [`Finding`] from each rule.
//! Does not fold them: a rule does not know the other rules; folding is the work of [`crate::verdict`].

mod flowering;
mod frost;
mod season;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::climate::Climate;
use crate::events::Events;
use crate::garden::{Hemisphere, PlannedCut};
use crate::outlook::Missing;
use crate::risk::{DateRange, Release, Risk};

pub use flowering::FloweringFacts;
pub use frost::{FrostFacts, Least};
pub use season::Anchored;

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
}

/// A rule: from a case to its finding; none when it has nothing to do with the cut.
type Rule = fn(&Case<'_>) -> Option<Finding>;

/// Every rule, in the order in which reasons are shown.
const RULES: [Rule; 2] = [|case| Some(flowering::find(case)), frost::find];

/// What all rules find on one cut.
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    RULES.iter().filter_map(|rule| rule(case)).collect()
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
