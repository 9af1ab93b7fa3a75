//! Wet leaves and infection weather in words.

use chrono::NaiveDate;

use super::{Row, half_day};
use crate::locale::{Locale, say};
use crate::rules::{BlightSpell, BlossomBlight, RainAhead, WetFacts, WetLeaves, WhyDry};
use crate::work::WaterBalance;

/// What there is to say of wet weather.
pub(super) fn sentence(facts: &WetFacts, today: NaiveDate, locale: Locale) -> String {
    // A wet spell says the rain of it, and what infects says more than wet leaves.
    let rain = facts
        .rain
        .filter(|rain| facts.blight.is_none() || rain.why != WhyDry::BoxwoodBlight);
    let infects = facts.blight.is_some() || facts.blossom.is_some() || rain.is_some();
    let leaves = facts.leaves.filter(|_| !infects);
    let said = [
        facts.blight.map(|blight| spell(blight, today, locale)),
        facts.blossom.map(|blossom| flowers(blossom, today, locale)),
        rain.map(|rain| ahead(rain, locale)),
        leaves.map(|leaves| wet(leaves, today, locale)),
        facts.dry_month.map(|month| dry(month, locale)),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn spell(blight: BlightSpell, today: NaiveDate, locale: Locale) -> String {
    let BlightSpell { spell, begun } = blight;
    let day = locale.weekday(spell.on, today);
    let when = if begun {
        format!("since {day}")
    } else {
        format!("from {day}")
    };
    let mean = spell
        .mean
        .map(|mean| format!(" at {}", locale.temperature(mean)));
    let rain = Some(spell.rain).filter(|rain| rain.0 > 0.0);
    let rain = rain.map(|rain| format!(" with {} of rain", locale.water(rain)));
    format!(
        "boxwood blight weather {when}: {} wet hours in a row{}{}, enough to infect fresh cuts",
        spell.hours,
        mean.unwrap_or_default(),
        rain.unwrap_or_default()
    )
}

fn flowers(blossom: BlossomBlight, today: NaiveDate, locale: Locale) -> String {
    format!(
        "fire blight weather on {}: open flowers, wet, and a mean of {} after enough warmth for the bacteria",
        locale.weekday(blossom.day, today),
        locale.temperature(blossom.mean)
    )
}

fn ahead(rain: RainAhead, locale: Locale) -> String {
    let amount = locale.water(rain.amount);
    let why = match rain.why {
        WhyDry::BoxwoodBlight => "it splashes boxwood blight into fresh cuts at these temperatures",
        WhyDry::Wounds => "fresh cuts of this kind take in disease with rain and want two dry days",
        WhyDry::SoftLeaves => "new leaves are soft, and cool wet days bring leaf spot into cuts",
    };
    format!("{amount} of rain are due within 48 hours, and {why}")
}

fn wet(leaves: WetLeaves, today: NaiveDate, locale: Locale) -> String {
    match leaves.dry {
        Some((day, half)) => format!(
            "leaves are wet now and dry {}: cut dry leaves only",
            half_day((day, half), today, locale)
        ),
        None => "leaves stay wet all week: cut dry leaves only".to_owned(),
    }
}

fn dry(month: WaterBalance, locale: Locale) -> String {
    format!(
        "the last {} days were dry, {} of rain, so the pressure of boxwood blight is low; holes plucked now for air serve \
         the next wet year",
        month.days,
        locale.water(month.rain)
    )
}

/// The numbers behind it.
pub(super) fn rows(facts: &WetFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(BlightSpell { spell, .. }) = facts.blight {
        let hours = format!("{} from {}", spell.hours, locale.weekday(spell.on, today));
        rows.push((say!(locale, "row-wet-hours"), hours));
        rows.push((say!(locale, "row-wet-rain"), locale.water(spell.rain)));
        if let Some(mean) = spell.mean {
            rows.push((say!(locale, "row-wet-mean"), locale.temperature(mean)));
        }
    }
    if let Some(blossom) = facts.blossom {
        let warmth = format!("{:.1} times what the bacteria need", blossom.growth);
        rows.push((say!(locale, "row-blossom-warmth"), warmth));
        rows.push((
            say!(locale, "row-day-mean"),
            locale.temperature(blossom.mean),
        ));
    }
    if let Some(rain) = facts.rain {
        rows.push((say!(locale, "row-rain-48"), locale.water(rain.amount)));
    }
    if let Some(month) = facts.dry_month {
        rows.push((say!(locale, "row-rain-month"), locale.water(month.rain)));
        let taken = locale.water(month.evapotranspiration);
        rows.push((say!(locale, "row-evapotranspiration"), taken));
    }
    rows
}
