//! What can be believed among its neighbours: no spike, no stuck sensor.

use chrono::TimeDelta;

use super::{Reading, Refusal, Refused};

/// A reading further than this from the middle of its neighbours, in kelvin, is a spike: air does not step by 10 K
/// within 10 minutes (common practice, no source).
const SPIKE: f64 = 10.0;

/// Neighbours on each side that a reading is held against, and how far off they may be.
const NEIGHBOURS: usize = 2;
const NEAR: TimeDelta = TimeDelta::minutes(30);

/// The same value for longer than this is a stuck sensor (common practice, no source).
const STUCK: TimeDelta = TimeDelta::hours(6);

/// A pause longer than this ends a run of equal values: nothing says that it stood still meanwhile.
const PAUSE: TimeDelta = TimeDelta::hours(2);

/// So few equal readings can happen by chance however far apart they are.
const STUCK_READINGS: usize = 6;

/// Readings that can be believed, in order of time, and how many cannot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Screened {
    /// Those to use.
    pub readings: Vec<Reading>,
    /// The others.
    pub refused: Refused,
}

/// Takes out duplicates, spikes and runs of a stuck sensor, in whatever order the readings come.
///
/// A reading is a spike by its distance to the median of its neighbours (Hampel, J. Am. Stat. Assoc. 69, 1974, the
/// median as the robust centre), so that a wrong one cannot make its true neighbours look wrong.
pub fn screen(readings: &[Reading]) -> Screened {
    let mut sorted = readings.to_vec();
    sorted.sort_by_key(|reading| reading.at);
    let mut refused = Refused::default();
    let given = sorted.len();
    sorted.dedup_by_key(|reading| reading.at);
    refused.add(Refusal::Duplicate, given - sorted.len());
    let calm: Vec<Reading> = (0..sorted.len())
        .filter(|index| !is_spike(&sorted, *index))
        .filter_map(|index| sorted.get(index).copied())
        .collect();
    refused.add(Refusal::Spike, sorted.len() - calm.len());
    let moving: Vec<Reading> = calm
        .chunk_by(is_same)
        .filter(|run| !is_stuck(run))
        .flatten()
        .copied()
        .collect();
    refused.add(Refusal::Stuck, calm.len() - moving.len());
    Screened {
        readings: moving,
        refused,
    }
}

fn is_spike(sorted: &[Reading], index: usize) -> bool {
    let Some(reading) = sorted.get(index) else {
        return false;
    };
    let around = index.saturating_sub(NEIGHBOURS)..(index + NEIGHBOURS + 1).min(sorted.len());
    let mut near: Vec<f64> = sorted
        .get(around)
        .unwrap_or_default()
        .iter()
        .filter(|other| (other.at - reading.at).abs() <= NEAR)
        .map(|other| other.temperature.degrees())
        .collect();
    near.sort_by(f64::total_cmp);
    // Of two, nothing says which is wrong.
    near.len() > 2
        && near
            .get(near.len() / 2)
            .is_some_and(|middle| (reading.temperature.degrees() - middle).abs() > SPIKE)
}

fn is_same(one: &Reading, next: &Reading) -> bool {
    let hundredths = |reading: &Reading| (reading.temperature.degrees() * 100.0).round();
    next.at - one.at <= PAUSE && hundredths(one).total_cmp(&hundredths(next)).is_eq()
}

fn is_stuck(run: &[Reading]) -> bool {
    let length = run
        .first()
        .zip(run.last())
        .map(|(first, last)| last.at - first.at);
    run.len() >= STUCK_READINGS && length.is_some_and(|length| length > STUCK)
}
