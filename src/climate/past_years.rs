//! A record and the climate that it makes, which is worked out once, when somebody first asks for it.

use std::sync::OnceLock;

use super::{Climate, DailyRecord};

/// The past years of a place.
#[derive(Debug)]
pub struct PastYears {
    record: DailyRecord,
    climate: OnceLock<Option<Climate>>,
}

impl PastYears {
    /// Those of a record.
    pub const fn of(record: DailyRecord) -> Self {
        Self {
            record,
            climate: OnceLock::new(),
        }
    }

    /// The days as they were recorded.
    pub const fn record(&self) -> &DailyRecord {
        &self.record
    }

    /// What the place usually does; none when the record has too few usable years.
    pub fn climate(&self) -> Option<&Climate> {
        let climate = self.climate.get_or_init(|| Climate::of(&self.record));
        climate.as_ref()
    }
}
