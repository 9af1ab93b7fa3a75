//! Heat sums: the day on which each run of a season has gathered so much heat.
//!
//! The heat of a day is the mean of its extremes less the base, and nothing below it
//! ([`crate::science::degree_days::simple_average`]), summed from the first day of the season on, as the phenology lists
//! of Ohio State University do. Kinds with the same base share one pass over the futures.

use super::season::{Season, Usual};
use super::tally::{Spread, Tally};
use crate::almanac::{HardyZones, HeatMethod, HeatSum, Kind};
use crate::forecast::Extremes;
use crate::science::degree_days::{Thresholds, simple_average};
use crate::units::{Celsius, DegreeDays};

/// Published sums are counted where the warmest daily mean of the usual year is so many kelvin above the coldest.
///
/// The sums come from Ohio, with 26 K between January and July. By the sea, where spring is long and cool, they are
/// reached weeks after the bloom (81 °F·d above 50 °F: 15 May in Cambridge, 6 June in North Yorkshire, where forsythia
/// flowers in March); where winter is mild, far before it (4 January in Córdoba). The limit is an estimate.
pub const SWING_MIN: f64 = 20.0;

/// Why a published sum is not counted at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SumError {
    /// The kind does not winter there, so nobody counted it in such a winter.
    NotHardy,
    /// The year swings too little.
    Oceanic,
}

/// The sums above one base that are asked for, and the day of each in each season.
#[derive(Debug, Clone)]
pub(super) struct HeatPass {
    base: Celsius,
    /// Ascending.
    sums: Vec<f64>,
    /// By season, in the order in which they were given.
    days: Vec<Vec<Option<Spread>>>,
}

impl HeatPass {
    /// The days of some sums above a base.
    pub(super) fn of(base: Celsius, mut sums: Vec<f64>, seasons: &[&Season<'_>]) -> Self {
        sums.sort_by(f64::total_cmp);
        sums.dedup_by(|a, b| a.total_cmp(b).is_eq());
        Self {
            base,
            days: seasons
                .iter()
                .map(|season| days(season, base, &sums))
                .collect(),
            sums,
        }
    }

    /// The day of a sum in a season, by its position; none when it is not reached.
    pub(super) fn day(&self, base: Celsius, sum: f64, season: usize) -> Option<Spread> {
        if self.base != base {
            return None;
        }
        let at = self.sums.binary_search_by(|one| one.total_cmp(&sum)).ok()?;
        self.days.get(season)?.get(at).copied().flatten()
    }
}

/// Whether the published sums of a kind are counted at a place.
pub(super) fn is_counted(zones: HardyZones, zone: f64, swing: f64) -> Result<(), SumError> {
    if zone < f64::from(zones.coldest) || zone >= f64::from(zones.warmest) + 1.0 {
        return Err(SumError::NotHardy);
    }
    if swing < SWING_MIN {
        return Err(SumError::Oceanic);
    }
    Ok(())
}

/// The sums of kinds that are counted by one base.
pub(super) fn sums_above<'a>(
    base: Celsius,
    kinds: impl Iterator<Item = &'a Kind>,
) -> impl Iterator<Item = f64> {
    let sums = kinds.flat_map(|kind| &kind.heat);
    let of_base = sums.filter(move |sum| sum.base == base && is_mean(sum));
    of_base.map(|sum| sum.sum.sum())
}

const fn is_mean(sum: &HeatSum) -> bool {
    match sum.method {
        HeatMethod::MeanFloored => true,
    }
}

/// The heat of a day.
pub(super) fn heat_of(min: Celsius, max: Celsius, base: Celsius) -> f64 {
    let thresholds = Thresholds {
        lower: base,
        upper: None,
    };
    simple_average(min, max, thresholds).map_or(0.0, DegreeDays::sum)
}

/// The heat that past years have gathered by the end of each day of a season, in the mean.
pub(super) fn usual_sums(usual: &Usual, base: Celsius) -> Vec<f64> {
    let years = crate::units::count(usual.years.len().max(1));
    let days = usual.years.first().map_or(0, Vec::len);
    let mut sum = 0.0;
    (0..days)
        .map(|day| {
            let of_year = |year: &Vec<Extremes>| {
                year.get(day)
                    .map_or(0.0, |(min, max)| heat_of(*min, *max, base))
            };
            sum += usual.years.iter().map(of_year).sum::<f64>() / years;
            sum
        })
        .collect()
}

/// A sum as it grows, and how many of the sums asked for it has reached.
#[derive(Clone, Copy)]
struct Growing {
    sum: f64,
    reached: usize,
}

impl Growing {
    /// Adds the heat of days; tells of each sum that is reached its position and the day.
    fn add(
        &mut self,
        days: impl Iterator<Item = f64>,
        sums: &[f64],
        mut reach: impl FnMut(usize, usize),
    ) {
        for (day, heat) in days.enumerate() {
            self.sum += heat;
            while sums.get(self.reached).is_some_and(|sum| *sum <= self.sum) {
                reach(self.reached, day);
                self.reached += 1;
            }
            if self.reached == sums.len() {
                return;
            }
        }
    }
}

/// The day on which each of some ascending sums is reached in a season.
fn days(season: &Season<'_>, base: Celsius, sums: &[f64]) -> Vec<Option<Spread>> {
    let mut tallies = vec![Tally::new(); sums.len()];
    let mut tell = |at: usize, day: usize, runs: usize| {
        if let Some(tally) = tallies.get_mut(at) {
            tally.add(day, runs);
        }
    };
    // The days before today are walked once for each way they may have gone, not once for each run.
    let (ways, runs) = (season.ways().max(1), season.len());
    let mut grown: Vec<Growing> = Vec::with_capacity(ways);
    for (way, run) in season.runs().take(ways).enumerate() {
        let sharing = (runs + ways - 1 - way) / ways;
        let mut growing = Growing {
            sum: 0.0,
            reached: 0,
        };
        let heat = run.past.iter().map(|(min, max)| heat_of(*min, *max, base));
        growing.add(heat, sums, |at, day| tell(at, day, sharing));
        grown.push(growing);
    }
    for (run, from) in season.runs().zip(grown.iter().cycle()) {
        let mut growing = *from;
        let heat = run.min.iter().zip(run.max);
        let heat = heat.map(|(min, max)| heat_of(*min, *max, base));
        growing.add(heat, sums, |at, day| tell(at, run.past.len() + day, 1));
    }
    tallies.iter().map(|tally| tally.spread(runs)).collect()
}
