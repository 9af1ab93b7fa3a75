//! How a source stands: when it was heard last, how old its data are, whether it is silent.
//!
//! In: what the store has of it. Out: a value to show. Does not judge whether it is fresh.

use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::Serialize;

/// How a source of forecasts stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SourceState {
    /// The source, as [`super::Forecast::source`] has it.
    pub source: String,
    /// The forecast that it gave last; none when it never gave one.
    pub heard: Option<Heard>,
    /// How many hours old its data may be and still support a go.
    pub fresh_for_hours: i64,
    /// Since when it does not answer, if it does not.
    pub silent_since: Option<DateTime<Utc>>,
    /// Whether it is out of step with the others, and left out.
    pub is_odd: bool,
}

/// A forecast that was heard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Heard {
    /// When it was fetched.
    pub fetched_at: DateTime<Utc>,
    /// When its data were made.
    pub data_at: DateTime<Utc>,
    /// The credit that the source asks for.
    pub attribution: String,
}
