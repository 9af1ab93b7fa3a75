//! Official warnings of frost and freeze.

use chrono::Days;
use serde::{Deserialize, Serialize};

use super::{Case, Facts, Finding, Stand};
use crate::forecast::LocalWarning;
use crate::risk::DateRange;

const SOURCE: &str =
    "the weather service's own alerts, in the Common Alerting Protocol (OASIS, version 1.2, 2010)";

/// The warnings behind a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WarnedFacts {
    /// Those in force or to come, the first to begin first; one at the least.
    pub warnings: Vec<LocalWarning>,
}

/// Holds a cut that leaves something tender until the day after the last warned cold. It never releases one: offices
/// warn of the season's first freezes only, or of some places only, so no warning says nothing.
pub(super) fn find(case: &Case<'_>) -> Option<Finding> {
    case.cut.cut.tender.as_ref()?;
    let last = case.warnings.iter().map(|one| one.until.date()).max()?;
    let after = last.max(case.today).checked_add_days(Days::new(1));
    Some(Finding {
        stand: Stand::Hold {
            opens: after.map(|day| DateRange { from: day, to: day }),
        },
        facts: Facts::OfficialWarning(WarnedFacts {
            warnings: case.warnings.to_vec(),
        }),
        source: SOURCE.to_owned(),
    })
}
