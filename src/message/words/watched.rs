//! Words for plants that are watched after a cut.

use chrono::NaiveDate;

use super::{capital, in_hundred, spread, work};
use crate::locale::{Locale, say};
use crate::risk::{NightRisk, Part, PastFrost};
use crate::watch::{Threat, Watch};

/// So many of the coming nights are told.
const NIGHTS_SHOWN: usize = 3;

/// Which cut it was: "Box edging (shearing of Sun 12 April)".
pub fn deed(watch: &Watch, today: NaiveDate, locale: Locale) -> String {
    let deed = &watch.deed;
    say!(
        locale,
        "deed",
        planting = capital(&deed.planting),
        work = work(watch.cut_kind, locale),
        day = locale.weekday(deed.on, today)
    )
}

/// What threatens it in a night.
pub fn threat(night: &NightRisk, threat: Threat, locale: Locale) -> String {
    let mark = locale.temperature(night.damage_at);
    let tender = tender(&night.tender, locale);
    let ways = in_hundred(night.chance, locale);
    let minimum = night.minimum.map(|minimum| locale.temperature(minimum));
    match (threat, minimum) {
        (Threat::Forecast, Some(minimum)) => say!(
            locale,
            "threat-forecast",
            minimum = minimum,
            mark = mark,
            tender = tender,
            ways = ways
        ),
        (Threat::Chance, Some(minimum)) => say!(
            locale,
            "threat-chance-and-forecast",
            ways = ways,
            mark = mark,
            tender = tender,
            minimum = minimum
        ),
        (Threat::Forecast | Threat::Chance, None) => say!(
            locale,
            "threat-chance",
            ways = ways,
            mark = mark,
            tender = tender
        ),
        (Threat::PastYears, _) => say!(
            locale,
            "threat-past-years",
            ways = ways,
            mark = mark,
            tender = tender
        ),
    }
}

/// Whether to cover it in the coming night, in a few words.
pub fn tonight(watch: &Watch, locale: Locale) -> String {
    let Some(night) = watch.tonight() else {
        return say!(locale, "tonight-nothing");
    };
    match (watch.threat(night), night.minimum) {
        (Some(_), _) => say!(locale, "tonight-cover"),
        (None, Some(_)) => say!(locale, "tonight-no-cover"),
        (None, None) => say!(locale, "tonight-unknown"),
    }
}

/// What lies before a plant and what has come since, a sentence each.
pub fn outlook(watch: &Watch, locale: Locale) -> Vec<String> {
    let today = watch.basis.today;
    let mut sentences = vec![until(watch, today, locale)];
    sentences.extend(nights(watch, locale));
    let frosts = watch.after.frosts.iter();
    sentences.extend(frosts.map(|frost| {
        let frost = self::frost(frost, today, locale);
        say!(locale, "frost-since", frost = frost)
    }));
    sentences
}

/// Until when something of it is tender.
fn until(watch: &Watch, today: NaiveDate, locale: Locale) -> String {
    match &watch.after.firm_by {
        Some(firm) if firm.late <= today => say!(locale, "tender-no-more"),
        Some(firm) => say!(locale, "tender-till", end = spread(firm, today, locale)),
        None => say!(locale, "tender-unknown"),
    }
}

/// The chance of damage in each of the next nights.
fn nights(watch: &Watch, locale: Locale) -> Option<String> {
    let today = watch.basis.today;
    let first = watch.after.nights.first()?;
    let night = |night: &NightRisk| {
        let date = locale.weekday(night.date, today);
        let ways = in_hundred(night.chance, locale);
        match night.minimum.map(|minimum| locale.temperature(minimum)) {
            Some(minimum) => say!(
                locale,
                "night-forecast",
                night = date,
                ways = ways,
                minimum = minimum
            ),
            None => say!(locale, "night-no-forecast", night = date, ways = ways),
        }
    };
    let nights = watch.after.nights.iter().take(NIGHTS_SHOWN).map(night);
    let nights: Vec<String> = nights.collect();
    Some(say!(
        locale,
        "nights-chance",
        mark = locale.temperature(first.damage_at),
        tender = tender(&first.tender, locale),
        nights = nights.join(", ")
    ))
}

/// How long the watch lasts, as a sentence.
pub fn lasts(watch: &Watch, today: NaiveDate, locale: Locale) -> String {
    match &watch.after.firm_by {
        Some(firm) => say!(locale, "watched-till", end = spread(firm, today, locale)),
        None => say!(locale, "watched-unknown"),
    }
}

/// A night that did damage.
pub fn frost(frost: &PastFrost, today: NaiveDate, locale: Locale) -> String {
    say!(
        locale,
        "frost-seen",
        minimum = locale.temperature(frost.minimum),
        night = locale.weekday(frost.date, today),
        mark = locale.temperature(frost.damage_at)
    )
}

/// What is tender, in words.
pub fn tender(parts: &[Part], locale: Locale) -> String {
    let words = parts.iter().map(|part| match part {
        Part::Edges => say!(locale, "tender-edges"),
        Part::Growth => say!(locale, "tender-growth"),
        Part::Wood => say!(locale, "tender-wood"),
    });
    words
        .reduce(|first, last| say!(locale, "and", first = first, last = last))
        .unwrap_or_default()
}
