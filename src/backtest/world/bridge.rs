//! Forecasts whose errors grow honestly with the lead: a random bridge from no knowledge to the truth.
//!
//! For each valid day the signal B(S) is a Brownian bridge from 0 at S = 0 to the day's true anomaly at S = 1, in standard
//! units of the season; the run at lead j sees B(S_j). So the successive forecasts of one day form a martingale, none of
//! which foresees the next one's change, and the error variance is 1 - S_j. The bridge's noise is an autoregression along
//! valid days, since the errors of neighbouring nights hang together. Members are draws about the signal.
//!
//! The construction shares its climate and its form of persistence with the program: that flatters calibration.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::{Issue, Walk, Weather, day_of};
use crate::backtest::question::after;
use crate::climate::Season;
use crate::science::dice::Dice;
use crate::units::{Celsius, count};

/// Days that these forecasts reach.
pub const BRIDGE_DAYS: usize = 15;

/// Share of the anomaly's variance that is predictable, by lead: drawn through published errors of night minima and
/// anomaly correlations (estimate).
const PREDICTABLE: [f64; BRIDGE_DAYS] = [
    0.90, 0.88, 0.86, 0.82, 0.77, 0.69, 0.60, 0.50, 0.41, 0.33, 0.27, 0.22, 0.18, 0.14, 0.11,
];

/// Correlation of errors between neighbouring valid days (estimate).
const ERROR_PERSISTENCE: f64 = 0.6;

/// Share of the true spread that members show at lead 1, and its growth from lead to lead (estimate).
const MEMBER_SPREAD: (f64, f64) = (0.60, 0.05);

/// How much too warm a faulty forecast is, the further warmth for each kelvin below the normal, and its cap, in kelvin
/// (ECMWF Forecast User Guide, section 9.2, has 0.5 to 2 K on cold nights; estimate).
const WARM_BIAS: f64 = 0.7;
const COLD_BIAS_PER_KELVIN: f64 = 0.25;
const COLD_BIAS_MAX: f64 = 1.5;

/// By how much less predictable than the table a faulty world is, at the first and at the last lead.
const LESS_PREDICTABLE: (f64, f64) = (0.03, 0.15);

/// The power of the table in the world that is more predictable than it says.
const MORE_PREDICTABLE: f64 = 0.8;

/// The faults that bridge forecasts have and nobody is told of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BridgeWorld {
    /// None: what the skill table says is so.
    Ideal,
    /// Less predictable than the table, heavy-tailed errors, too warm, above all on cold nights.
    Realistic,
    /// More predictable than the table, with the same biases and tails.
    Better,
}

/// One of the two extremes of a day over all days of a season, drawn by itself.
struct Channel<'a> {
    world: BridgeWorld,
    weather: &'a Weather<'a>,
    season: &'a Season,
    is_night: bool,
}

/// The values of each valid day, one a member.
type Drawn = BTreeMap<NaiveDate, Vec<Celsius>>;

