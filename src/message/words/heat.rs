//! Heat, bright sun and drought in words.

use chrono::NaiveDate;

use super::{Row, date, weekday};
use crate::rules::{Drought, HeatFacts, HotDay};
use crate::units::UnitSystem;

/// What there is to say of heat, sun and drought.
pub(super) fn sentence(facts: &HeatFacts, today: NaiveDate, units: UnitSystem) -> String {
    let said = [
        facts.hot.map(|hot| hot_day(hot, today, units)),
        facts.drought.map(|drought| dry(drought, today, units)),
        facts.dull.as_ref().map(|days| dull(days, today)),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn hot_day(hot: HotDay, today: NaiveDate, units: UnitSystem) -> String {
    format!(
        "{} on {}: leaves that a cut bares burn from {} on",
        units.temperature(hot.max),
        weekday(hot.day, today),
        units.temperature(hot.limit)
    )
}

fn dry(drought: Drought, today: NaiveDate, units: UnitSystem) -> String {
    let balance = drought.balance;
    let since = drought.last_rain.map_or_else(
        || format!("no good rain in the last {} days", balance.days),
        |day| format!("no good rain since {}", date(day, today)),
    );
    format!(
        "{since}, and in {} days the air took {} where rain gave {}: water first and cut after rain, a dry plant does not \
         mend",
        balance.days,
        units.water(balance.evapotranspiration),
        units.water(balance.rain)
    )
}

fn dull(days: &[NaiveDate], today: NaiveDate) -> String {
    let why = "bright sun scorches what a cut bares";
    if days.is_empty() {
        return format!("{why}, and no dull day is in sight: cut towards evening");
    }
    let days: Vec<String> = days.iter().map(|day| weekday(*day, today)).collect();
    format!("{why}: better on a dull day, such as {}", days.join(", "))
}

/// The numbers behind it.
pub(super) fn rows(facts: &HeatFacts, today: NaiveDate, units: UnitSystem) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(hot) = facts.hot {
        let value = format!(
            "{} on {}",
            units.temperature(hot.max),
            weekday(hot.day, today)
        );
        rows.push(("hottest of the next four days", value));
        rows.push(("too hot from", units.temperature(hot.limit)));
    }
    if let Some(Drought { balance, .. }) = facts.drought {
        rows.push(("days counted", balance.days.to_string()));
        rows.push(("rain", units.water(balance.rain)));
        let taken = units.water(balance.evapotranspiration);
        rows.push(("reference evapotranspiration", taken));
    }
    rows
}
