//! Heat sums: the day on which each run of a season has gathered so much heat.
//!
//! The heat of a day is the mean of its extremes less the base, and nothing below it
//! ([`crate::science::degree_days::simple_average`]), summed from the first day of the season on, as the phenology lists
//! of Ohio State University do. Kinds with the same base share one pass over the futures.
//!
//! The sums that are looked up are the very numbers that were counted, so that they are found bit by bit.

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
/// flowers in March); where winter is mild, before it (28 January in Tunis). The limit is an estimate.
pub const SWING_MIN: f64 = 20.0;

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

    /// Whether a sum above a base is one of those that were asked for.
    pub(super) fn has(&self, base: Celsius, sum: f64) -> bool {
        self.base == base && self.place(sum).is_some()
    }

    /// The day of a sum in a season, by its position; none when it is not reached.
    pub(super) fn day(&self, sum: f64, season: usize) -> Option<Spread> {
        self.days
            .get(season)?
            .get(self.place(sum)?)
            .copied()
            .flatten()
    }

    fn place(&self, sum: f64) -> Option<usize> {
        let is_it = |one: &f64| one.total_cmp(&sum);
        self.sums.binary_search_by(is_it).ok()
    }
}

/// Whether the published sums of a kind are counted at a place: it winters there, and the year swings enough.
pub(super) fn is_counted(zones: HardyZones, zone: f64, swing: f64) -> bool {
    let winters = f64::from(zones.coldest) <= zone && zone < f64::from(zones.warmest) + 1.0;
    winters && swing >= SWING_MIN
}

/// The sums of kinds that are counted by one base.
pub(super) fn sums_above(base: Celsius, kinds: &[&Kind]) -> impl Iterator<Item = f64> {
    let sums = kinds.iter().flat_map(|kind| &kind.heat);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_counted_where_they_were_made() {
        let zones = HardyZones {
            coldest: 4,
            warmest: 8,
        };
        assert!(is_counted(zones, 4.0, 25.0) && is_counted(zones, 8.9, SWING_MIN));
        assert!(!is_counted(zones, 3.9, 25.0) && !is_counted(zones, 9.0, 25.0));
        assert!(!is_counted(zones, 6.0, 19.9));
    }

    #[test]
    fn a_day_below_the_base_takes_nothing_off() {
        let base = Celsius::new(10.0);
        let days = [(2.0, 14.0), (4.0, 24.0), (10.0, 10.0), (8.0, 14.0)];
        let heat = days.map(|(min, max)| heat_of(Celsius::new(min), Celsius::new(max), base));
        assert_eq!(
            heat.map(|heat| format!("{heat:.1}")),
            ["0.0", "4.0", "0.0", "1.0"]
        );
    }

    #[test]
    fn each_sum_is_reached_on_its_day() {
        let mut reached = Vec::new();
        let mut growing = Growing {
            sum: 0.0,
            reached: 0,
        };
        let days = [1.0, 0.0, 5.0, 1.0];
        growing.add(days.into_iter(), &[1.0, 2.0, 6.0, 9.0], |sum, day| {
            reached.push((sum, day));
        });
        assert_eq!(reached, [(0, 0), (1, 2), (2, 2)]);
    }
}
