//! The status as JSON: the snapshot and the program's own figures.

use chrono::{DateTime, Utc};
use serde::Serialize;

use super::Snapshot;
use crate::garden::zone_data_version;

/// The reply of `/status`; temperatures in °C, times in UTC.
#[derive(Debug, Serialize)]
pub(super) struct Status<'a> {
    version: &'static str,
    zone_data: &'static str,
    now: DateTime<Utc>,
    #[serde(flatten)]
    snapshot: &'a Snapshot,
}

pub(super) fn status(snapshot: &Snapshot, now: DateTime<Utc>) -> Status<'_> {
    Status {
        version: env!("CARGO_PKG_VERSION"),
        zone_data: zone_data_version(),
        now,
        snapshot,
    }
}
