//! The half-days of the week in words.

use chrono::NaiveDate;

use super::{Row, half_day};
use crate::locale::{Locale, say};
use crate::rules::{Bar, Footing, Pick, Remark, WorkingFacts};

/// The best half-days, or why there is none.
pub(super) fn sentence(facts: &WorkingFacts, today: NaiveDate, locale: Locale) -> String {
    if facts.half_days.is_none() {
        return "the forecast has temperatures alone, so rain, wet leaves, heat, wind and thunder could not be looked at: \
                look at the sky yourself"
            .to_owned();
    }
    let window = facts.until.map_or_else(
        || "of the week".to_owned(),
        |end| {
            format!(
                "up to {}, when the window closes,",
                locale.weekday(end, today)
            )
        },
    );
    if facts.best.is_empty() {
        return format!("no half-day {window} is fit for work: {}", bars(facts));
    }
    let picks: Vec<String> = facts
        .best
        .iter()
        .map(|pick| named(pick, today, locale))
        .collect();
    let ladder = match facts.footing {
        Footing::Ladder => " from a ladder",
        Footing::Ground => "",
    };
    let thunder = if facts.thunder {
        "; indoors when thunder roars, and for 30 minutes after the last"
    } else {
        ""
    };
    format!(
        "best times {window} for work{ladder}: {}{thunder}",
        picks.join("; ")
    )
}

fn named(pick: &Pick, today: NaiveDate, locale: Locale) -> String {
    let gust = pick
        .gust
        .map(|gust| format!("gusts {}", locale.speed(gust)));
    let remarks = pick
        .remarks
        .iter()
        .map(|remark| remark_of(*remark).to_owned());
    let all: Vec<String> = gust.into_iter().chain(remarks).collect();
    let time = half_day((pick.date, pick.half), today, locale);
    if all.is_empty() {
        time
    } else {
        format!("{time} ({})", all.join(", "))
    }
}

const fn remark_of(remark: Remark) -> &'static str {
    match remark {
        Remark::NoLadder => "no ladder",
        Remark::Warm => "hot, shade and water",
        Remark::Chilly => "freezing",
        Remark::WetGround => "wet ground",
        Remark::WetLeaves => "leaves wet at first or at last",
        Remark::ThunderUnknown => "thunder not known",
    }
}

fn bars(facts: &WorkingFacts) -> String {
    if facts.unfit.is_empty() {
        return "no daylight".to_owned();
    }
    let bars = facts
        .unfit
        .iter()
        .map(|(bar, times)| format!("{} ({times})", bar_of(*bar)));
    bars.collect::<Vec<_>>().join(", ")
}

const fn bar_of(bar: Bar) -> &'static str {
    match bar {
        Bar::Lightning => "thunderstorms",
        Bar::Gusts => "gusts too strong for a ladder",
        Bar::Heat => "dangerous heat",
        Bar::Cold => "dangerous cold",
        Bar::Rain => "rain",
        Bar::Short => "too little daylight left",
        Bar::Unknown => "not known",
    }
}

/// The numbers behind it.
pub(super) fn rows(facts: &WorkingFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = Vec::new();
    for pick in &facts.best {
        let felt = |name: &str, felt: Option<crate::units::Celsius>| {
            felt.map(|felt| format!("{name} {}", locale.temperature(felt)))
        };
        let values = [
            Some(half_day((pick.date, pick.half), today, locale)),
            pick.gust
                .map(|gust| format!("gusts {}", locale.speed(gust))),
            felt("feels up to", pick.heat_index),
            felt("down to", pick.wind_chill),
        ];
        let values: Vec<String> = values.into_iter().flatten().collect();
        rows.push((say!(locale, "row-half-day"), values.join(", ")));
    }
    if !facts.unfit.is_empty() {
        rows.push((say!(locale, "row-half-days-unfit"), bars(facts)));
    }
    rows
}
