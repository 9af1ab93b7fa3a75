//! The heat of a season beside that of past years: what has come, what the futures bring, what is usual.
//!
//! In: the ground of a place. Out: a [`HeatYear`], running sums small enough to keep and to draw. Does not know plants.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::heat::heat_of;
use super::months::Months;
use super::season::{SEASON_DAYS, Season, Usual, day_of};
use super::{Counted, Ground};
use crate::forecast::Extremes;
use crate::science::degree_days::GROWTH_BASE;
use crate::units::{Celsius, DegreeDays, count};

/// Sums are kept every so many days.
pub const STEP_DAYS: usize = 5;

/// The shares of the years or futures at which a sum is named.
const SHARES: [f64; 3] = [0.10, 0.50, 0.90];

/// A sum below which 10, 50 and 90 of 100 years or futures lie.
pub type HeatBand = [DegreeDays; 3];

/// The running heat sums of a season, every [`STEP_DAYS`] days from its first one on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeatYear {
    /// The first day of the season.
    pub start: NaiveDate,
    /// The base above which heat is counted.
    pub base: Celsius,
    /// Which days before today are measured; past years stand in for the others.
    pub counted: Counted,
    /// The sums of past years by the end of the day `start`, `start + 5` and so on.
    pub usual: Vec<HeatBand>,
    /// The sums of this season by the same days, over all ways in which its days may have gone and may go on.
    pub this: Vec<HeatBand>,
}

impl HeatYear {
    /// The season at hand of a place; none without past years or futures.
    pub fn of(ground: &Ground<'_>) -> Option<Self> {
        let months = Months {
            calendar: None,
            hemisphere: ground.hemisphere,
        };
        let start = months.start(months.year_of(ground.outlook.basis.today));
        let usual = Usual::of(ground.climate?, start);
        if ground.outlook.futures.is_empty() {
            return None;
        }
        let end = day_of(start, SEASON_DAYS);
        let season = Season::of((start, end), ground.outlook, ground.measured, &usual);
        let of_year = |year: &Vec<Extremes>| sums(year.iter().copied());
        let runs = season.runs().map(|run| {
            let days = (0..SEASON_DAYS).map_while(|day| Some((run.min(day)?, run.max(day)?)));
            sums(days)
        });
        Some(Self {
            start,
            base: GROWTH_BASE,
            counted: season.counted,
            usual: bands(&usual.years.iter().map(of_year).collect::<Vec<_>>()),
            this: bands(&runs.collect::<Vec<_>>()),
        })
    }

    /// The sum of this season by the end of a day, interpolated; none outside of it.
    pub fn by(&self, day: NaiveDate) -> Option<HeatBand> {
        between(&self.this, (day - self.start).num_days())
    }

    /// The usual sum by the end of a day, likewise.
    pub fn usual_by(&self, day: NaiveDate) -> Option<HeatBand> {
        between(&self.usual, (day - self.start).num_days())
    }
}

/// The running sums of a run of days at the steps.
fn sums(days: impl Iterator<Item = Extremes>) -> Vec<f64> {
    let mut sum = 0.0;
    let running = days.map(|(min, max)| {
        sum += heat_of(min, max, GROWTH_BASE);
        sum
    });
    running.step_by(STEP_DAYS).collect()
}

/// The bands over several runs, as far as all of them go.
fn bands(runs: &[Vec<f64>]) -> Vec<HeatBand> {
    let steps = runs.iter().map(Vec::len).min().unwrap_or(0);
    let band = |step: usize| {
        let mut sums: Vec<f64> = runs
            .iter()
            .filter_map(|run| run.get(step).copied())
            .collect();
        sums.sort_by(f64::total_cmp);
        SHARES.map(|share| {
            let reached = |index: &usize| count(index + 1) >= share * count(sums.len());
            let index = (0..sums.len()).find(reached).unwrap_or(0);
            DegreeDays::new(sums.get(index).copied().unwrap_or_default().round())
        })
    };
    (0..steps).map(band).collect()
}

/// The band of a day between two steps.
fn between(bands: &[HeatBand], day: i64) -> Option<HeatBand> {
    let day = usize::try_from(day).ok()?;
    let before = bands.get(day / STEP_DAYS)?;
    let after = bands.get(day / STEP_DAYS + 1).unwrap_or(before);
    let share = count(day % STEP_DAYS) / count(STEP_DAYS);
    let mix =
        |(a, b): (&DegreeDays, &DegreeDays)| DegreeDays::new(a.sum() + share * (b.sum() - a.sum()));
    let mut mixed = before.iter().zip(after).map(mix);
    Some([mixed.next()?, mixed.next()?, mixed.next()?])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_kept_every_fifth_day() {
        // A day from 10 to 20 °C has ten degrees above 5 °C.
        let days = std::iter::repeat_n((Celsius::new(10.0), Celsius::new(20.0)), 11);
        assert_eq!(sums(days), [10.0, 60.0, 110.0]);
    }

    #[test]
    fn a_band_holds_eight_in_ten() {
        let runs: Vec<_> = (1..=10).map(|n| vec![f64::from(n)]).collect();
        assert_eq!(bands(&runs), [[1.0, 5.0, 9.0].map(DegreeDays::new)]);
    }

    #[test]
    fn days_between_the_steps_are_interpolated() {
        let bands = [[0.0, 0.0, 0.0], [10.0, 20.0, 30.0]].map(|band| band.map(DegreeDays::new));
        let at = between(&bands, 2).unwrap();
        assert_eq!(at, [4.0, 8.0, 12.0].map(DegreeDays::new));
        assert_eq!(between(&bands, 11), None);
        assert_eq!(between(&bands, -1), None);
    }
}
