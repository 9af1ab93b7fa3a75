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
    say!(
        locale,
        "heat-burns",
        max = locale.temperature(hot.max),
        day = locale.weekday(hot.day, today),
        limit = locale.temperature(hot.limit)
    )
}

fn dry(drought: Drought, today: NaiveDate, locale: Locale) -> String {
    let balance = drought.balance;
    let since = drought.last_rain.map_or_else(
        || say!(locale, "drought-days", days = balance.days),
        |day| say!(locale, "drought-since", day = locale.date(day, today)),
    );
    say!(
        locale,
        "drought",
        since = since,
        days = balance.days,
        taken = locale.water(balance.evapotranspiration),
        rain = locale.water(balance.rain)
    )
}

fn dull(days: &[NaiveDate], today: NaiveDate, locale: Locale) -> String {
    if days.is_empty() {
        return say!(locale, "sun-no-dull-day");
    }
    let days: Vec<String> = days.iter().map(|day| locale.weekday(*day, today)).collect();
    say!(locale, "sun-dull-days", days = days.join(", "))
}

/// The numbers behind it.
pub(super) fn rows(facts: &HeatFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(hot) = facts.hot {
        let value = say!(
            locale,
            "degrees-on",
            degrees = locale.temperature(hot.max),
            day = locale.weekday(hot.day, today)
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
