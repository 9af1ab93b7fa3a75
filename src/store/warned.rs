//! The official warnings of frost and freeze as each source gave them last.

use chrono::{DateTime, Utc};
use rusqlite::params;

use super::columns::{At, Json, execute};
use super::engine::{self, Optional as _};
use super::{Store, StoreError};
use crate::forecast::FrostWarning;

impl Store {
    /// Keeps the warnings that a source gives at a moment; tells whether they are others than before.
    ///
    /// # Errors
    /// When the store cannot be written; those before stay.
    pub fn save_warnings(
        &mut self,
        garden: &str,
        source: &str,
        warnings: &[FrostWarning],
        at: DateTime<Utc>,
    ) -> Result<bool, StoreError> {
        self.write("the official warnings", |change| {
            let before: Option<Json<Vec<FrostWarning>>> = change
                .query_row(
                    "SELECT warnings FROM warned WHERE garden = ?1 AND source = ?2",
                    [garden, source],
                    |row| row.get(0),
                )
                .optional()?;
            let before = before.map_or_else(Vec::new, |Json(warnings)| warnings);
            execute(
                change,
                "INSERT INTO warned (garden, source, heard_at, warnings) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (garden, source) DO UPDATE SET heard_at = excluded.heard_at,
                     warnings = excluded.warnings",
                params![garden, source, At(at), Json(warnings)],
            )?;
            Ok(before != warnings)
        })
    }

    /// The warnings that were known of a garden at a moment, by whichever source; they stand until their cold has
    /// ended, even if the source has not been heard since.
    ///
    /// # Errors
    /// When the store cannot be read, or they cannot be understood by this program.
    pub fn warnings(
        &self,
        garden: &str,
        at: DateTime<Utc>,
    ) -> Result<Vec<FrostWarning>, StoreError> {
        self.read("the official warnings", |conn| {
            let by_source: Vec<Vec<FrostWarning>> = conn
                .prepare_cached(
                    "SELECT warnings FROM warned WHERE garden = ?1 AND heard_at <= ?2 ORDER BY source",
                )?
                .query_map(params![garden, At(at)], |row| {
                    row.get(0).map(|Json(warnings)| warnings)
                })?
                .collect::<engine::Result<_>>()?;
            let mut warnings = by_source.concat();
            warnings.retain(|warning| warning.ends > at);
            Ok(warnings)
        })
    }
}
