//! The sum over all futures: in how many does frost catch the cut.

use std::collections::{BTreeMap, VecDeque};

use chrono::NaiveDate;
use statrs::distribution::{ContinuousCDF, Normal};

use super::Spread;
use super::period::{Nights, Phase, phases};
use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::{Basis, Future, Outlook};
use crate::units::{Celsius, CelsiusStep, Chance, count};

/// Excesses further than this many standard deviations from zero are decided; Φ(-8) is below 1e-15.
const DECIDED: f64 = 8.0;

/// The summed futures.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FrostSum {
    pub(super) curve: Vec<Chance>,
    pub(super) firm_by: Option<Spread>,
    pub(super) first_hit: Option<(NaiveDate, Chance)>,
    pub(super) near_night: Chance,
}

impl FrostSum {
    /// For each cutting day D the mean over the futures of Φ(-M/σ), with M the smallest excess of a tender night over
    /// the damaging temperature and σ the doubt about the spot, which all nights share and which therefore is added
    /// after the minimum was taken. With σ = 0 it is the share of futures with M <= 0.
    pub(super) fn of(outlook: &Outlook, tender: &Tender, spot: &Spot) -> Self {
        let cut_days = outlook.days().min(outlook.horizon.cut_days);
        let doubt = Doubt::of(doubt_of(outlook, spot));
        let mut sums = vec![0.0; cut_days];
        let mut first_cut = FirstCut::default();
        for future in &outlook.futures {
            let phases = phases(future, tender, outlook.midwinter, cut_days);
            let mut smallest = vec![f64::INFINITY; cut_days];
            for phase in &phases {
                for (smallest, coldest) in smallest
                    .iter_mut()
                    .zip(window_minima(&future.min, &phase.nights))
                {
                    *smallest = smallest.min(excess_over(coldest, spot.offset, phase.damage_at));
                }
            }
            for (sum, excess) in sums.iter_mut().zip(&smallest) {
                *sum += doubt.chance(*excess);
            }
            first_cut.note(future, &phases, spot.offset);
        }
        let weight = outlook.basis.weight();
        Self {
            curve: sums
                .into_iter()
                .map(|sum| Chance::of(sum * weight))
                .collect(),
            firm_by: first_cut.firm_by(&outlook.basis),
            first_hit: first_cut.first_hit(&outlook.basis),
            near_night: first_cut.near_night(&outlook.basis),
        }
    }
}

/// Fewer past years than this know a place to a kelvin at best.
const FEW_YEARS: usize = 10;

/// The doubt about a spot: its own, and with few past years at least a kelvin (estimate).
fn doubt_of(outlook: &Outlook, spot: &Spot) -> CelsiusStep {
    if outlook.basis.years < FEW_YEARS {
        CelsiusStep::new(spot.doubt.kelvin().max(1.0))
    } else {
        spot.doubt
    }
}

/// The doubt about a spot's offset as a law of chance.
struct Doubt {
    kelvin: f64,
    law: Normal,
}

impl Doubt {
    fn of(doubt: CelsiusStep) -> Self {
        Self {
            kelvin: doubt.kelvin(),
            law: Normal::standard(),
        }
    }

    /// The chance that an excess of so many kelvin is in truth none.
    fn chance(&self, excess: f64) -> f64 {
        if excess.abs() >= DECIDED * self.kelvin {
            return if excess <= 0.0 { 1.0 } else { 0.0 };
        }
        self.law.cdf(-excess / self.kelvin)
    }
}

/// By how many kelvin a night stays above the damaging temperature; infinite where there is no night.
fn excess_over(coldest: Option<Celsius>, offset: CelsiusStep, damage_at: Celsius) -> f64 {
    coldest.map_or(f64::INFINITY, |night| {
        ((night + offset) - damage_at).kelvin()
    })
}

/// The coldest night of each window; the bounds of the windows never move back, so each night is looked at twice.
fn window_minima(nights: &[Celsius], windows: &[Nights]) -> Vec<Option<Celsius>> {
    let mut rising: VecDeque<(usize, Celsius)> = VecDeque::new();
    let mut next = 0;
    windows
        .iter()
        .map(|window| {
            for (index, night) in nights.iter().enumerate().take(window.until).skip(next) {
                while rising.back().is_some_and(|(_, last)| last >= night) {
                    rising.pop_back();
                }
                rising.push_back((index, *night));
            }
            next = next.max(window.until);
            while rising
                .front()
                .is_some_and(|(index, _)| *index < window.from)
            {
                rising.pop_front();
            }
            rising
                .front()
                .filter(|_| window.from < window.until)
                .map(|(_, night)| *night)
        })
        .collect()
}