impl BridgeWorld {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ideal => "ideal",
            Self::Realistic => "realistic",
            Self::Better => "better",
        }
    }

    /// S by lead.
    fn predictable(self) -> Vec<f64> {
        let (first, last) = LESS_PREDICTABLE;
        let loss = |index| first + (last - first) * count(index) / count(BRIDGE_DAYS - 1);
        PREDICTABLE
            .iter()
            .enumerate()
            .map(|(index, share)| match self {
                Self::Ideal => *share,
                Self::Realistic => share * (1.0 - loss(index)),
                Self::Better => share.powf(MORE_PREDICTABLE),
            })
            .collect()
    }

    const fn is_faulty(self) -> bool {
        match self {
            Self::Ideal => false,
            Self::Realistic | Self::Better => true,
        }
    }

    /// By how many kelvin a night is forecast too warm that lies so far above its normal.
    fn warm_bias(self, above: f64) -> f64 {
        if self.is_faulty() {
            WARM_BIAS + (COLD_BIAS_PER_KELVIN * (-above).max(0.0)).min(COLD_BIAS_MAX)
        } else {
            0.0
        }
    }

    /// The forecasts made on consecutive days.
    pub(super) fn issues(
        self,
        weather: &Weather<'_>,
        seed: u64,
        members: usize,
        days: &[NaiveDate],
    ) -> BTreeMap<NaiveDate, Issue> {
        let channel = |season, is_night| Channel {
            world: self,
            weather,
            season,
            is_night,
        };
        let nights = channel(&weather.climate.min, true).draw(seed, members, days);
        let noons = channel(&weather.climate.max, false).draw(seed, members, days);
        days.iter()
            .zip(nights.iter().zip(&noons))
            .map(|(day, (nights, noons))| (*day, joined(nights, noons)))
            .collect()
    }

    /// For each valid day the signal by lead; none where the truth is not on record.
    fn signals(
        self,
        truth: impl Iterator<Item = Option<f64>>,
        shares: &[f64],
        mut dice: Dice,
    ) -> impl Iterator<Item = Option<Vec<f64>>> {
        let mut walks = vec![Walk::new(ERROR_PERSISTENCE); shares.len()];
        truth.map(move |truth| {
            let mut fresh = || {
                if self.is_faulty() {
                    dice.heavy_tailed()
                } else {
                    dice.normal()
                }
            };
            // Drawn whether or not the day is on record, so that a gap changes no other day.
            let noise: Vec<f64> = walks
                .iter_mut()
                .rev()
                .map(|walk| walk.step(fresh()))
                .collect();
            truth.map(|truth| bridge(truth, shares, &noise))
        })
    }
}

/// A bridge from 0 to the truth, read at each share; the noise is that of its steps, the longest lead first.
fn bridge(truth: f64, shares: &[f64], noise: &[f64]) -> Vec<f64> {
    let (mut known, mut signal) = (0.0, 0.0);
    let steps = shares.iter().rev().zip(noise).map(|(share, noise)| {
        let (gain, left) = (share - known, 1.0 - known);
        signal += (truth - signal) * gain / left + (gain * (1.0 - share) / left).sqrt() * noise;
        known = *share;
        signal
    });
    let mut by_lead: Vec<f64> = steps.collect();
    by_lead.reverse();
    by_lead
}

/// Nights and noons of one forecast as its days.
fn joined(nights: &Drawn, noons: &Drawn) -> Issue {
    let day = |(valid, nights): (&NaiveDate, &Vec<Celsius>)| {
        let noons = noons.get(valid)?;
        let pairs = nights
            .iter()
            .zip(noons)
            .map(|(min, max)| (*min, max.max(*min)));
        Some((*valid, day_of(pairs.map(Some).collect())))
    };
    nights.iter().filter_map(day).collect()
}

impl Channel<'_> {
    /// What is forecast on each of consecutive days.
    fn draw(&self, seed: u64, members: usize, days: &[NaiveDate]) -> Vec<Drawn> {
        let Some(first) = days.first() else {
            return Vec::new();
        };
        let start = i64::from(first.num_days_from_ce());
        let dice = |part| {
            let purpose = [start, i64::from(self.is_night), part];
            Dice::named(seed, self.weather.name, &purpose)
        };
        let shares = self.world.predictable();
        let valid: Vec<NaiveDate> = after(*first, 1)
            .iter_days()
            .take(days.len() + BRIDGE_DAYS - 1)
            .collect();
        let truth = valid.iter().map(|date| self.truth(*date));
        let signals: Vec<_> = self.world.signals(truth, &shares, dice(0)).collect();
        let common = walk(valid.len(), &mut dice(1));
        let known = valid.iter().zip(signals.iter().zip(&common));
        let mut fresh = dice(2);
        let mut issues = Vec::new();
        for offset in 0..days.len() {
            let walks: Vec<_> = (0..members)
                .map(|_| walk(BRIDGE_DAYS, &mut fresh))
                .collect();
            let coming = known.clone().skip(offset).zip(&shares).enumerate();
            let values = coming.filter_map(|(index, ((date, (signal, common)), share))| {
                let signal = *signal.as_ref()?.get(index)?;
                let noise = noise(&walks, index, *common);
                let spread = (1.0 - share).sqrt();
                let of_member = |noise| self.temperature(*date, signal + spread * noise);
                Some((*date, noise.map(of_member).collect()))
            });
            issues.push(values.collect());
        }
        issues
    }

    fn truth(&self, date: NaiveDate) -> Option<f64> {
        let day = self.weather.record.day(date);
        let value = if self.is_night { day.min } else { day.max };
        let normals = self.season.normals(date);
        value.map(|value| (value.degrees() - normals.mean) / normals.spread)
    }

    /// A forecast anomaly as the faulty temperature that is told.
    fn temperature(&self, date: NaiveDate, anomaly: f64) -> Celsius {
        let normals = self.season.normals(date);
        let above = anomaly * normals.spread;
        let bias = if self.is_night {
            self.world.warm_bias(above)
        } else {
            0.0
        };
        Celsius::new(normals.mean + above + bias)
    }
}

