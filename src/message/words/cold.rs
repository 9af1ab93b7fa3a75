//! Severe cold after a cut, and frozen wood, in words.

use chrono::NaiveDate;

use super::Row;
use crate::locale::{Locale, say};
use crate::rules::{After, ColdFacts, Severe, SuddenFall};

/// What there is to say of severe cold.
pub(super) fn sentence(facts: &ColdFacts, today: NaiveDate, locale: Locale) -> String {
    let frozen = facts.frozen;
    let said = [
        facts.severe.map(|severe| night(severe, today, locale)),
        facts.fall.map(|fall| sudden(fall, today, locale)),
        frozen.map(|max| say!(locale, "cold-frozen", max = locale.temperature(max))),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn when(after: After, locale: Locale) -> String {
    match after {
        After::TwoDays => say!(locale, "cold-two-days"),
        After::TwoWeeks => say!(locale, "cold-two-weeks"),
    }
}

fn night(severe: Severe, today: NaiveDate, locale: Locale) -> String {
    say!(
        locale,
        "cold-severe",
        lowest = locale.temperature(severe.lowest),
        day = locale.weekday(severe.day, today),
        why = when(severe.after, locale)
    )
}

fn sudden(fall: SuddenFall, today: NaiveDate, locale: Locale) -> String {
    say!(
        locale,
        "cold-sudden",
        from = locale.temperature(fall.from),
        to = locale.temperature(fall.to),
        day = locale.weekday(fall.day, today),
        why = when(fall.after, locale)
    )
}

/// The numbers behind it.
pub(super) fn rows(facts: &ColdFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(severe) = facts.severe {
        let night = say!(
            locale,
            "degrees-on",
            degrees = locale.temperature(severe.lowest),
            day = locale.weekday(severe.day, today)
        );
        let limit = locale.temperature(severe.limit);
        let limit = say!(locale, "degrees-and-below", degrees = limit);
        rows.push((say!(locale, "row-severe-night"), night));
        rows.push((say!(locale, "row-severe"), limit));
    }
    if let Some(fall) = facts.fall {
        let value = say!(
            locale,
            "fall-to",
            step = locale.step(fall.from - fall.to),
            degrees = locale.temperature(fall.to),
            day = locale.weekday(fall.day, today)
        );
        rows.push((say!(locale, "row-fall-48"), value));
    }
    if let Some(max) = facts.frozen {
        rows.push((say!(locale, "row-highest-today"), locale.temperature(max)));
    }
    rows
}
