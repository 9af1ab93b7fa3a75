//! What the futures have in common, night by night: quantiles of the coming minima, and how often it freezes.
//!
//! In: an outlook. Out: figures small enough to keep and to draw. Does not know plants or spots.

use serde::{Deserialize, Serialize};

use super::Outlook;
use crate::units::{Celsius, Chance, count};

/// The shares of the futures at which a night's minima are named.
const SHARES: [f64; 5] = [0.10, 0.25, 0.50, 0.75, 0.90];

/// At or below this it freezes.
const FREEZING: Celsius = Celsius::new(0.0);

/// The minima of one coming night over the futures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NightFan {
    /// Below which 10, 25, 50, 75 and 90 of 100 futures lie, to the tenth.
    pub quantiles: [Celsius; 5],
    /// The forecast's own minimum; none where no forecast reaches.
    pub forecast: Option<Celsius>,
}

impl Outlook {
    /// The coming nights as tender leaves feel them, the night to tomorrow first; none when nothing is known.
    pub fn fan(&self, nights: usize) -> Vec<NightFan> {
        let mut minima: Vec<Vec<f64>> = vec![Vec::new(); nights];
        for future in self.futures.iter() {
            let felt = self.at_leaf(future);
            for (of_night, night) in minima.iter_mut().zip(felt.iter().skip(1)) {
                of_night.push(night.degrees());
            }
        }
        let forecast = self.coming_at_leaf().map(Some);
        let forecast = forecast.chain(std::iter::repeat(None));
        minima
            .into_iter()
            .take_while(|minima| !minima.is_empty())
            .zip(forecast)
            .map(|(mut minima, forecast)| {
                minima.sort_by(f64::total_cmp);
                NightFan {
                    quantiles: SHARES.map(|share| Celsius::new(to_tenth(at(&minima, share)))),
                    forecast: forecast.map(|night| Celsius::new(to_tenth(night.degrees()))),
                }
            })
            .collect()
    }

    /// How many of the futures have a night at or below freezing on each day, today first, to the hundredth.
    pub fn freezing(&self) -> Vec<Chance> {
        let mut frosts = vec![0_usize; self.days()];
        for future in self.futures.iter() {
            for (frosts, night) in frosts.iter_mut().zip(future.min) {
                *frosts += usize::from(*night <= FREEZING);
            }
        }
        let share = |frosts: usize| count(frosts) * self.basis.weight();
        let to_hundredth = |share: f64| (share * 100.0).round() / 100.0;
        let chances = frosts.into_iter();
        chances
            .map(|frosts| Chance::of(to_hundredth(share(frosts))))
            .collect()
    }
}

fn to_tenth(degrees: f64) -> f64 {
    (degrees * 10.0).round() / 10.0
}

/// The value at a share of a sorted list: the least that has as much of the list at or below it.
fn at(sorted: &[f64], share: f64) -> f64 {
    let reached = |index: &usize| count(index + 1) >= share * count(sorted.len());
    let index = (0..sorted.len()).find(reached).unwrap_or(0);
    sorted.get(index).copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlook::{Basis, Bound, Futures, Horizon};
    use chrono::NaiveDate;

    fn outlook(nights: impl Iterator<Item = f64>) -> Outlook {
        let future = |night: f64| {
            let min = vec![Celsius::new(3.0), Celsius::new(night)];
            (min.clone(), min)
        };
        let futures: Futures = nights.map(future).collect();
        Outlook {
            basis: Basis {
                today: NaiveDate::from_ymd_opt(2027, 4, 1).unwrap(),
                futures: futures.len(),
                years: 10,
                members: 1,
                forecast_days: 1,
                forecast_from: None,
                forecast_age_hours: None,
                record_from: None,
                record_site: None,
                missing: Vec::new(),
            },
            bound: Bound::Whole,
            horizon: Horizon::YEAR,
            midwinter: None,
            coming_nights: vec![Celsius::new(-1.0)],
            leaf: Vec::new(),
            futures,
        }
    }

    #[test]
    fn a_fan_names_the_minima_of_the_coming_nights() {
        let fan = outlook((1..=20).map(|n| f64::from(n) - 10.5)).fan(14);
        assert_eq!(fan.len(), 1, "no further than is known");
        assert_eq!(
            fan[0].quantiles,
            [-8.5, -5.5, -0.5, 4.5, 7.5].map(Celsius::new)
        );
        assert_eq!(fan[0].forecast, Some(Celsius::new(-1.0)));
    }

    #[test]
    fn a_night_at_freezing_counts_as_one() {
        let freezing = outlook([-2.0, 0.0, 0.1, 4.0].into_iter()).freezing();
        assert_eq!(freezing, [Chance::of(0.0), Chance::of(0.5)]);
    }

    #[test]
    fn without_futures_there_is_nothing_to_show() {
        let nothing = outlook(std::iter::empty());
        assert!(nothing.fan(14).is_empty() && nothing.freezing().is_empty());
    }
}
