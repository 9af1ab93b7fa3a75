//! The status as JSON: the snapshot and the program's own figures.
//!
//! In: the snapshot. Out: its JSON, written once for each snapshot. Computes nothing: ages are those of the look.

use std::sync::{Arc, Mutex, PoisonError};

use schemars::JsonSchema;
use serde::Serialize;

use super::Snapshot;
use super::reply::Tagged;
use crate::garden::zone_data_version;

/// The reply of `/status`; temperatures in °C, times in UTC, ages as they were at the look.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Status<'a> {
    /// The program's version.
    version: &'static str,
    /// The release of the time zone rules that are built in.
    zone_data: &'static str,
    #[serde(flatten)]
    snapshot: &'a Snapshot,
}

/// The newest status as it was written, with the snapshot that it shows.
#[derive(Debug, Default)]
pub(super) struct Written(Mutex<Option<(Arc<Snapshot>, Tagged)>>);

impl Written {
    /// The status of a snapshot, written anew where it shows another one.
    ///
    /// # Errors
    /// When a value has no JSON.
    pub(super) fn of(&self, snapshot: &Arc<Snapshot>) -> std::io::Result<Tagged> {
        let mut written = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((shown, status)) = &*written
            && Arc::ptr_eq(shown, snapshot)
        {
            return Ok(status.clone());
        }
        let status = serde_json::to_vec(&Status {
            version: env!("CARGO_PKG_VERSION"),
            zone_data: zone_data_version(),
            snapshot,
        })?;
        let status = Tagged::packed(status)?;
        *written = Some((Arc::clone(snapshot), status.clone()));
        Ok(status)
    }
}
