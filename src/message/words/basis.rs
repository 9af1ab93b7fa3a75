//! What a number rests on, in words.

use crate::climate::FromHere;
use crate::outlook::Basis;
use crate::units::{Metres, UnitSystem, count};

/// What the numbers rest on, as one sentence.
pub fn basis(basis: &Basis) -> String {
    let futures = basis.futures;
    let years = match basis.years {
        0 => "no past years".to_owned(),
        n => format!("{n} past years"),
    };
    let forecast = match (basis.members, basis.forecast_age_hours) {
        (0, _) | (_, None) => "no forecast".to_owned(),
        (1, Some(age)) => format!(
            "a single forecast run, {} old, for {} days",
            hours(age),
            basis.forecast_days
        ),
        (n, Some(age)) => format!(
            "a forecast of {n} members, {} old, for {} days",
            hours(age),
            basis.forecast_days
        ),
    };
    let short = match basis.years {
        years @ 1..SHORT_RECORD => format!(
            "; a short record, by which a chance of 10 of 100 is known to about {:.0} either way",
            off_by(years)
        ),
        _ => String::new(),
    };
    format!(
        "{futures} ways the weather can go: {years} and {forecast}{short}; not checked in your garden"
    )
}

/// A record of fewer years than this is called short: no trend can be seen in it.
const SHORT_RECORD: usize = 20;

/// By how many of 100 a chance of 10 of 100 that was counted over so many years may be off: the standard error of a
/// share of independent trials.
pub fn off_by(years: usize) -> f64 {
    let share = 0.1_f64;
    100.0 * (share * (1.0 - share) / count(years.max(1))).sqrt()
}

/// Where the data come from, a line each.
pub fn credits(basis: &Basis, units: UnitSystem) -> Vec<String> {
    let forecast = basis
        .forecast_from
        .as_ref()
        .map(|from| format!("Forecast: {from}"));
    let record = basis
        .record_from
        .as_ref()
        .map(|from| format!("Past years: {from}{}", site(basis.record_site, units)));
    forecast.into_iter().chain(record).collect()
}

/// Where the record's site lies, after its name; nothing where that is not known.
pub fn site(site: Option<FromHere>, units: UnitSystem) -> String {
    let Some(FromHere { distance, above }) = site else {
        return String::new();
    };
    let distance = units.distance(distance);
    let height = above.map_or_else(String::new, |above| {
        let side = if above.0 < 0.0 { "lower" } else { "higher" };
        format!(" and {} {side}", units.length(Metres(above.0.abs())))
    });
    format!("; its site is {distance} away{height}")
}

/// An age in words.
pub(super) fn hours(age: i64) -> String {
    match age {
        0 => "less than an hour".to_owned(),
        1 => "1 hour".to_owned(),
        age if age < 48 => format!("{age} hours"),
        age => format!("{} days", age / 24),
    }
}
