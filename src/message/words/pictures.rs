//! Words for the pictures: titles, keys, and what each of them shows in sentences with the same figures.

use chrono::NaiveDate;

use super::{capital, in_hundred, range, spread, to_do, when};
use crate::events::HeatYear;
use crate::locale::{Locale, say};
use crate::look::Prospect;
use crate::outlook::{Bound, NightFan};
use crate::risk::DateRange;
use crate::rules::FrostFacts;
use crate::units::{CelsiusStep, Chance};
use crate::verdict::Verdict;

/// The axis of the risk.
pub fn of_100(locale: Locale) -> String {
    say!(locale, "picture-of-100")
}

/// What the ribbon of frost counts.
pub fn freezing(locale: Locale) -> String {
    say!(locale, "picture-freezing")
}

/// The key of the coming nights.
pub fn nights_key(locale: Locale) -> [String; 4] {
    [
        say!(locale, "nights-key-8-of-10"),
        say!(locale, "nights-key-half"),
        say!(locale, "nights-key-middle"),
        say!(locale, "nights-key-forecast"),
    ]
}

/// The key of the season's heat.
pub fn heat_key(locale: Locale) -> [String; 4] {
    [
        say!(locale, "heat-key-past"),
        say!(locale, "heat-key-middle"),
        say!(locale, "heat-key-season"),
        say!(locale, "heat-key-ways-on"),
    ]
}

/// The key of the year.
pub fn year_key(locale: Locale) -> [String; 3] {
    [
        say!(locale, "year-key-now"),
        say!(locale, "year-key-usual"),
        say!(locale, "year-key-done"),
    ]
}

/// What the end of the forecast is called.
pub fn forecast_end(locale: Locale) -> String {
    say!(locale, "picture-forecast-ends")
}

/// What today is called.
pub fn today(locale: Locale) -> String {
    say!(locale, "picture-today")
}

/// Columns of the figures behind the risk.
pub fn risk_heads(locale: Locale) -> Vec<String> {
    vec![
        say!(locale, "risk-head-day"),
        say!(locale, "risk-head-ways"),
    ]
}

/// Columns of the figures behind the coming nights.
pub fn nights_heads(locale: Locale) -> Vec<String> {
    vec![
        say!(locale, "nights-head-night"),
        say!(locale, "nights-head-colder"),
        say!(locale, "nights-head-middle"),
        say!(locale, "nights-head-warmer"),
        say!(locale, "nights-head-forecast"),
    ]
}

/// Columns of the figures behind the heat.
pub fn heat_heads(locale: Locale) -> Vec<String> {
    vec![
        say!(locale, "heat-head-day"),
        say!(locale, "heat-head-season"),
        say!(locale, "heat-head-past"),
    ]
}

/// Which cut a picture is of.
pub fn of_cut(what: &str, verdict: &Verdict, locale: Locale) -> String {
    let planting = capital(&verdict.planting);
    format!("{what}: {planting}, {}", to_do(verdict.cut_kind, locale))
}

/// The risk by cutting day: today's, the next months', the limit and the days that follow.
pub fn risk(facts: &FrostFacts, verdict: &Verdict, locale: Locale) -> String {
    let today = verdict.today;
    let ways = in_hundred(facts.chance, locale);
    let later = later(facts, today)
        .map(|(day, chance)| format!("{} {}", locale.short(day), self::ways(chance, locale)));
    let later = later.collect::<Vec<_>>().join(", ");
    let mut said = vec![
        match facts.bound {
            Bound::Whole => say!(locale, "risk-today", ways = ways),
            Bound::AtLeast => say!(locale, "risk-today-at-least", ways = ways),
        },
        say!(locale, "risk-by-day", later = later),
        say!(locale, "risk-limit", limit = facts.tolerance.in_hundred()),
    ];
    let first_go = facts.first_go.as_ref();
    let first_go = first_go.map(|go| spread(go, today, locale));
    said.extend(first_go.map(|day| say!(locale, "risk-first-go", day = day)));
    let open = facts.open.iter().map(|time| range(*time, today, locale));
    let open: Vec<String> = open.collect();
    if !open.is_empty() {
        said.push(say!(locale, "risk-open", times = open.join("; ")));
    }
    let wished = verdict.wished.map(|day| locale.date(day, today));
    said.extend(wished.map(|day| say!(locale, "wished-for", day = day)));
    said.push(say!(locale, "risk-counted", futures = facts.futures));
    said.join(" ")
}

/// The chance for a cut made every fortnight from today on.
pub fn later(facts: &FrostFacts, today: NaiveDate) -> impl Iterator<Item = (NaiveDate, Chance)> {
    today
        .iter_days()
        .zip(facts.by_day.iter().copied())
        .step_by(14)
}

