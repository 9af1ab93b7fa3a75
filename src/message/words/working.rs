//! The half-days of the week in words.

use chrono::NaiveDate;

use super::{Row, half_day};
use crate::locale::{Locale, say};
use crate::rules::{Bar, Footing, Pick, Remark, WorkingFacts};
use crate::units::Celsius;

/// The best half-days, or why there is none.
pub(super) fn sentence(facts: &WorkingFacts, today: NaiveDate, locale: Locale) -> String {
    if facts.half_days.is_none() {
        return say!(locale, "work-unknown");
    }
    let window = facts.until.map_or_else(
        || say!(locale, "work-week"),
        |end| say!(locale, "work-until", end = locale.weekday(end, today)),
    );
    if facts.best.is_empty() {
        let bars = bars(facts, locale);
        return say!(locale, "work-none", window = window, bars = bars);
    }
    let picks = facts.best.iter().map(|pick| named(pick, today, locale));
    let picks = picks.collect::<Vec<_>>().join("; ");
    let best = match facts.footing {
        Footing::Ladder => say!(locale, "work-ladder", window = window, picks = picks),
        Footing::Ground => say!(locale, "work-ground", window = window, picks = picks),
    };
    if facts.thunder {
        format!("{best}; {}", say!(locale, "work-thunder"))
    } else {
        best
    }
}

fn named(pick: &Pick, today: NaiveDate, locale: Locale) -> String {
    let gust = pick.gust;
    let gust = gust.map(|gust| say!(locale, "work-gusts", gust = locale.speed(gust)));
    let remarks = pick.remarks.iter();
    let remarks = remarks.map(|remark| remark_of(*remark, locale));
    let all: Vec<String> = gust.into_iter().chain(remarks).collect();
    let time = half_day((pick.date, pick.half), today, locale);
    if all.is_empty() {
        time
    } else {
        format!("{time} ({})", all.join(", "))
    }
}

fn remark_of(remark: Remark, locale: Locale) -> String {
    match remark {
        Remark::NoLadder => say!(locale, "remark-no-ladder"),
        Remark::Warm => say!(locale, "remark-warm"),
        Remark::Chilly => say!(locale, "remark-chilly"),
        Remark::WetGround => say!(locale, "remark-wet-ground"),
        Remark::WetLeaves => say!(locale, "remark-wet-leaves"),
        Remark::ThunderUnknown => say!(locale, "remark-thunder-unknown"),
    }
}

fn bars(facts: &WorkingFacts, locale: Locale) -> String {
    if facts.unfit.is_empty() {
        return say!(locale, "bar-no-daylight");
    }
    let bars = facts
        .unfit
        .iter()
        .map(|(bar, times)| format!("{} ({times})", bar_of(*bar, locale)));
    bars.collect::<Vec<_>>().join(", ")
}

fn bar_of(bar: Bar, locale: Locale) -> String {
    match bar {
        Bar::Lightning => say!(locale, "bar-lightning"),
        Bar::Gusts => say!(locale, "bar-gusts"),
        Bar::Heat => say!(locale, "bar-heat"),
        Bar::Cold => say!(locale, "bar-cold"),
        Bar::Rain => say!(locale, "bar-rain"),
        Bar::Short => say!(locale, "bar-short"),
        Bar::Unknown => say!(locale, "bar-unknown"),
    }
}

/// The numbers behind it.
pub(super) fn rows(facts: &WorkingFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    for pick in &facts.best {
        let felt = |felt: Celsius| locale.temperature(felt);
        let (gust, hot, cold) = (pick.gust, pick.heat_index, pick.wind_chill);
        let values = [
            Some(half_day((pick.date, pick.half), today, locale)),
            gust.map(|gust| say!(locale, "work-gusts", gust = locale.speed(gust))),
            hot.map(|hot| say!(locale, "feels-up-to", felt = felt(hot))),
            cold.map(|cold| say!(locale, "feels-down-to", felt = felt(cold))),
        ];
        let values: Vec<String> = values.into_iter().flatten().collect();
        rows.push((say!(locale, "row-half-day"), values.join(", ")));
    }
    if !facts.unfit.is_empty() {
        rows.push((say!(locale, "row-half-days-unfit"), bars(facts, locale)));
    }
    rows
}
