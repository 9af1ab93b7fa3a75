//! Words for plants that are watched after a cut.

use chrono::NaiveDate;

use super::{capital, in_hundred, spread, weekday, work};
use crate::risk::{NightRisk, Part, PastFrost};
use crate::units::UnitSystem;
use crate::watch::{Threat, Watch};

/// So many of the coming nights are told.
const NIGHTS_SHOWN: usize = 3;

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

/// Whether to cover it in the coming night, in a few words.
pub fn tonight(watch: &Watch) -> &'static str {
    let Some(night) = watch.tonight() else {
        return "nothing to cover tonight";
    };
    match (watch.threat(night), night.minimum) {
        (Some(_), _) => "cover tonight",
        (None, Some(_)) => "no cover tonight",
        (None, None) => "tonight is not known",
    }
}

/// What lies before a plant and what has come since, a sentence each.
pub fn outlook(watch: &Watch, units: UnitSystem) -> Vec<String> {
    let today = watch.basis.today;
    let mut sentences = vec![until(watch, today)];
    sentences.extend(nights(watch, units));
    let frosts = watch.after.frosts.iter();
    sentences.extend(
        frosts.map(|frost| format!("Since the cut: {}.", self::frost(frost, today, units))),
    );
    sentences
}

/// Until when something of it is tender.
fn until(watch: &Watch, today: NaiveDate) -> String {
    match &watch.after.firm_by {
        Some(firm) if firm.late <= today => "Nothing of it is tender any more.".to_owned(),
        Some(firm) => format!("Tender till {}.", spread(firm, today)),
        None => "Tender; without past years its end is not known.".to_owned(),
    }
}

/// The chance of damage in each of the next nights.
fn nights(watch: &Watch, units: UnitSystem) -> Option<String> {
    let today = watch.basis.today;
    let first = watch.after.nights.first()?;
    let night = |night: &NightRisk| {
        let minimum = night.minimum.map_or_else(
            || "no forecast".to_owned(),
            |minimum| format!("forecast {}", units.temperature(minimum)),
        );
        format!(
            "{} {} ({minimum})",
            weekday(night.date, today),
            in_hundred(night.chance)
        )
    };
    let nights: Vec<String> = watch
        .after
        .nights
        .iter()
        .take(NIGHTS_SHOWN)
        .map(night)
        .collect();
    Some(format!(
        "Chance of {} or less, which hurts {}, in the night to {}.",
        units.temperature(first.damage_at),
        tender(&first.tender),
        nights.join(", ")
    ))
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
