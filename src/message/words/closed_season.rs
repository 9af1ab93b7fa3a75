//! Words for the closed seasons of trees.

use chrono::NaiveDate;

use super::{Row, range};
use crate::locale::{Locale, say};
use crate::rules::{ClosedSeasonFacts, ClosedTree, Closure, Paint};
use crate::units::Celsius;

pub(super) fn reason(facts: &ClosedSeasonFacts, today: NaiveDate, locale: Locale) -> String {
    let draws = draws(facts.tree);
    let limit = locale.temperature(Celsius::new(10.0));
    let mut parts = vec![match facts.closure {
        Closure::Season => {
            let season = facts.season.map(|season| range(season, today, locale));
            format!("{draws}: closed {}", season.unwrap_or_default())
        }
        Closure::Warm { day, max } => format!(
            "{draws}, and they fly from {limit} on: {} has {}; it has to stay colder for a week before the cut and 48 \
             hours after it",
            locale.weekday(day, today),
            locale.temperature(max)
        ),
        Closure::Unknown => format!(
            "{draws}, and whether the coming days stay below {limit}, where none fly, is not known"
        ),
        Closure::Open => match facts.season {
            Some(season) => format!(
                "{draws}; the closed season begins {}",
                locale.date(season.from, today)
            ),
            None => format!("{draws}, but the days about today stay below {limit}"),
        },
    }];
    parts.extend(differ(facts.tree).map(str::to_owned));
    parts.extend(paint(facts).map(str::to_owned));
    parts.join("; ")
}

pub(super) fn numbers(facts: &ClosedSeasonFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let season = facts.season.map_or_else(
        || "none; the temperature decides".to_owned(),
        |season| range(season, today, locale),
    );
    let mut rows = vec![(say!(locale, "row-closed-season"), season)];
    if let Closure::Warm { day, max } = facts.closure {
        rows.push((
            say!(locale, "row-warmest-day"),
            format!(
                "{}, {}",
                locale.weekday(day, today),
                locale.temperature(max)
            ),
        ));
        rows.push((
            say!(locale, "row-beetles-fly"),
            locale.temperature(Celsius::new(10.0)),
        ));
    }
    rows
}

const fn draws(tree: ClosedTree) -> &'static str {
    match tree {
        ClosedTree::Oak => "fresh cuts draw the beetles that carry oak wilt",
        ClosedTree::Elm => "fresh cuts draw the beetles that carry Dutch elm disease",
        ClosedTree::CherryWet => "canker and silver leaf enter fresh cuts in the wet cool months",
        ClosedTree::CherryMoth => "fresh cuts draw the moth whose grubs live in cherry bark",
        ClosedTree::BirchBorer => "fresh cuts draw the borer of birches",
        ClosedTree::BirchDrip => "birches drip from cuts in late winter",
        ClosedTree::Dogwood => "borers lay their eggs in fresh wounds of dogwood in spring",
    }
}

/// That sources differ, and what they say.
const fn differ(tree: ClosedTree) -> Option<&'static str> {
    match tree {
        ClosedTree::Oak => Some(
            "sources differ (April to June, April to November, any day of 50 °F or 10 °C), and the strictest advice for \
             the region counts",
        ),
        ClosedTree::CherryWet => {
            Some("sources differ: in the Pacific Northwest May to August is closed instead")
        }
        ClosedTree::CherryMoth => {
            Some("sources differ: elsewhere cherries are cut in dry weather after bloom")
        }
        ClosedTree::BirchBorer => Some(
            "sources differ: some cut after full leaf in June so that it does not drip, which is when the borer flies",
        ),
        ClosedTree::BirchDrip => {
            Some("sources differ: others keep clear of the borer, May to August")
        }
        ClosedTree::Elm | ClosedTree::Dogwood => None,
    }
}

/// What to do with the wound in or near the season.
const fn paint(facts: &ClosedSeasonFacts) -> Option<&'static str> {
    match (facts.paint, facts.closure, facts.storm) {
        (Paint::AllYear, _, false) => {
            Some("paint each cut within minutes, in every month; November to January is best")
        }
        (Paint::AllYear | Paint::InSeason, Closure::Season | Closure::Warm { .. }, true) => Some(
            "paint the torn wood now, within minutes of finding it, and make the clean cut when the season is over; what \
             hangs over people is a licensed arborist's at once",
        ),
        (Paint::AllYear, _, true) => Some("paint each cut within minutes"),
        (Paint::Never | Paint::InSeason, _, _) => None,
    }
}
