//! What each look left for the next one to stand on.

use rusqlite::params;

use super::columns::{Json, execute};
use super::engine::{self, Optional as _, Transaction};
use super::{Store, StoreError};
use crate::verdict::{Footing, Verdict};

impl Store {
    /// What the last round left of each cut; after a round of an older program its verdicts tell.
    ///
    /// # Errors
    /// When the store cannot be read, or what was left cannot be understood by this program.
    pub fn footing(&self, garden: &str) -> Result<Vec<Footing>, StoreError> {
        let left = self.read("what the last look left", |conn| {
            conn.prepare_cached("SELECT cuts FROM footing WHERE garden = ?1")?
                .query_row([garden], |row| row.get(0).map(|Json(cuts)| cuts))
                .optional()
        })?;
        match left {
            Some(cuts) => Ok(cuts),
            None => Ok(Footing::from_all(&self.verdicts(garden)?)),
        }
    }
}

/// Keeps what the verdicts of a round leave, in place of that of the round before.
pub(super) fn keep(
    change: &Transaction<'_>,
    garden: &str,
    verdicts: &[Verdict],
) -> engine::Result<()> {
    let statement = "INSERT INTO footing (garden, cuts) VALUES (?1, ?2)
         ON CONFLICT (garden) DO UPDATE SET cuts = excluded.cuts";
    let cuts = Json(Footing::from_all(verdicts));
    execute(change, statement, params![garden, cuts]).map(|_| ())
}
