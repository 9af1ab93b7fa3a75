//! Words for the closed seasons of trees.

use chrono::NaiveDate;

use super::{Row, range};
use crate::locale::{Locale, say};
use crate::rules::{ClosedSeasonFacts, ClosedTree, Closure, Paint};
use crate::units::Celsius;

pub(super) fn reason(facts: &ClosedSeasonFacts, today: NaiveDate, locale: Locale) -> String {
    let draws = draws(facts.tree, locale);
    let limit = locale.temperature(Celsius::new(10.0));
    let closure = match (facts.closure, facts.season) {
        (Closure::Season, season) => {
            let season = season.map(|season| range(season, today, locale));
            say!(
                locale,
                "closed-season",
                why = draws,
                season = season.unwrap_or_default()
            )
        }
        (Closure::Warm { day, max }, _) => say!(
            locale,
            "closed-warm",
            why = draws,
            limit = limit,
            day = locale.weekday(day, today),
            max = locale.temperature(max)
        ),
        (Closure::Unknown, _) => say!(locale, "closed-unknown", why = draws, limit = limit),
        (Closure::Open, Some(season)) => say!(
            locale,
            "closed-later",
            why = draws,
            begins = locale.date(season.from, today)
        ),
        (Closure::Open, None) => say!(locale, "closed-cold", why = draws, limit = limit),
    };
    let mut parts = vec![closure];
    parts.extend(differ(facts.tree, locale));
    parts.extend(paint(facts, locale));
    parts.join("; ")
}

pub(super) fn numbers(facts: &ClosedSeasonFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let season = facts.season.map_or_else(
        || say!(locale, "closed-by-temperature"),
        |season| range(season, today, locale),
    );
    let mut rows = vec![(say!(locale, "row-closed-season"), season)];
    if let Closure::Warm { day, max } = facts.closure {
        let day = locale.weekday(day, today);
        let warmest = format!("{day}, {}", locale.temperature(max));
        rows.push((say!(locale, "row-warmest-day"), warmest));
        let fly = locale.temperature(Celsius::new(10.0));
        rows.push((say!(locale, "row-beetles-fly"), fly));
    }
    rows
}

fn draws(tree: ClosedTree, locale: Locale) -> String {
    match tree {
        ClosedTree::Oak => say!(locale, "draws-oak"),
        ClosedTree::Elm => say!(locale, "draws-elm"),
        ClosedTree::CherryWet => say!(locale, "draws-cherry-wet"),
        ClosedTree::CherryMoth => say!(locale, "draws-cherry-moth"),
        ClosedTree::BirchBorer => say!(locale, "draws-birch-borer"),
        ClosedTree::BirchDrip => say!(locale, "draws-birch-drip"),
        ClosedTree::Dogwood => say!(locale, "draws-dogwood"),
    }
}

/// That sources differ, and what they say.
fn differ(tree: ClosedTree, locale: Locale) -> Option<String> {
    match tree {
        ClosedTree::Oak => Some(say!(locale, "differ-oak")),
        ClosedTree::CherryWet => Some(say!(locale, "differ-cherry-wet")),
        ClosedTree::CherryMoth => Some(say!(locale, "differ-cherry-moth")),
        ClosedTree::BirchBorer => Some(say!(locale, "differ-birch-borer")),
        ClosedTree::BirchDrip => Some(say!(locale, "differ-birch-drip")),
        ClosedTree::Elm | ClosedTree::Dogwood => None,
    }
}

/// What to do with the wound in or near the season.
fn paint(facts: &ClosedSeasonFacts, locale: Locale) -> Option<String> {
    match (facts.paint, facts.closure, facts.storm) {
        (Paint::AllYear, _, false) => Some(say!(locale, "paint-all-year")),
        (Paint::AllYear | Paint::InSeason, Closure::Season | Closure::Warm { .. }, true) => {
            Some(say!(locale, "paint-torn"))
        }
        (Paint::AllYear, _, true) => Some(say!(locale, "paint-each")),
        (Paint::Never | Paint::InSeason, _, _) => None,
    }
}
