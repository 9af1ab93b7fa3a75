//! How much colder or warmer the garden's nights are than the place's, by kind of night, learned from nights that came.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, CelsiusStep, count};

/// Of the nights that freeze near the last and the first date, so many are clear and still (estimate: most such
/// freezes are by radiation; Snyder & de Melo-Abreu, Frost Protection, FAO 2005, chapter 1).
pub const CLEAR_SHARE: f64 = 0.7;

/// How far one night's difference strays from the mean until enough nights show it themselves, in kelvin (estimate).
const STRAY: f64 = 1.5;
/// From so many nights on they show it themselves; it is never believed to be less than this.
const STRAY_NIGHTS: usize = 5;
const STRAY_MIN: f64 = 0.5;

/// What all nights say counts as much as so many nights of one kind (estimate).
const KIND_PRIOR: f64 = 2.0;

/// A night further than so many robust standard deviations from the median does not count (three: Leys et al., J. Exp.
/// Soc. Psychol. 49, 2013), nor may less than a kelvin and a half make one.
const OUTLIER: f64 = 3.0;
const OUTLIER_MIN: f64 = 1.5;

/// From the median of the distances to the median to a standard deviation (Hampel, J. Am. Stat. Assoc. 69, 1974).
const TO_DEVIATION: f64 = 1.4826;

/// Where the thermometer hangs is where the plants are only so well, however many nights there are (estimate).
const DOUBT_MIN: f64 = 0.5;
/// So many nights halve the variance of the doubt (estimate).
const DOUBT_NIGHTS: f64 = 10.0;

/// Whether a night was clear and still.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NightKind {
    /// Little cloud and little wind: cold air lies where it forms.
    ClearStill,
    /// Cloud or wind.
    Other,
}

impl NightKind {
    /// Each kind.
    pub const ALL: [Self; 2] = [Self::ClearStill, Self::Other];

    /// Its name in kebab-case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::ClearStill => "clear-still",
            Self::Other => "other",
        }
    }
}

/// One night of the garden beside the place's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnNight {
    /// The date of its morning.
    pub date: NaiveDate,
    /// The lowest that the thermometer showed.
    pub own: Celsius,
    /// The lowest of the place.
    pub place: Celsius,
    /// Its kind; none where the sky was not known.
    pub kind: Option<NightKind>,
}

/// What the thermometer's nights make of the configured guess.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct OwnOffset {
    /// What the keeper guessed.
    pub guess: CelsiusStep,
    /// In clear and still nights.
    pub clear_still: CelsiusStep,
    /// In the other nights.
    pub other: CelsiusStep,
    /// In the nights that matter: those that freeze, of which [`CLEAR_SHARE`] are clear and still.
    pub offset: CelsiusStep,
    /// How far that may be off, as a standard deviation.
    pub doubt: CelsiusStep,
    /// How many nights count.
    pub nights: usize,
    /// How many of them were clear and still.
    pub clear_nights: usize,
    /// How many are left out as wrong beyond belief.
    pub ignored: usize,
    /// The first night that counts.
    pub since: Option<NaiveDate>,
}

