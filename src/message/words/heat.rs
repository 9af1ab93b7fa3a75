//! Heat, bright sun and drought in words.

use chrono::NaiveDate;

use super::Row;
use crate::locale::{Locale, say};
use crate::rules::{Drought, HeatFacts, HotDay};

/// What there is to say of heat, sun and drought.
pub(super) fn sentence(facts: &HeatFacts, today: NaiveDate, locale: Locale) -> String {
    let said = [
        facts.hot.map(|hot| hot_day(hot, today, locale)),
        facts.drought.map(|drought| dry(drought, today, locale)),
        facts.dull.as_ref().map(|days| dull(days, today, locale)),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn hot_day(hot: HotDay, today: NaiveDate, locale: Locale) -> String {
    format!(
        "{} on {}: leaves that a cut bares burn from {} on",
        locale.temperature(hot.max),
        locale.weekday(hot.day, today),
        locale.temperature(hot.limit)
    )
}

fn dry(drought: Drought, today: NaiveDate, locale: Locale) -> String {
    let balance = drought.balance;
    let since = drought.last_rain.map_or_else(
        || format!("no good rain in the last {} days", balance.days),
        |day| format!("no good rain since {}", locale.date(day, today)),
    );
    format!(
        "{since}, and in {} days the air took {} where rain gave {}: water first and cut after rain, a dry plant does not \
         mend",
        balance.days,
        locale.water(balance.evapotranspiration),
        locale.water(balance.rain)
    )
}

fn dull(days: &[NaiveDate], today: NaiveDate, locale: Locale) -> String {
    let why = "bright sun scorches what a cut bares";
    if days.is_empty() {
        return format!("{why}, and no dull day is in sight: cut towards evening");
    }
    let days: Vec<String> = days.iter().map(|day| locale.weekday(*day, today)).collect();
    format!("{why}: better on a dull day, such as {}", days.join(", "))
}

/// The numbers behind it.
pub(super) fn rows(facts: &HeatFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(hot) = facts.hot {
        let value = format!(
            "{} on {}",
            locale.temperature(hot.max),
            locale.weekday(hot.day, today)
        );
        rows.push((say!(locale, "row-hottest"), value));
        rows.push((say!(locale, "row-too-hot"), locale.temperature(hot.limit)));
    }
    if let Some(Drought { balance, .. }) = facts.drought {
        rows.push((say!(locale, "row-days-counted"), balance.days.to_string()));
        rows.push((say!(locale, "row-rain"), locale.water(balance.rain)));
        let taken = locale.water(balance.evapotranspiration);
        rows.push((say!(locale, "row-evapotranspiration"), taken));
    }
    rows
}