fn walk(steps: usize, dice: &mut Dice) -> Vec<f64> {
    let mut walk = Walk::new(ERROR_PERSISTENCE);
    (0..steps).map(|_| walk.step(dice.normal())).collect()
}

/// The members' noise at a lead in units of the true spread; a single run has half of it in common with other days' runs.
fn noise(walks: &[Vec<f64>], index: usize, common: f64) -> impl Iterator<Item = f64> + '_ {
    let (first, growth) = MEMBER_SPREAD;
    let shown = (first + growth * count(index)).min(1.0);
    let is_single = walks.len() == 1;
    walks.iter().map(move |walk| {
        let own = walk.get(index).copied().unwrap_or(0.0);
        if is_single {
            (own + common) * std::f64::consts::FRAC_1_SQRT_2
        } else {
            shown * own
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAYS: usize = 20_000;

    /// Truths of variance 1 with their signals.
    fn world() -> (Vec<f64>, Vec<Vec<f64>>) {
        let mut dice = Dice::new(9);
        let truth: Vec<f64> = (0..DAYS).map(|_| dice.normal()).collect();
        let shares = BridgeWorld::Ideal.predictable();
        let given = truth.iter().map(|truth| Some(*truth));
        let signals = BridgeWorld::Ideal.signals(given, &shares, Dice::new(5));
        let signals = signals.map(Option::unwrap).collect();
        (truth, signals)
    }

    fn mean(values: impl Iterator<Item = f64>) -> f64 {
        values.sum::<f64>() / count(DAYS)
    }

    #[test]
    fn the_errors_of_the_signal_have_the_stated_variance() {
        let (truth, signals) = world();
        for (index, share) in PREDICTABLE.iter().enumerate() {
            let pairs = || signals.iter().map(|by_lead| by_lead[index]).zip(&truth);
            let error = mean(pairs().map(|(signal, truth)| (signal - truth).powi(2)));
            let square = mean(pairs().map(|(signal, _)| signal.powi(2)));
            // B(S) has variance S; its error about the truth 1 - S.
            assert!((error - (1.0 - share)).abs() < 0.03, "{index}: {error}");
            assert!((square - share).abs() < 0.04, "{index}: {square}");
        }
    }

    #[test]
    fn a_forecast_does_not_foresee_the_next_ones_change() {
        let (_, signals) = world();
        let product = mean(
            signals
                .iter()
                .map(|by_lead| by_lead[6] * (by_lead[3] - by_lead[6])),
        );
        assert!(product.abs() < 0.02, "{product}");
    }

    #[test]
    fn faults_are_those_that_are_stated() {
        let realistic = BridgeWorld::Realistic.predictable();
        assert!((realistic[0] - 0.90 * 0.97).abs() < 1e-12);
        assert!((realistic[14] - 0.11 * 0.85).abs() < 1e-12);
        assert!((BridgeWorld::Better.predictable()[6] - 0.60_f64.powf(0.8)).abs() < 1e-12);
        let bias = [2.0, -2.0, -20.0].map(|above| BridgeWorld::Realistic.warm_bias(above));
        for (found, expected) in bias.iter().zip([0.7, 1.2, 2.2]) {
            assert!((found - expected).abs() < 1e-12);
        }
    }
}