/// A chance in figures as narrow as a table has them.
pub fn ways(chance: Chance, locale: Locale) -> String {
    let ways = chance.share() * 100.0;
    if ways > 0.0 && ways < 1.0 {
        say!(locale, "ways-under-1")
    } else {
        locale.number(ways, 0)
    }
}

/// What today's chance is called in the picture, and the limit.
pub fn now_and_limit(facts: &FrostFacts, locale: Locale) -> (String, String) {
    let now = format!("{} {}", today(locale), ways(facts.chance, locale));
    let limit = ways(facts.tolerance, locale);
    (now, say!(locale, "picture-limit", ways = limit))
}

/// The coming nights: the coldest middle, the range of that night, the forecast's own lowest.
pub fn nights(
    nights: &[(NaiveDate, NightFan)],
    facts: &FrostFacts,
    today: NaiveDate,
    locale: Locale,
) -> String {
    let coldest = nights.iter().min_by(|(_, a), (_, b)| {
        a.quantiles[2]
            .degrees()
            .total_cmp(&b.quantiles[2].degrees())
    });
    let Some((night, fan)) = coldest else {
        return say!(locale, "nights-unknown");
    };
    let [low, _, middle, _, high] = fan.quantiles.map(|at| locale.temperature(at));
    let said = say!(
        locale,
        "nights-say",
        nights = nights.len(),
        coldest = locale.date(*night, today),
        middle = middle,
        low = low,
        high = high,
        mark = locale.temperature(facts.damage_at)
    );
    let own = nights
        .iter()
        .filter_map(|(night, fan)| Some((night, fan.forecast?)));
    let last = own.clone().map(|(night, _)| night).max();
    let lowest = own.min_by(|(_, a), (_, b)| a.degrees().total_cmp(&b.degrees()));
    match lowest.zip(last) {
        Some(((night, lowest), last)) => {
            let own = say!(
                locale,
                "nights-forecast",
                lowest = locale.temperature(lowest),
                night = locale.date(*night, today),
                last = locale.date(*last, today)
            );
            format!("{said} {own}")
        }
        None => said,
    }
}

/// What the temperature of damage is called in the picture.
pub fn damage(facts: &FrostFacts, locale: Locale) -> String {
    let mark = locale.temperature(facts.damage_at);
    say!(locale, "picture-damage", mark = mark)
}

/// What the axis of the nights counts.
pub fn nights_axis(locale: Locale, offset: CelsiusStep) -> String {
    let degree = locale.degree();
    if offset == CelsiusStep::default() {
        say!(locale, "nights-axis", degree = degree)
    } else {
        say!(
            locale,
            "nights-axis-spot",
            degree = degree,
            spot = locale.step(offset)
        )
    }
}

/// The heat of the season beside the usual one.
pub fn heat(year: &HeatYear, today: NaiveDate, locale: Locale) -> String {
    let base = locale.temperature(year.base);
    let start = locale.date(year.start, today);
    let now = year.by(today).zip(year.usual_by(today));
    let Some(([_, this, _], [low, middle, high])) = now else {
        return say!(locale, "heat-since", base = base, start = start);
    };
    let [this, low, middle, high] = [this, low, middle, high].map(|heat| locale.heat(heat));
    say!(
        locale,
        "heat-say",
        base = base,
        start = start,
        this = this,
        middle = middle,
        low = low,
        high = high,
        measured = year.counted.measured,
        passed = year.counted.passed
    )
}

/// What the axis of the heat counts.
pub fn heat_axis(year: &HeatYear, locale: Locale) -> String {
    say!(
        locale,
        "heat-axis",
        degree = locale.degree(),
        base = locale.temperature(year.base),
        start = locale.short(year.start)
    )
}

/// The events of a planting in a sentence; none without one.
pub fn events(prospect: &Prospect, planting: &str, locale: Locale) -> Option<String> {
    let of = prospect
        .events
        .iter()
        .filter(|one| one.planting == planting);
    let told = of.map(|one| {
        let when = DateRange {
            from: one.date.early,
            to: one.date.late,
        };
        say!(
            locale,
            "event-about",
            event = super::event(one.event, locale),
            middle = locale.date(one.date.middle, prospect.today),
            range = range(when, prospect.today, locale)
        )
    });
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| say!(locale, "events-say", events = told.join("; ")))
}

/// The year about today: each cut with its state and when.
pub fn year(verdicts: &[&Verdict], locale: Locale) -> String {
    let line = |verdict: &&Verdict| {
        let (planting, work) = (&verdict.planting, to_do(verdict.cut_kind, locale));
        let state = super::state(verdict.state, locale);
        format!("{planting}, {work}: {state} ({})", when(verdict, locale))
    };
    let lines: Vec<String> = verdicts.iter().map(line).collect();
    say!(locale, "year-say", cuts = capital(&lines.join("; ")))
}
