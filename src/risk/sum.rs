//! The sum over all futures: in how many does frost catch the cut.

use chrono::NaiveDate;

use super::Spread;
use super::doubt::Doubt;
use super::first_hits::{FirstHits, first_at_or_below};
use super::minima::{Minima, lesser};
use super::period::{Nights, Shape, parts};
use crate::almanac::Tender;
use crate::garden::Spot;
use crate::outlook::{Basis, Outlook};
use crate::units::{Celsius, CelsiusStep, Chance, count};

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
    /// What there is to say without a sum: nothing is known, and so nothing is safe.
    pub(super) fn unknown() -> Self {
        Self {
            curve: Vec::new(),
            firm_by: None,
            first_hit: None,
            near_night: Chance::of(1.0),
            today_error: None,
        }
    }

    /// Those of several tender periods, each in its spot, in one pass over the futures.
    ///
    /// For each cutting day D the mean over the futures of Φ(-M/σ), with M the smallest excess of a tender night over
    /// the damaging temperature and σ the doubt about the spot, which all nights share and which therefore is added
    /// after the minimum was taken. With σ = 0 it is the share of futures with M <= 0.
    ///
    /// `heat` holds the running heat sums of the futures one after the other, where they were counted before.
    pub(super) fn of_all(
        outlook: &Outlook,
        asked: &[(Tender, Spot)],
        heat: Option<&[f64]>,
    ) -> Vec<Self> {
        let mut minima = Minima::new();
        let mut tallies: Vec<Tally> = asked
            .iter()
            .map(|(tender, spot)| Tally::of(outlook, (tender, spot), &mut minima))
            .collect();
        let mut counted = Vec::with_capacity(outlook.days());
        let mut known = heat.map(|heat| heat.chunks_exact(outlook.days().max(1)));
        for future in outlook.futures.iter() {
            let nights = outlook.at_leaf(future);
            let known = known.as_mut().and_then(Iterator::next);
            let heat = known.unwrap_or_else(|| {
                counted.clear();
                future.heat_into(&mut counted);
                &counted
            });
            minima.read(&nights, heat, outlook.midwinter);
            for tally in &mut tallies {
                tally.add(&nights, &minima);
            }
        }
        let sums = tallies.into_iter().map(|tally| tally.sum(&outlook.basis));
        sums.collect()
    }
}

/// What is counted for one tender period in one spot, future by future.
struct Tally {
    /// Each part by the number of its form, with what is too cold for it at the station.
    parts: Vec<(usize, Celsius)>,
    doubt: Doubt,
    /// The chances by cutting day, added up.
    sums: Vec<f64>,
    /// The smallest excess of the future at hand by cutting day, in kelvin.
    smallest: Vec<f64>,
    /// The chance of a cut made today, future by future.
    today: Vec<f64>,
    first_cut: FirstCut,
}

impl Tally {
    fn of(outlook: &Outlook, (tender, spot): (&Tender, &Spot), minima: &mut Minima) -> Self {
        let cut_days = outlook.cut_days();
        let of_part = |(shape, damage_at): (Shape, Celsius)| {
            (minima.number(shape, cut_days), damage_at - spot.offset)
        };
        Self {
            parts: parts(tender).into_iter().map(of_part).collect(),
            doubt: Doubt::of(doubt_of(outlook, spot)),
            sums: vec![0.0; cut_days],
            smallest: vec![0.0; cut_days],
            today: Vec::with_capacity(outlook.futures.len()),
            first_cut: FirstCut::default(),
        }
    }

    /// Adds the future at hand.
    fn add(&mut self, nights: &[Celsius], minima: &Minima) {
        self.smallest.fill(f64::INFINITY);
        for (form, too_cold) in &self.parts {
            lower_to(&mut self.smallest, minima.coldest(*form), *too_cold);
        }
        for (sum, excess) in self.sums.iter_mut().zip(&self.smallest) {
            *sum += self.doubt.chance(*excess);
        }
        let today = self.smallest.first().copied();
        self.today
            .extend(today.map(|excess| self.doubt.chance(excess)));
        let tender = self.parts.iter();
        let tender = tender.filter_map(|(form, too_cold)| Some((minima.today(*form)?, *too_cold)));
        self.first_cut.note_firm(tender.clone());
        if today.is_some_and(|excess| excess <= 0.0) {
            self.first_cut.note_hits(nights, &tender);
        }
    }

    fn sum(mut self, basis: &Basis) -> FrostSum {
        let weight = basis.weight();
        let chances = self.sums.into_iter().map(|sum| Chance::of(sum * weight));
        FrostSum {
            curve: chances.collect(),
            firm_by: self.first_cut.firm_by(basis),
            first_hit: self.first_cut.first_hit(basis),
            near_night: self.first_cut.near_night(basis),
            today_error: error_by_years(&self.today, basis.years),
        }
    }
}

/// Lowers each excess to that of a coldest night over what is too cold, where it is smaller.
fn lower_to(smallest: &mut [f64], coldest: &[f64], too_cold: Celsius) {
    for (smallest, coldest) in smallest.iter_mut().zip(coldest) {
        *smallest = lesser(*smallest, coldest - too_cold.degrees());
    }
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

/// What is told of a cut made today: when it is firm, which night hits it first, how dangerous the next ones are.
#[derive(Default)]
struct FirstCut {
    firm_after: Vec<usize>,
    first_hits: FirstHits,
    /// In how many futures each of the near nights does damage.
    near: [usize; NEAR_NIGHTS + 1],
}

impl FirstCut {
    /// Notes when the cut is firm in one future, by the tender nights of each part.
    fn note_firm(&mut self, tender: impl Iterator<Item = (Nights, Celsius)>) {
        let last = tender.map(|(nights, _)| nights.until).max();
        self.firm_after
            .extend(last.map(|until| until.saturating_sub(1)));
    }

    /// Notes the damage in one future by its nights, the tender ones of each part, and what is too cold in each.
    fn note_hits(
        &mut self,
        minima: &[Celsius],
        tender: &(impl Iterator<Item = (Nights, Celsius)> + Clone),
    ) {
        let hits_from = |after: usize| {
            let first_of = |(nights, damage_at): (Nights, Celsius)| {
                let from = nights.from.max(after);
                let coming = minima.get(from..nights.until)?;
                Some(from + first_at_or_below(coming, damage_at)?)
            };
            tender.clone().filter_map(first_of).min()
        };
        let Some(first) = hits_from(0) else { return };
        self.first_hits.note(first);
        let mut hit = Some(first);
        while let Some((night, times)) =
            hit.and_then(|night| Some((night, self.near.get_mut(night)?)))
        {
            *times += 1;
            hit = hits_from(night + 1);
        }
    }

    fn near_night(&self, basis: &Basis) -> Chance {
        let most = self.near.into_iter().max().unwrap_or(0);
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
        let (index, times) = self.first_hits.most_often()?;
        Some((basis.date(index), Chance::of(count(times) * basis.weight())))
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
