//! Words for the plan of a year.

use chrono::NaiveDate;

use super::{capital, in_hundred, kinds, pacing, professional};
use crate::almanac::{Anchor, Event, Season};
use crate::locale::{Locale, say};
use crate::plan::{Check, Frost, Task, YearPlan, twelve_months};
use crate::risk::DateRange;

/// What the plan rests on, in two sentences.
pub fn basis(plan: &YearPlan, locale: Locale) -> String {
    let half = if plan.south {
        say!(locale, "plan-south")
    } else {
        say!(locale, "plan-north")
    };
    let zone = plan.zone.map_or_else(
        || say!(locale, "plan-zone-unknown"),
        |zone| say!(locale, "plan-zone", zone = locale.number(zone, 1)),
    );
    let frost = match plan.years {
        0 => say!(locale, "plan-frost-unknown"),
        years => say!(locale, "plan-frost", years = years),
    };
    say!(
        locale,
        "plan-basis",
        zone = zone,
        half = half,
        frost = frost
    )
}

/// A time within a year: `20 Mar-14 Apr`, `till 20 Mar` when it began before, `from 15 Nov` when it goes on after.
pub fn window(window: DateRange, year: i32, locale: Locale) -> String {
    let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(NaiveDate::MIN);
    window_in(window, twelve_months(first), locale)
}

/// The same within twelve months.
pub fn window_in(window: DateRange, days: DateRange, locale: Locale) -> String {
    let (began, goes_on) = (window.from <= days.from, window.to >= days.to);
    let (from, to) = (locale.short(window.from), locale.short(window.to));
    match (began, goes_on) {
        (true, true) => say!(locale, "window-all-year"),
        (true, false) => say!(locale, "window-till", to = to),
        (false, true) => say!(locale, "window-from", from = from),
        (false, false) if window.from == window.to => to,
        (false, false) => say!(locale, "window-between", from = from, to = to),
    }
}

/// What was done of a task, or how far it has come, in a word or two.
pub fn mark(task: &Task, locale: Locale) -> String {
    if let Some(last) = task.done.last() {
        return say!(locale, "mark-done", day = locale.short(*last));
    }
    if !task.dangers.is_empty() {
        return say!(locale, "mark-arborist");
    }
    let part = task.stage.and_then(|stage| pacing::part(stage, locale));
    part.unwrap_or_else(|| match task.frost {
        Frost::Never { .. } => say!(locale, "mark-frost-risk"),
        Frost::NoMatter | Frost::Within { .. } | Frost::NotKnown => String::new(),
    })
}

/// What to look after.
pub fn check(check: &Check, locale: Locale) -> String {
    match check {
        Check::DeadTrunk {
            planting,
            check,
            last,
        } => {
            let last = last.map_or_else(
                || say!(locale, "trunk-not-noted"),
                |last| say!(locale, "trunk-last", day = locale.full(last)),
            );
            say!(
                locale,
                "trunk-check",
                planting = planting,
                last = last,
                check = check
            )
        }
        Check::AfterStorm(storm) => say!(
            locale,
            "storm-check",
            day = locale.day(storm.on),
            gust = locale.speed(storm.gust)
        ),
    }
}

/// Why a task is then, a sentence each.
pub fn why(task: &Task, year: i32, locale: Locale) -> Vec<String> {
    let today = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
    let season = capital(&season(task.season, locale));
    let mut sentences = vec![match task.frost {
        Frost::NoMatter => say!(locale, "why-season", season = season),
        Frost::Within { tolerance } => say!(
            locale,
            "why-within",
            season = season,
            limit = tolerance.in_hundred()
        ),
        Frost::Never { day, chance } => say!(
            locale,
            "why-never",
            season = season,
            day = locale.date(day, today),
            ways = in_hundred(chance, locale)
        ),
        Frost::NotKnown => say!(locale, "why-not-known", season = season),
    }];
    let outside = task.outside.as_ref();
    sentences.extend(outside.map(|why| {
        let why = kinds::text(why, locale).trim_end_matches('.');
        format!("{}.", capital(why))
    }));
    let stage = task
        .stage
        .map(|stage| pacing::renewal(stage, today, locale));
    sentences.extend(stage.map(|stage| format!("{}.", capital(&stage))));
    if !task.dangers.is_empty() {
        let deferral = professional::deferral(&task.dangers, locale);
        sentences.push(format!("{}.", capital(&deferral)));
    }
    sentences
}

/// When in the year the plant bears a cut.
fn season(season: Season, locale: Locale) -> String {
    match season {
        Season::AnyTime => say!(locale, "season-any-time"),
        Season::Between(from, to) => say!(
            locale,
            "season-between",
            until = if to.days == 0 { "event" } else { "days" },
            from = anchor(from, locale),
            to = anchor(to, locale)
        ),
    }
}

fn anchor(anchor: Anchor, locale: Locale) -> String {
    let days = anchor.days.unsigned_abs();
    if days == 0 {
        return of_season(anchor.event, locale);
    }
    let event = of_season(anchor.event, locale);
    let long = match days {
        days if days >= 14 && days % 7 == 0 => say!(locale, "long-weeks", weeks = days / 7),
        days => say!(locale, "long-days", days = days),
    };
    if anchor.days < 0 {
        say!(locale, "anchor-before", long = long, event = event)
    } else {
        say!(locale, "anchor-after", long = long, event = event)
    }
}

/// An event after "from" or "to".
fn of_season(event: Event, locale: Locale) -> String {
    match event {
        Event::BudBreak => say!(locale, "season-bud-break"),
        Event::BloomBegin => say!(locale, "season-bloom-begin"),
        Event::BloomEnd => say!(locale, "season-bloom-end"),
        Event::FullLeaf => say!(locale, "season-full-leaf"),
        Event::FlushEnd => say!(locale, "season-flush-end"),
        Event::BudSet => say!(locale, "season-bud-set"),
        Event::LeafFall => say!(locale, "season-leaf-fall"),
        Event::LastFreeze => say!(locale, "season-last-freeze"),
        Event::FirstFreeze => say!(locale, "season-first-freeze"),
        Event::WarmSpell => say!(locale, "season-warm-spell"),
        Event::HardFrost => say!(locale, "season-hard-frost"),
        Event::MidWinter => say!(locale, "season-mid-winter"),
        Event::MidSummer => say!(locale, "season-mid-summer"),
    }
}
