//! Sources of weather that differ, in words.

use chrono::{DateTime, Utc};

use super::basis::hours;
use super::capital;
use crate::forecast::SourceState;
use crate::locale::{Locale, say};
use crate::rules::SourcesFacts;

/// What the sources say, and which of them rules.
pub(super) fn reason(facts: &SourcesFacts, locale: Locale) -> String {
    let differ = || {
        let rules = source_name(facts.rules.as_ref()?, locale);
        let names = |names: &[String]| {
            let names: Vec<String> = names.iter().map(|name| source_name(name, locale)).collect();
            listed(&names, locale)
        };
        let (go, not_go) = (names(&facts.go)?, names(&facts.not_go)?);
        Some(say!(
            locale,
            "sources-differ",
            go = go,
            not_go = not_go,
            rules = rules
        ))
    };
    let odd = facts.odd.iter().map(|odd| {
        say!(
            locale,
            "source-odd",
            source = source_name(&odd.source, locale),
            lowest = locale.temperature(odd.lowest),
            others = locale.temperature(odd.others)
        )
    });
    let said: Vec<String> = differ().into_iter().chain(odd).collect();
    said.join("; ")
}

/// A source as people call it.
pub fn source_name(source: &str, locale: Locale) -> String {
    match (source, source.strip_prefix("files: ")) {
        ("open-meteo", _) => say!(locale, "source-open-meteo"),
        ("met-norway", _) => say!(locale, "source-met-norway"),
        ("nws", _) => say!(locale, "source-nws"),
        (_, Some(file)) => say!(locale, "source-file", file = file),
        (other, None) => other.to_owned(),
    }
}

/// What is known of a source as it stood at a moment, which `when` writes as a clock at the garden shows it.
pub fn source_state(
    state: &SourceState,
    at: DateTime<Utc>,
    when: impl Fn(DateTime<Utc>) -> String,
    locale: Locale,
) -> String {
    let name = capital(&source_name(&state.source, locale));
    let old = |instant: DateTime<Utc>| hours((at - instant).num_hours().max(0), locale);
    let heard = state.heard.as_ref().map_or_else(
        || say!(locale, "source-not-heard", name = &name),
        |heard| {
            say!(
                locale,
                "source-heard",
                name = &name,
                fetched = old(heard.fetched_at),
                data = old(heard.data_at),
                fresh = hours(state.fresh_for_hours, locale)
            )
        },
    );
    let silent = state.silent_since;
    let silent = silent.map(|since| say!(locale, "source-silent", since = when(since)));
    let odd = state.is_odd.then(|| say!(locale, "source-left-out"));
    let credit = state.heard.as_ref();
    let credit = credit.map_or_else(String::new, |heard| format!(". {}", heard.attribution));
    let stands = std::iter::once(heard).chain(silent).chain(odd);
    stands.collect::<Vec<_>>().join("; ") + &credit
}

/// Names in a row, the last one after "and"; none where there is none.
pub fn listed(names: &[String], locale: Locale) -> Option<String> {
    let (last, first) = names.split_last()?;
    if first.is_empty() {
        return Some(last.clone());
    }
    Some(say!(
        locale,
        "listed",
        first = first.join(", "),
        last = last
    ))
}
