//! Windows: when a cut's window is open, and when that changed.
//!
//! In: verdicts, one a day. Out: the [`Change`]s. Does not judge them.

use chrono::NaiveDate;
use serde::Serialize;

use crate::rules::{Finding, Stand};
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
    matches!(finding.stand, Stand::Hold { .. }) && !finding.facts.is_of_the_weeks_weather()
}
