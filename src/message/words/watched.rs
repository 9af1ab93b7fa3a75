//! Words for plants that are watched after a cut.

use chrono::NaiveDate;

use super::{capital, in_hundred, spread, weekday, work};
use crate::risk::{NightRisk, Part, PastFrost};
use crate::units::UnitSystem;
use crate::watch::{Threat, Watch};

/// Which cut it was: "Box edging (shearing of Sun 12 April)".
pub fn deed(watch: &Watch, today: NaiveDate) -> String {
    let deed = &watch.deed;
    format!(
        "{} ({} of {})",
        capital(&deed.planting),
        work(watch.cut_kind),
        weekday(deed.on, today)
    )
}

/// What threatens it in a night.
pub fn threat(night: &NightRisk, threat: Threat, units: UnitSystem) -> String {
    let mark = units.temperature(night.damage_at);
    let tender = tender(&night.tender);
    let ways = in_hundred(night.chance);
    let minimum = night.minimum.map(|minimum| units.temperature(minimum));
    match (threat, minimum) {
        (Threat::Forecast, Some(minimum)) => format!(
            "the forecast has {minimum} at the plant; from {mark} down it hurts {tender}; {ways} ways bring that"
        ),
        (Threat::Forecast | Threat::Chance, minimum) => {
            let minimum = minimum.map(|minimum| format!("; the forecast itself has {minimum}"));
            format!(
                "{ways} ways the weather can go bring {mark} or less, which hurts {tender}{}",
                minimum.unwrap_or_default()
            )
        }
        (Threat::PastYears, _) => format!(
            "there is no forecast for that night; by the past years {ways} ways bring {mark} or less, which hurts \
             {tender}: look at another forecast"
        ),
    }
}

/// How long the watch lasts, as a sentence.
pub fn lasts(watch: &Watch, today: NaiveDate) -> String {
    match &watch.after.firm_by {
        Some(firm) => format!("Watched till it is firm, {}", spread(firm, today)),
        None => "Watched till it is firm; without past years that day is not known".to_owned(),
    }
}

/// A night that did damage.
pub fn frost(frost: &PastFrost, today: NaiveDate, units: UnitSystem) -> String {
    format!(
        "{} at the plant in the night to {}; from {} down it hurts what the cut left tender",
        units.temperature(frost.minimum),
        weekday(frost.date, today),
        units.temperature(frost.damage_at)
    )
}

/// What is tender, in words.
pub fn tender(parts: &[Part]) -> String {
    let words = parts.iter().map(|part| match part {
        Part::Edges => "the cut edges",
        Part::Growth => "the new growth",
        Part::Wood => "wood that has not hardened",
    });
    words.collect::<Vec<_>>().join(" and ")
}