/// The nights that are near enough for a single one to withdraw a release.
const NEAR_NIGHTS: usize = 4;

/// What is told of a cut made today: when it is firm, which night hits it first, how dangerous the next ones are.
#[derive(Default)]
struct FirstCut {
    firm_after: Vec<usize>,
    first_hit_on: BTreeMap<usize, usize>,
    hits_on: BTreeMap<usize, usize>,
}

impl FirstCut {
    fn note(&mut self, future: &Future, phases: &[Phase], offset: CelsiusStep) {
        let of_today = || {
            phases
                .iter()
                .filter_map(|phase| Some((phase.nights.first()?, phase.damage_at)))
        };
        if let Some(last) = of_today().map(|(nights, _)| nights.until).max() {
            self.firm_after.push(last.saturating_sub(1));
        }
        let hits_from = |after: usize| {
            let first_of = |(nights, damage_at): (&Nights, Celsius)| {
                let tender = future
                    .min
                    .iter()
                    .enumerate()
                    .take(nights.until)
                    .skip(nights.from.max(after));
                let mut hits = tender
                    .filter(|(_, night)| excess_over(Some(**night), offset, damage_at) <= 0.0);
                hits.next().map(|(index, _)| index)
            };
            of_today().filter_map(first_of).min()
        };
        let Some(first) = hits_from(0) else { return };
        *self.first_hit_on.entry(first).or_insert(0) += 1;
        let mut hit = Some(first);
        while let Some(night) = hit.filter(|night| *night <= NEAR_NIGHTS) {
            *self.hits_on.entry(night).or_insert(0) += 1;
            hit = hits_from(night + 1);
        }
    }

    fn near_night(&self, basis: &Basis) -> Chance {
        let most = self.hits_on.values().copied().max().unwrap_or(0);
        Chance::of(count(most) * basis.weight())
    }

    fn firm_by(&mut self, basis: &Basis) -> Option<Spread> {
        self.firm_after.sort_unstable();
        let last = self.firm_after.len().checked_sub(1)?;
        let tenth = |tenths: usize| {
            self.firm_after
                .get(last * tenths / 10)
                .map(|index| basis.date(*index))
        };
        Some(Spread {
            early: tenth(1)?,
            middle: tenth(5)?,
            late: tenth(9)?,
        })
    }

    fn first_hit(&self, basis: &Basis) -> Option<(NaiveDate, Chance)> {
        let (index, times) = self
            .first_hit_on
            .iter()
            .max_by_key(|(index, times)| (**times, std::cmp::Reverse(**index)))?;
        Some((
            basis.date(*index),
            Chance::of(count(*times) * basis.weight()),
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nights(minima: &[f64]) -> Vec<Celsius> {
        minima
            .iter()
            .map(|degrees| Celsius::new(*degrees))
            .collect()
    }

    #[test]
    fn window_minima_equal_a_plain_search() {
        let series = nights(&[5.0, 1.0, 4.0, -2.0, 3.0, 3.0, 0.0, 7.0]);
        let windows = [(1, 3), (2, 4), (2, 7), (5, 7), (6, 8), (8, 8)]
            .map(|(from, until)| Nights { from, until });
        let plain: Vec<_> = windows
            .iter()
            .map(|w| {
                series[w.from.min(8)..w.until]
                    .iter()
                    .copied()
                    .reduce(Celsius::min)
            })
            .collect();
        assert_eq!(window_minima(&series, &windows), plain);
    }

    #[test]
    fn without_doubt_the_damaging_temperature_itself_does_damage() {
        let sure = Doubt::of(CelsiusStep::new(0.0));
        assert_eq!(
            [sure.chance(0.0), sure.chance(1e-9), sure.chance(-3.0)].map(Chance::of),
            [1.0, 0.0, 1.0].map(Chance::of)
        );
    }

    #[test]
    fn doubt_spreads_the_edge_evenly() {
        let doubt = Doubt::of(CelsiusStep::new(1.0));
        assert!((doubt.chance(0.0) - 0.5).abs() < 1e-12);
        // Φ(-1.96) = 0.0249979: Abramowitz & Stegun 1964, table 26.1.
        assert!((doubt.chance(1.96) - 0.024_997_9).abs() < 1e-7);
    }
}
