//! What may come in: each reading on its own, before anything is known of its neighbours.

use std::ops::RangeInclusive;

use chrono::{DateTime, TimeDelta, Utc};

use super::{Reading, Refusal, Refused};
use crate::units::Celsius;

/// What air over a garden can be, in °C (bounds of the project for station files; common practice, no source).
const BELIEVED: RangeInclusive<f64> = -60.0..=60.0;

/// The clock of a station may run so much ahead (estimate).
const AHEAD: TimeDelta = TimeDelta::minutes(10);

/// Readings that came in, and how many did not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Admitted {
    /// Those to keep, as they came.
    pub readings: Vec<Reading>,
    /// The others.
    pub refused: Refused,
}

/// Lets in what is in range and not from a time to come.
///
/// A reading of the future would take the place of the true one of its moment when that comes.
pub fn admit(
    given: impl IntoIterator<Item = Result<Reading, Refusal>>,
    now: DateTime<Utc>,
) -> Admitted {
    let mut admitted = Admitted::default();
    for reading in given {
        match reading.and_then(|reading| believed(reading, now)) {
            Ok(reading) => admitted.readings.push(reading),
            Err(why) => admitted.refused.add(why, 1),
        }
    }
    admitted
}

fn believed(reading: Reading, now: DateTime<Utc>) -> Result<Reading, Refusal> {
    if !BELIEVED.contains(&Celsius::degrees(reading.temperature)) {
        Err(Refusal::OutOfRange)
    } else if reading.at > now + AHEAD {
        Err(Refusal::Future)
    } else {
        Ok(reading)
    }
}
