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
        say!(locale, "blight-since", day = day)
    } else {
        say!(locale, "blight-from", day = day)
    };
    let mean = spell
        .mean
        .map(|mean| say!(locale, "blight-mean", mean = locale.temperature(mean)));
    let rain = Some(spell.rain).filter(|rain| rain.0 > 0.0);
    let rain = rain.map(|rain| say!(locale, "blight-rain", rain = locale.water(rain)));
    let with: Vec<String> = mean.into_iter().chain(rain).collect();
    if with.is_empty() {
        return say!(locale, "blight", when = when, hours = spell.hours);
    }
    say!(
        locale,
        "blight-with",
        when = when,
        hours = spell.hours,
        with = with.join(" ")
    )
}

fn flowers(blossom: BlossomBlight, today: NaiveDate, locale: Locale) -> String {
    say!(
        locale,
        "fire-blight",
        day = locale.weekday(blossom.day, today),
        mean = locale.temperature(blossom.mean)
    )
}

fn ahead(rain: RainAhead, locale: Locale) -> String {
    let amount = locale.water(rain.amount);
    match rain.why {
        WhyDry::BoxwoodBlight => say!(locale, "rain-ahead-boxwood", rain = amount),
        WhyDry::Wounds => say!(locale, "rain-ahead-wounds", rain = amount),
        WhyDry::SoftLeaves => say!(locale, "rain-ahead-soft-leaves", rain = amount),
    }
}

fn wet(leaves: WetLeaves, today: NaiveDate, locale: Locale) -> String {
    match leaves.dry {
        Some(half) => say!(
            locale,
            "leaves-wet-until",
            dry = half_day(half, today, locale)
        ),
        None => say!(locale, "leaves-wet-all-week"),
    }
}

fn dry(month: WaterBalance, locale: Locale) -> String {
    say!(
        locale,
        "dry-month",
        days = month.days,
        rain = locale.water(month.rain)
    )
}

/// The numbers behind it.
pub(super) fn rows(facts: &WetFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(BlightSpell { spell, .. }) = facts.blight {
        let day = locale.weekday(spell.on, today);
        let hours = say!(locale, "hours-from", hours = spell.hours, day = day);
        rows.push((say!(locale, "row-wet-hours"), hours));
        rows.push((say!(locale, "row-wet-rain"), locale.water(spell.rain)));
        if let Some(mean) = spell.mean {
            rows.push((say!(locale, "row-wet-mean"), locale.temperature(mean)));
        }
    }
    if let Some(blossom) = facts.blossom {
        let growth = locale.number(blossom.growth, 1);
        let warmth = say!(locale, "warmth-times", times = growth);
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
