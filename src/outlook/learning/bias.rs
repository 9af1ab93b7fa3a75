//! By how much the nights were forecast too warm lately.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::Truth;
use super::nights::{Pair, SHORT_LEADS, weight};
use crate::outlook::skill::{COLD_BELOW, WarmBias};
use crate::units::CelsiusStep;

/// How far back the bias over all nights looks. Shorter windows follow single spells, longer ones the season before
/// (30 to 60 days are in use for running corrections: Gneiting et al., Mon. Wea. Rev. 133, 2005, has 40).
const DAYS_ALL: u64 = 30;

/// How far back that of one kind of night looks: there are fewer of them.
const DAYS_OF_KIND: u64 = 60;

/// What is known before counts as much as so many nights (estimate).
const PRIOR_NIGHTS: f64 = 10.0;

/// No bias is believed beyond this, in kelvin (estimate).
const LIMIT: f64 = 3.0;

/// The bias after the nights of the last weeks.
///
/// `all` is the mean error of the last 30 days with the prior as ten nights more, that of a kind of night the mean of
/// the last 60 days with ten nights of `all`. It is made of means over weeks, so that a sudden shift is learned over
/// weeks too. A night that was held against the model's own analysis has the prior added to its error: that is what
/// the two have in common and cannot show.
pub(super) fn learned(prior: WarmBias, pairs: &[Pair], today: NaiveDate) -> WarmBias {
    if pairs.is_empty() {
        return prior;
    }
    let nights = one_each(pairs);
    let before = prior.all.kelvin();
    let errors = |days: u64, is_meant: &dyn Fn(&Pair) -> bool| -> (f64, f64) {
        let recent: Vec<&Pair> = nights
            .iter()
            .filter(|pair| pair.night.date >= today - Days::new(days) && is_meant(pair))
            .collect();
        let error = |pair: &&Pair| pair.weight * (pair.error() + hidden(pair, before));
        (recent.iter().map(error).sum(), weight(recent))
    };
    let blend = |(sum, nights): (f64, f64), before: f64| {
        if nights > 0.0 {
            (sum + PRIOR_NIGHTS * before) / (nights + PRIOR_NIGHTS)
        } else {
            before
        }
    };
    let all = blend(errors(DAYS_ALL, &|_| true), before);
    let of_kind = |before: CelsiusStep, is_meant: &dyn Fn(&Pair) -> bool| {
        let apart = (before - prior.all).kelvin();
        blend(errors(DAYS_OF_KIND, is_meant), all + apart)
    };
    let is_cold = |pair: &Pair| pair.forecast_anomaly() < COLD_BELOW;
    let limited = |kelvin: f64| CelsiusStep::new(kelvin.clamp(-LIMIT, LIMIT));
    WarmBias {
        all: limited(all),
        cold: limited(of_kind(prior.cold, &is_cold)),
        other: limited(of_kind(prior.other, &|pair| !is_cold(pair))),
    }
}

/// The part of the bias that the truth of a night shares.
fn hidden(pair: &Pair, prior: f64) -> f64 {
    match pair.night.truth {
        Truth::Record => 0.0,
        Truth::Analysis => prior,
    }
}

/// One error for each night: of the ensemble where there was one, at the shortest lead.
fn one_each(pairs: &[Pair]) -> Vec<Pair> {
    let mut best: BTreeMap<NaiveDate, Pair> = BTreeMap::new();
    let rank = |pair: &Pair| (pair.night.members <= 1, pair.night.lead);
    for pair in pairs.iter().filter(|pair| pair.night.lead <= SHORT_LEADS) {
        let known = best.entry(pair.night.date).or_insert(*pair);
        if rank(pair) < rank(known) {
            *known = *pair;
        }
    }
    best.into_values().collect()
}
