//! By how much the nights were forecast too warm lately.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use super::Truth;
use super::nights::{Pair, SHORT_LEADS};
use crate::outlook::skill::{Skill, WarmBias};
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
/// the last 60 days with ten nights of `all`. Means over weeks learn a sudden shift over weeks too.
///
/// A forecast that swings too far is too cold on the nights it calls cold, and the slope of its skill draws it back;
/// that part of an error is no bias of the kind of night and would be taken off twice. A night that was held against
/// the model's own analysis has the prior added to its error: what the two have in common cannot show.
pub(super) fn learned(prior: &Skill, pairs: &[Pair], today: NaiveDate) -> WarmBias {
    let before = prior.bias;
    if pairs.is_empty() {
        return before;
    }
    let nights = one_each(pairs);
    let recent = |days: u64| {
        let first = today - Days::new(days);
        nights.iter().filter(move |pair| pair.night.date >= first)
    };
    let error = |pair: &Pair| pair.error() + hidden(pair, before.all.kelvin());
    let all = blend(recent(DAYS_ALL), error, before.all.kelvin());
    let of_kind = |cold: bool, before: f64| {
        let of_kind = recent(DAYS_OF_KIND).filter(move |pair| pair.is_cold() == cold);
        blend(
            of_kind,
            |pair| error(pair) - drawn_back(pair, prior, all),
            before,
        )
    };
    let apart = |kind: CelsiusStep| (kind - before.all).kelvin();
    let limited = |kelvin: f64| CelsiusStep::new(kelvin.clamp(-LIMIT, LIMIT));
    WarmBias {
        all: limited(all),
        cold: limited(of_kind(true, all + apart(before.cold))),
        other: limited(of_kind(false, all + apart(before.other))),
    }
}

/// The weighted mean of the errors, with what was known before as ten nights more.
fn blend<'a>(
    nights: impl Iterator<Item = &'a Pair>,
    error: impl Fn(&Pair) -> f64,
    before: f64,
) -> f64 {
    let start = (PRIOR_NIGHTS * before, PRIOR_NIGHTS);
    let (sum, weight) = nights.fold(start, |(sum, weight), pair| {
        (sum + pair.weight * error(pair), weight + pair.weight)
    });
    sum / weight
}

/// The part of an error that the slope of the skill takes off already: it grows with the forecast's distance from the
/// normal.
fn drawn_back(pair: &Pair, prior: &Skill, bias: f64) -> f64 {
    let night = &pair.night;
    let slope = prior
        .at(night.lead, night.members)
        .map_or(1.0, |at| at.slope);
    (1.0 - slope) * (pair.forecast_anomaly() * pair.normals.spread - bias)
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
