//! The sum over all futures: in how many does frost catch the cut.

use std::collections::BTreeMap;
use std::ops::Range;

use chrono::NaiveDate;

use super::Spread;
use super::doubt::Doubt;
use super::minima::Minima;
use super::period::Nights;
use crate::garden::Spot;
use crate::outlook::{Basis, Outlook};
use crate::units::{Celsius, CelsiusStep, Chance, count};

/// One part of a tender period: its coldest nights in every future, and what is too cold.
pub(super) type Part<'a> = (&'a Minima, Celsius);

/// The summed futures.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FrostSum {
    pub(super) curve: Vec<Chance>,
    pub(super) firm_by: Option<Spread>,
    pub(super) first_hit: Option<(NaiveDate, Chance)>,
    pub(super) near_night: Chance,
    pub(super) today_error: Option<f64>,
}

impl FrostSum {
    /// For each cutting day D the mean over the futures of Φ(-M/σ), with M the smallest excess of a tender night over
    /// the damaging temperature and σ the doubt about the spot, which all nights share and which therefore is added
    /// after the minimum was taken. With σ = 0 it is the share of futures with M <= 0.
    pub(super) fn of(outlook: &Outlook, parts: &[Part<'_>], spot: &Spot) -> Self {
        let cut_days = outlook.cut_days();
        let doubt = Doubt::of(doubt_of(outlook, spot));
        let mut sums = vec![0.0; cut_days];
        let mut smallest = vec![0.0; cut_days];
        let mut first_cut = FirstCut::default();
        let mut today = Vec::with_capacity(outlook.futures.len());
        let at_risk = days_at_risk(parts, spot, doubt);
        for (index, future) in outlook.futures.iter().enumerate() {
            smallest.fill(f64::INFINITY);
            for days in &at_risk {
                let smallest = smallest.get_mut(days.clone()).unwrap_or_default();
                for (minima, damage_at) in parts {
                    let coldest = minima.of_future(index).get(days.clone());
                    let over = (*damage_at - spot.offset).degrees();
                    lower_to(smallest, coldest.unwrap_or_default(), over);
                }
                let sums = sums.get_mut(days.clone()).unwrap_or_default();
                for (sum, excess) in sums.iter_mut().zip(&*smallest) {
                    *sum += doubt.chance(*excess);
                }
            }
            today.extend(smallest.first().map(|excess| doubt.chance(*excess)));
            let tender_now = parts.iter().filter_map(|(minima, damage_at)| {
                Some((minima.today(index)?, *damage_at - spot.offset))
            });
            let is_hit = smallest.first().is_some_and(|excess| *excess <= 0.0);
            first_cut.note(
                &outlook.at_leaf(future),
                &tender_now.collect::<Vec<_>>(),
                if is_hit { Fate::Hit } else { Fate::Spared },
            );
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
            today_error: error_by_years(&today, outlook.basis.years),
        }
    }
}

/// Lowers each excess to that of a coldest night, where it is smaller.
fn lower_to(smallest: &mut [f64], coldest: &[f64], over: f64) {
    for (smallest, coldest) in smallest.iter_mut().zip(coldest) {
        *smallest = f64::min(*smallest, coldest - over);
    }
}

/// The runs of cutting days on which at least one future can do damage: on the others the sum is nothing.
fn days_at_risk(parts: &[Part<'_>], spot: &Spot, doubt: Doubt) -> Vec<Range<usize>> {
    let cut_days = parts
        .iter()
        .map(|(minima, _)| minima.lowest().len())
        .max()
        .unwrap_or(0);
    let is_at_risk = |day: usize| {
        parts.iter().any(|(minima, damage_at)| {
            let lowest = minima.lowest().get(day).copied().unwrap_or(f64::INFINITY);
            !doubt.excludes(lowest - (*damage_at - spot.offset).degrees())
        })
    };
    let mut runs: Vec<Range<usize>> = Vec::new();
    for day in (0..cut_days).filter(|day| is_at_risk(*day)) {
        match runs.last_mut() {
            Some(run) if run.end == day => run.end += 1,
            Some(_) | None => runs.push(day..day + 1),
        }
    }
    runs
}

/// The standard error of a mean over futures that stand year by year, with the years as the sample.
///
/// Leaving out one year at a time (jackknife: Tukey, Ann. Math. Stat. 29, 1958) comes down to the spread of the years'
/// own means over the square root of their number. None for fewer than two years.
fn error_by_years(chances: &[f64], years: usize) -> Option<f64> {
    if years < 2 {
        return None;
    }
    let of_year = chances.len() / years;
    let means = chances
        .chunks(of_year.max(1))
        .map(|year| year.iter().sum::<f64>() / count(year.len()));
    let means: Vec<f64> = means.collect();
    let n = count(means.len());
    let mean = means.iter().sum::<f64>() / n;
    let variance = means.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / (n - 1.0);
    Some((variance / n).sqrt())
}

/// Of sorted numbers those that a tenth, half and nine tenths do not exceed.
pub(super) fn tenths(sorted: &[usize]) -> Option<[usize; 3]> {
    let last = sorted.len().checked_sub(1)?;
    let tenth = |tenths: usize| sorted.get(last * tenths / 10).copied();
    Some([tenth(1)?, tenth(5)?, tenth(9)?])
}

/// Fewer past years than this know a place to a kelvin at best.
const FEW_YEARS: usize = 10;

/// The doubt about a spot: its own, and with few past years at least a kelvin (estimate).
pub(super) fn doubt_of(outlook: &Outlook, spot: &Spot) -> CelsiusStep {
    if outlook.basis.years < FEW_YEARS {
        CelsiusStep::new(spot.doubt.kelvin().max(1.0))
    } else {
        spot.doubt
    }
}

/// The nights that are near enough for a single one to withdraw a release.
const NEAR_NIGHTS: usize = 4;

/// What becomes of a cut made today in one future.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fate {
    Hit,
    Spared,
}

/// What is told of a cut made today: when it is firm, which night hits it first, how dangerous the next ones are.
#[derive(Default)]
struct FirstCut {
    firm_after: Vec<usize>,
    first_hit_on: BTreeMap<usize, usize>,
    hits_on: BTreeMap<usize, usize>,
}

impl FirstCut {
    /// Notes one future by its nights, the tender ones of each part, and the highest temperature that damages there.
    fn note(&mut self, minima: &[Celsius], today: &[(Nights, Celsius)], fate: Fate) {
        if let Some(last) = today.iter().map(|(nights, _)| nights.until).max() {
            self.firm_after.push(last.saturating_sub(1));
        }
        if fate == Fate::Spared {
            return;
        }
        let hits_from = |after: usize| {
            let first_of = |(nights, damage_at): &(Nights, Celsius)| {
                let tender = minima
                    .iter()
                    .enumerate()
                    .take(nights.until)
                    .skip(nights.from.max(after));
                tender
                    .filter(|(_, night)| *night <= damage_at)
                    .map(|(index, _)| index)
                    .next()
            };
            today.iter().filter_map(first_of).min()
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
        let [early, middle, late] = tenths(&self.firm_after)?.map(|index| basis.date(index));
        Some(Spread {
            early,
            middle,
            late,
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

    #[test]
    fn the_error_of_the_mean_has_the_years_as_its_sample() {
        // Three years with means 0.1, 0.2 and 0.6: mean 0.3, variance (0.04 + 0.01 + 0.09)/2 = 0.07, error sqrt(0.07/3).
        let error = error_by_years(&[0.0, 0.2, 0.1, 0.3, 0.5, 0.7], 3).unwrap();
        assert!((error - (0.07_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert_eq!(error_by_years(&[0.3, 0.4], 1), None);
    }
}
