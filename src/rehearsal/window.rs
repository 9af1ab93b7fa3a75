//! Windows: when a cut's window is open, and when that changed.
//!
//! In: verdicts, one a day. Out: the [`Change`]s. Does not judge them.

use chrono::NaiveDate;
use serde::Serialize;

use crate::rules::{Facts, Finding, Stand};
use crate::verdict::{State, Verdict};

/// A window opened or shut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// The day.
    pub date: NaiveDate,
    /// Whether it opened.
    pub open: bool,
    /// The chief reason, in words.
    pub why: String,
}

/// Whether the window of a cut is open: the season and the frost allow it, and no rule of the plant is against it. A day
/// that is too wet, hot, cold or rough to work in is no end of a window. None when the program does not know.
pub fn is_open(verdict: &Verdict) -> Option<bool> {
    match verdict.state {
        State::Go | State::Closing => Some(true),
        State::Closed | State::CallAPro => Some(false),
        State::Unknown => None,
        State::Wait => Some(!verdict.findings.iter().any(shuts)),
    }
}

/// Whether a finding holds the cut by more than the weather to work in.
fn shuts(finding: &Finding) -> bool {
    matches!(finding.stand, Stand::Hold { .. }) && !is_of_weather(&finding.facts)
}

const fn is_of_weather(facts: &Facts) -> bool {
    match facts {
        Facts::Heat(_)
        | Facts::Wetness(_)
        | Facts::FreshCutCold(_)
        | Facts::WorkingConditions(_) => true,
        Facts::FrostWhileTender(_)
        | Facts::FloweringWood(_)
        | Facts::Dormancy(_)
        | Facts::ClosedSeason(_)
        | Facts::Sap(_)
        | Facts::Stems(_)
        | Facts::Nesting(_)
        | Facts::Pacing(_)
        | Facts::BareWood(_)
        | Facts::Professional(_)
        | Facts::Storm(_)
        | Facts::OfficialWarning(_)
        | Facts::Sources(_) => false,
    }
}