impl OwnOffset {
    /// The guess, moved by the nights.
    ///
    /// Guess and nights are weighed by their precision (normal mean with known variance: Gelman et al., Bayesian Data
    /// Analysis, 3rd ed. 2013, equation 2.12): n nights that stray by s against a doubt d about the guess count as
    /// n/(n + s²/d²). A guess without doubt stays. The mean is taken without outliers, and the doubt shrinks as
    /// d/√(1 + n/10), not below half a kelvin.
    pub fn of(guess: CelsiusStep, doubt: CelsiusStep, nights: &[OwnNight]) -> Self {
        let kept = without_outliers(nights);
        let stray = stray(&kept);
        let certain = doubt.kelvin() <= 0.0;
        let prior = if certain {
            f64::INFINITY
        } else {
            (stray / doubt.kelvin()).powi(2)
        };
        let all = shrunk(kept.iter(), guess.kelvin(), prior);
        let of_kind = |kind| {
            let of_kind = kept.iter().filter(move |night| night.kind == Some(kind));
            let weight = if certain { f64::INFINITY } else { KIND_PRIOR };
            shrunk(of_kind, all, weight)
        };
        let (clear, other) = (of_kind(NightKind::ClearStill), of_kind(NightKind::Other));
        let n = count(kept.len());
        let learned = doubt.kelvin() / (1.0 + n / DOUBT_NIGHTS).sqrt();
        let is_clear = |night: &&OwnNight| night.kind == Some(NightKind::ClearStill);
        Self {
            guess,
            clear_still: CelsiusStep::new(clear),
            other: CelsiusStep::new(other),
            offset: CelsiusStep::new(CLEAR_SHARE * clear + (1.0 - CLEAR_SHARE) * other),
            doubt: CelsiusStep::new(learned.max(DOUBT_MIN.min(doubt.kelvin()))),
            nights: kept.len(),
            clear_nights: kept.iter().filter(is_clear).count(),
            ignored: nights.len() - kept.len(),
            since: kept.iter().map(|night| night.date).min(),
        }
    }

    /// By how much the nights moved the guess.
    pub fn moved(&self) -> CelsiusStep {
        CelsiusStep::new(self.offset.kelvin() - self.guess.kelvin())
    }
}

impl OwnNight {
    fn difference(&self) -> f64 {
        (self.own - self.place).kelvin()
    }
}

/// The mean difference of nights with a value before it that counts as much as `weight` nights.
fn shrunk<'a>(nights: impl Iterator<Item = &'a OwnNight>, before: f64, weight: f64) -> f64 {
    let differences: Vec<f64> = nights.map(OwnNight::difference).collect();
    if weight.is_infinite() || differences.is_empty() {
        return before;
    }
    (differences.iter().sum::<f64>() + weight * before) / (count(differences.len()) + weight)
}

/// The nights of which the difference is near that of the others of their kind.
fn without_outliers(nights: &[OwnNight]) -> Vec<OwnNight> {
    let is_near = |night: &&OwnNight| {
        let alike = nights.iter().filter(|other| other.kind == night.kind);
        let alike: Vec<f64> = alike.map(OwnNight::difference).collect();
        let Some((middle, deviation)) = middle_and_deviation(&alike) else {
            return false;
        };
        (night.difference() - middle).abs() <= (OUTLIER * deviation).max(OUTLIER_MIN)
    };
    let known = nights.iter().filter(|night| night.difference().is_finite());
    known.filter(is_near).copied().collect()
}

/// How far a night strays from the mean of its kind.
fn stray(nights: &[OwnNight]) -> f64 {
    if nights.len() < STRAY_NIGHTS {
        return STRAY;
    }
    let kinds = [None, Some(NightKind::ClearStill), Some(NightKind::Other)];
    let deviation = |kind: Option<NightKind>| {
        let alike = nights.iter().filter(|night| night.kind == kind);
        let alike: Vec<f64> = alike.map(OwnNight::difference).collect();
        middle_and_deviation(&alike)
            .filter(|_| alike.len() >= STRAY_NIGHTS)
            .map(|(_, deviation)| deviation)
    };
    let largest = kinds.into_iter().filter_map(deviation).reduce(f64::max);
    largest.unwrap_or(STRAY).max(STRAY_MIN)
}

/// The median and the robust standard deviation about it.
fn middle_and_deviation(values: &[f64]) -> Option<(f64, f64)> {
    let middle = median(values)?;
    let distances: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    Some((middle, TO_DEVIATION * median(&distances)?))
}

fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = *sorted.get(sorted.len() / 2)?;
    let lower = *sorted.get((sorted.len() - 1) / 2)?;
    Some(f64::midpoint(lower, upper))
}
