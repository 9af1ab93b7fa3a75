//! What a number rests on, in words.

use crate::almanac::german_source;
use crate::climate::FromHere;
use crate::locale::{Language, Locale, say};
use crate::outlook::Basis;
use crate::units::{Metres, count};

/// What the numbers rest on, as one sentence.
pub fn basis(basis: &Basis, locale: Locale) -> String {
    let years = match basis.years {
        0 => say!(locale, "basis-no-years"),
        years => say!(locale, "basis-years", years = years),
    };
    let forecast = match (basis.members, basis.forecast_age_hours) {
        (0, _) | (_, None) => say!(locale, "basis-no-forecast"),
        (1, Some(age)) => say!(
            locale,
            "basis-single-run",
            age = hours(age, locale),
            days = basis.forecast_days
        ),
        (members, Some(age)) => say!(
            locale,
            "basis-members",
            members = members,
            age = hours(age, locale),
            days = basis.forecast_days
        ),
    };
    let futures = basis.futures;
    match basis.years {
        short @ 1..SHORT_RECORD => say!(
            locale,
            "basis-short",
            futures = futures,
            years = years,
            forecast = forecast,
            off = locale.number(off_by(short), 0)
        ),
        _ => say!(
            locale,
            "basis",
            futures = futures,
            years = years,
            forecast = forecast
        ),
    }
}

/// The same with what is counted over it.
pub fn counted_over(basis: &Basis, locale: Locale) -> String {
    say!(locale, "counted-over", basis = self::basis(basis, locale))
}

/// Who says so, as a sentence.
pub fn sourced(source: &str, locale: Locale) -> String {
    say!(locale, "source", source = cited(source, locale))
}

/// A source with the words about its citations in the language; the citations stay as they are.
pub fn cited(source: &str, locale: Locale) -> String {
    match locale.language {
        Language::English => source.to_owned(),
        Language::German => german_source(source),
    }
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
pub fn credits(basis: &Basis, locale: Locale) -> Vec<String> {
    let forecast = basis.forecast_from.as_ref();
    let forecast = forecast.map(|from| say!(locale, "credit-forecast", from = from));
    let record = basis.record_from.as_ref();
    let record = record.map(|from| {
        let site = site(basis.record_site, locale);
        say!(locale, "credit-record", from = from, site = site)
    });
    forecast.into_iter().chain(record).collect()
}

/// Where the record's site lies, after its name; nothing where that is not known.
pub fn site(site: Option<FromHere>, locale: Locale) -> String {
    let Some(FromHere { distance, above }) = site else {
        return String::new();
    };
    let distance = locale.distance(distance);
    let Some(above) = above else {
        return say!(locale, "site-away", distance = distance);
    };
    let height = locale.length(Metres(above.0.abs()));
    if above.0 < 0.0 {
        say!(locale, "site-lower", distance = distance, height = height)
    } else {
        say!(locale, "site-higher", distance = distance, height = height)
    }
}

/// An age in words.
pub(super) fn hours(age: i64, locale: Locale) -> String {
    match age {
        0 => say!(locale, "age-moment"),
        age if age < 48 => say!(locale, "age-hours", hours = age),
        age => say!(locale, "age-days", days = age / 24),
    }
}
