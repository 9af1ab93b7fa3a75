//! What the place usually does: daily records, seasonal normals, anomalies, dates of the last and the first freeze.
//!
//! In: the text of a station record, a table of days or an archive reply. Out: a [`DailyRecord`] with its gaps, and the [`Climate`]
//! that is computed from it. Does not fetch anything and does not know today's weather.

pub mod archive;
mod calendar;
mod cells;
mod detect;
mod fill;
pub mod freeze;
pub mod ghcn;
pub mod ghcn_csv;
mod harmonics;
mod normals;
mod past_years;
pub mod plain_csv;
mod readings;
mod record;
mod site;
mod years;

pub use calendar::Calendar;
pub use detect::read_record;
pub use normals::{Climate, Normals, Season, YEARS_MIN};
pub use past_years::PastYears;
pub use record::{DailyRecord, DayExtremes, RecordError};
pub use site::{FromHere, Site};
pub use years::YEARS_USED;
