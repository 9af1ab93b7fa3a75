//! Severe cold after a cut, and frozen wood, in words.

use chrono::NaiveDate;

use super::{Row, weekday};
use crate::rules::{After, ColdFacts, Severe, SuddenFall};
use crate::units::UnitSystem;

/// What there is to say of severe cold.
pub(super) fn sentence(facts: &ColdFacts, today: NaiveDate, units: UnitSystem) -> String {
    let said = [
        facts.severe.map(|severe| night(severe, today, units)),
        facts.fall.map(|fall| sudden(fall, today, units)),
        facts.frozen.map(|max| {
            format!(
                "it does not thaw today ({} at the most): frozen wood and leaves shatter under the blade",
                units.temperature(max)
            )
        }),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

const fn when(after: After) -> &'static str {
    match after {
        After::TwoDays => "and a wound takes most harm in its first two days",
        After::TwoWeeks => "and a hard cut takes two weeks to harden",
    }
}

fn night(severe: Severe, today: NaiveDate, units: UnitSystem) -> String {
    format!(
        "severe cold, {}, is due {}, {}",
        units.temperature(severe.lowest),
        weekday(severe.day, today),
        when(severe.after)
    )
}

fn sudden(fall: SuddenFall, today: NaiveDate, units: UnitSystem) -> String {
    format!(
        "a sudden fall from {} to {} is due by {}, {}",
        units.temperature(fall.from),
        units.temperature(fall.to),
        weekday(fall.day, today),
        when(fall.after)
    )
}

/// The numbers behind it.
pub(super) fn rows(facts: &ColdFacts, today: NaiveDate, units: UnitSystem) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(severe) = facts.severe {
        let night = format!(
            "{} on {}",
            units.temperature(severe.lowest),
            weekday(severe.day, today)
        );
        rows.push(("first severe night", night));
        rows.push((
            "severe here",
            format!("{} and below", units.temperature(severe.limit)),
        ));
    }
    if let Some(fall) = facts.fall {
        rows.push((
            "fall within 48 hours",
            format!(
                "{}, to {} on {}",
                units.step(fall.from - fall.to),
                units.temperature(fall.to),
                weekday(fall.day, today)
            ),
        ));
    }
    if let Some(max) = facts.frozen {
        rows.push(("highest temperature today", units.temperature(max)));
    }
    rows
}
