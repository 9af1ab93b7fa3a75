//! Which verified nights count, each with the normal of its day.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use super::{ForecastKind, Truth, Verified};
use crate::climate::{Normals, Season};
use crate::outlook::skill::COLD_BELOW;

/// A night minimum that is further off than this, in kelvin, at one of the leads of [`SHORT_LEADS`] is a fault of the
/// thermometer or of the transmission, not of the forecast (estimate).
const ERROR_MAX: f64 = 8.0;

/// The same at longer leads in spreads of the season, where an honest forecast may be further off.
const ERROR_MAX_SPREADS: f64 = 5.0;

/// The leads that tell most of a night and of the bias.
pub(super) const SHORT_LEADS: usize = 2;

/// A thermometer that shows the same to a hundredth on so many nights in a row is stuck (estimate).
const STUCK_NIGHTS: usize = 4;

/// How long nights count whole; older ones count half, since models change.
const WHOLE_FOR: Days = Days::new(730);

/// A verified night that counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    pub(super) night: Verified,
    pub(super) normals: Normals,
    /// How much it counts.
    pub(super) weight: f64,
}

/// The nights that count.
#[derive(Debug, Clone, Default)]
pub(super) struct Nights {
    /// By date, lead and kind of forecast, at most one of each.
    pub(super) pairs: Vec<Pair>,
    /// How many dates do not count.
    pub(super) ignored: usize,
}

impl Pair {
    /// By how much the forecast was too warm, in kelvin.
    pub(super) fn error(&self) -> f64 {
        self.night.error()
    }

    /// The forecast's anomaly in standard units of the season, with its bias.
    pub(super) fn forecast_anomaly(&self) -> f64 {
        (self.night.forecast.degrees() - self.normals.mean) / self.normals.spread
    }

    /// Whether the night was forecast to be one of the cold kind.
    pub(super) fn is_cold(&self) -> bool {
        self.forecast_anomaly() < COLD_BELOW
    }

    /// The truth's.
    pub(super) fn observed_anomaly(&self) -> f64 {
        (self.night.observed.degrees() - self.normals.mean) / self.normals.spread
    }
}

impl Verified {
    fn error(&self) -> f64 {
        (self.forecast - self.observed).kelvin()
    }
}

impl Nights {
    /// The nights that count among those given, in whatever order they are given: before today, of the leads used, at
    /// most one forecast a day and lead, without spikes and without a stuck thermometer.
    pub(super) fn of(given: &[Verified], season: &Season, today: NaiveDate, leads: usize) -> Self {
        let past = past_with_normals(given, season, today, leads);
        let mut ignored = stuck(&past);
        ignored.extend(spikes(&past));
        let mut alike: BTreeMap<(NaiveDate, usize, ForecastKind), Vec<(Verified, Normals)>> =
            BTreeMap::new();
        for (night, normals) in past {
            if !ignored.contains(&night.date) && is_likely(&night, &normals) {
                let key = (night.date, night.lead, night.kind());
                alike.entry(key).or_default().push((night, normals));
            }
        }
        let whole_since = today - WHOLE_FOR;
        let pair = |(night, normals): (Verified, Normals)| Pair {
            night,
            normals,
            weight: night.truth.weight() * if night.date < whole_since { 0.5 } else { 1.0 },
        };
        Self {
            pairs: alike.into_values().filter_map(middle).map(pair).collect(),
            ignored: ignored.len(),
        }
    }

    /// Those of single runs or of ensembles.
    pub(super) fn of_kind(&self, kind: ForecastKind) -> Vec<Pair> {
        let pairs = self.pairs.iter().copied();
        pairs.filter(|pair| pair.night.kind() == kind).collect()
    }

    /// How many nights there are.
    pub(super) fn count(&self) -> usize {
        self.dates(|_| true).len()
    }

    /// How many of them were held against that.
    pub(super) fn count_by(&self, truth: Truth) -> usize {
        self.dates(|pair| pair.night.truth == truth).len()
    }

    /// The first of them.
    pub(super) fn since(&self) -> Option<NaiveDate> {
        self.dates(|_| true).first().copied()
    }

    fn dates(&self, filter: impl Fn(&Pair) -> bool) -> BTreeSet<NaiveDate> {
        let pairs = self.pairs.iter().filter(|pair| filter(pair));
        pairs.map(|pair| pair.night.date).collect()
    }
}

/// The nights before today of the leads used, each with its day's normals.
fn past_with_normals(
    given: &[Verified],
    season: &Season,
    today: NaiveDate,
    leads: usize,
) -> Vec<(Verified, Normals)> {
    let mut normals: BTreeMap<NaiveDate, Normals> = BTreeMap::new();
    given
        .iter()
        .filter(|night| night.date < today && (1..=leads).contains(&night.lead))
        .filter(|night| night.error().is_finite())
        .map(|night| {
            let of_day = normals.entry(night.date);
            let of_day = of_day.or_insert_with(|| season.normals(night.date));
            (*night, *of_day)
        })
        .collect()
}

/// Whether an error can be the forecast's own.
fn is_likely(night: &Verified, normals: &Normals) -> bool {
    let limit = if night.lead <= SHORT_LEADS {
        ERROR_MAX
    } else {
        ERROR_MAX.max(ERROR_MAX_SPREADS * normals.spread)
    };
    night.error().abs() <= limit
}

/// The dates on which every forecast of a short lead was off beyond belief: what came is wrong.
fn spikes(past: &[(Verified, Normals)]) -> BTreeSet<NaiveDate> {
    let mut believed: BTreeMap<NaiveDate, bool> = BTreeMap::new();
    for (night, normals) in past.iter().filter(|(night, _)| night.lead <= SHORT_LEADS) {
        *believed.entry(night.date).or_default() |= is_likely(night, normals);
    }
    let wrong = believed.into_iter().filter(|(_, believed)| !believed);
    wrong.map(|(date, _)| date).collect()
}

/// The dates in a row on which the same came to a hundredth of a degree.
fn stuck(past: &[(Verified, Normals)]) -> BTreeSet<NaiveDate> {
    let hundredths = |night: &Verified| (night.observed.degrees() * 100.0).round();
    let came: BTreeMap<NaiveDate, f64> = past
        .iter()
        .map(|(night, _)| (night.date, hundredths(night)))
        .collect();
    let came: Vec<(NaiveDate, f64)> = came.into_iter().collect();
    came.chunk_by(|(_, one), (_, next)| one.total_cmp(next).is_eq())
        .filter(|same| same.len() >= STUCK_NIGHTS)
        .flatten()
        .map(|(date, _)| *date)
        .collect()
}

/// Of several forecasts of the same night and lead the middle one, held against the best truth.
fn middle(mut alike: Vec<(Verified, Normals)>) -> Option<(Verified, Normals)> {
    let best = alike.iter().map(|(night, _)| night.truth).min()?;
    alike.retain(|(night, _)| night.truth == best);
    alike.sort_by(|(one, _), (other, _)| {
        let temperatures = |night: &Verified| [night.forecast.degrees(), night.observed.degrees()];
        let pairs = temperatures(one).into_iter().zip(temperatures(other));
        pairs.fold(Ordering::Equal, |order, (one, other)| {
            order.then(one.total_cmp(&other))
        })
    });
    alike.get((alike.len() - 1) / 2).copied()
}

/// How many nights they weigh.
pub(super) fn weight<'a>(pairs: impl IntoIterator<Item = &'a Pair>) -> f64 {
    pairs.into_iter().map(|pair| pair.weight).sum()
}
