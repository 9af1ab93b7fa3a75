//! Official warnings of frost and freeze, beside every forecast.

use chrono::{DateTime, NaiveDateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::garden::Zone;

/// One official warning that concerns the place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FrostWarning {
    /// Its name, such as Freeze Warning.
    pub event: String,
    /// Who gave it.
    pub sender: String,
    /// The sender's own headline.
    pub headline: String,
    /// When the cold begins.
    pub onset: DateTime<Utc>,
    /// When the cold ends.
    pub ends: DateTime<Utc>,
}

/// The same on the local clock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LocalWarning {
    /// Its name, such as Freeze Warning.
    pub event: String,
    /// Who gave it.
    pub sender: String,
    /// The sender's own headline.
    pub headline: String,
    /// When the cold begins.
    pub from: NaiveDateTime,
    /// When the cold ends.
    pub until: NaiveDateTime,
}

/// The warnings whose cold has not ended at `now`, the first to begin first.
pub fn local_warnings(
    warnings: &[FrostWarning],
    zone: &Zone,
    now: DateTime<Utc>,
) -> Vec<LocalWarning> {
    let standing = warnings.iter().filter(|one| one.ends > now);
    let mut local: Vec<LocalWarning> = standing
        .map(|one| LocalWarning {
            event: one.event.clone(),
            sender: one.sender.clone(),
            headline: one.headline.clone(),
            from: zone.local(one.onset),
            until: zone.local(one.ends),
        })
        .collect();
    // The same warning by two sources is one.
    local.sort_by(|a, b| {
        let key = |one: &LocalWarning| (one.from, one.until);
        (key(a), &a.event, &a.sender).cmp(&(key(b), &b.event, &b.sender))
    });
    local.dedup();
    local
}
