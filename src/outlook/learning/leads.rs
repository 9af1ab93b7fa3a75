//! Correlation and slope by lead: as the nights show them, blended with the published figures.

use super::nights::{Pair, weight};
use super::{LeadEvidence, PRIOR_NIGHTS};
use crate::outlook::skill::{LeadSkill, WarmBias};
use crate::units::{CelsiusStep, count};

/// From how many nights on a correlation is looked at.
const NIGHTS_MIN: usize = 4;

/// No correlation is believed beyond this.
const CORRELATION_MAX: f64 = 0.99;

/// No slope is believed beyond this.
const SLOPE_MAX: f64 = 1.2;

/// What a lead's nights show, in standard units of the season.
#[derive(Debug, Clone, Copy)]
struct Shown {
    correlation: f64,
    /// How far the truth swings for each step of the forecast's swing.
    swing: f64,
    /// The nights, as many as they weigh.
    nights: f64,
    /// As many as they would be if each were news.
    independent: f64,
}

/// What each lead showed and what is made of it, from the pairs of one kind of forecast.
///
/// The blend is prior + n/(n + 60) (shown - prior). Where the nights show more skill than the prior, not their
/// correlation is taken but the bound that lies one standard error below it (Fisher, Metron 1, 1921: in z = artanh r
/// the error is 1/sqrt(n - 3)), and never less than the prior: more trust has to be earned, less is given at once.
pub(super) fn learned(prior: &[LeadSkill], pairs: &[Pair], bias: WarmBias) -> Vec<LeadEvidence> {
    let mut evidence: Vec<LeadEvidence> = Vec::new();
    let mut weights = Vec::new();
    for (lead, prior) in (1..).zip(prior) {
        let of_lead: Vec<Pair> = pairs
            .iter()
            .copied()
            .filter(|pair| pair.night.lead == lead)
            .collect();
        let shown = shown(&of_lead, bias, prior.correlation);
        let (bias, error_spread) = errors(&of_lead);
        weights.push(1.0 + weight(&of_lead));
        evidence.push(LeadEvidence {
            lead,
            nights: of_lead.len(),
            prior: *prior,
            shown: shown.map(Shown::skill),
            used: shown.map_or(*prior, |shown| shown.blended(*prior)),
            bias,
            error_spread,
        });
    }
    fall_with_lead(&mut evidence, &weights);
    evidence
}

/// Weighted correlation and ratio of the swings of truth and forecast, each about its mean.
fn shown(pairs: &[Pair], bias: WarmBias, prior: f64) -> Option<Shown> {
    if pairs.len() < NIGHTS_MIN {
        return None;
    }
    let nights = weight(pairs);
    let both = |pair: &Pair| {
        let forecast = pair.forecast_anomaly();
        let warm = bias.of_night(forecast, prior).kelvin() / pair.normals.spread;
        (forecast - warm, pair.observed_anomaly())
    };
    let mean = |of: &dyn Fn(&Pair) -> f64| {
        pairs.iter().map(|pair| pair.weight * of(pair)).sum::<f64>() / nights
    };
    let forecast = mean(&|pair| both(pair).0);
    let truth = mean(&|pair| both(pair).1);
    let forecast_variance = mean(&|pair| (both(pair).0 - forecast).powi(2));
    let truth_variance = mean(&|pair| (both(pair).1 - truth).powi(2));
    let common = mean(&|pair| (both(pair).0 - forecast) * (both(pair).1 - truth));
    if forecast_variance < f64::EPSILON || truth_variance < f64::EPSILON {
        return None;
    }
    let persistence = mean(&|pair| pair.normals.persistence).powi(2);
    Some(Shown {
        correlation: common / (forecast_variance * truth_variance).sqrt(),
        swing: (truth_variance / forecast_variance).sqrt(),
        nights,
        independent: independent(nights, persistence),
    })
}

/// How many independent nights so many nights in a row are worth for a correlation, when both series have that product
/// of day-to-day correlations (Bartlett, J. R. Stat. Soc. 98, 1935): about half.
fn independent(nights: f64, persistence: f64) -> f64 {
    nights * (1.0 - persistence) / (1.0 + persistence)
}

impl Shown {
    fn skill(self) -> LeadSkill {
        LeadSkill {
            correlation: self.correlation,
            slope: self.correlation * self.swing,
        }
    }

    /// The correlation that the nights can carry.
    fn carried(self, prior: f64) -> f64 {
        let shown = self.correlation.clamp(0.0, CORRELATION_MAX);
        if shown <= prior {
            return shown;
        }
        let error = 1.0 / (self.independent - 3.0).max(1.0).sqrt();
        (shown.atanh() - error).tanh().max(prior)
    }

    fn blended(self, prior: LeadSkill) -> LeadSkill {
        let share = self.nights / (self.nights + PRIOR_NIGHTS);
        let carried = self.carried(prior.correlation);
        let towards = |prior: f64, shown: f64| prior + share * (shown - prior);
        LeadSkill {
            correlation: towards(prior.correlation, carried),
            slope: towards(prior.slope, (carried * self.swing).clamp(0.0, SLOPE_MAX)),
        }
    }
}

/// Mean error and spread of the errors about it, in kelvin.
fn errors(pairs: &[Pair]) -> (Option<CelsiusStep>, Option<CelsiusStep>) {
    let nights = weight(pairs);
    if pairs.is_empty() {
        return (None, None);
    }
    let mean = pairs
        .iter()
        .map(|pair| pair.weight * pair.error())
        .sum::<f64>()
        / nights;
    let squares = pairs
        .iter()
        .map(|pair| pair.weight * (pair.error() - mean).powi(2))
        .sum::<f64>();
    let freedom = 1.0 - 1.0 / count(pairs.len());
    let spread = (pairs.len() > 1).then(|| CelsiusStep::new((squares / nights / freedom).sqrt()));
    (Some(CelsiusStep::new(mean)), spread)
}

/// A run of leads that share one correlation.
struct Level {
    correlation: f64,
    weight: f64,
    leads: usize,
}

/// No later lead is better than an earlier one: where it would be, by chance or because only the earlier one has been
/// verified, the leads share their mean correlation, each by its nights and one more (isotonic regression by pooling neighbours: Barlow et al., Statistical Inference under Order
/// Restrictions, 1972).
fn fall_with_lead(evidence: &mut [LeadEvidence], weights: &[f64]) {
    let mut levels: Vec<Level> = Vec::new();
    for (lead, weight) in evidence.iter().zip(weights) {
        let mut level = Level {
            correlation: lead.used.correlation,
            weight: *weight,
            leads: 1,
        };
        while let Some(before) = levels.pop_if(|before| before.correlation < level.correlation) {
            let weight = before.weight + level.weight;
            level = Level {
                correlation: (before.weight * before.correlation
                    + level.weight * level.correlation)
                    / weight,
                weight,
                leads: before.leads + level.leads,
            };
        }
        levels.push(level);
    }
    let shared = levels
        .iter()
        .flat_map(|level| std::iter::repeat_n(level, level.leads));
    for (lead, level) in evidence.iter_mut().zip(shared) {
        let used = &mut lead.used;
        if level.leads > 1 && used.correlation > 0.0 {
            used.slope = (used.slope * level.correlation / used.correlation).clamp(0.0, SLOPE_MAX);
        }
        if level.leads > 1 {
            used.correlation = level.correlation;
        }
    }
}
