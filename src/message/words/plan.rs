//! Words for the plan of a year.

use chrono::NaiveDate;

use super::{capital, date, in_hundred, pacing, professional};
use crate::almanac::{Anchor, Event, Season};
use crate::plan::{Check, Frost, Task, YearPlan};
use crate::risk::DateRange;
use crate::units::UnitSystem;

/// What the plan rests on, in two sentences.
pub fn basis(plan: &YearPlan) -> String {
    let half = if plan.south { "southern" } else { "northern" };
    let zone = match plan.zone {
        Some(zone) => format!("hardiness zone {zone:.1}, {half} hemisphere"),
        None => {
            format!("hardiness zone 7, since no record tells the garden's own, {half} hemisphere")
        }
    };
    let frost = match plan.years {
        0 => "the frost of this place is not known".to_owned(),
        years => format!("frost by {years} past years"),
    };
    format!(
        "A usual year in {zone}; {frost}. The board and the mails tell the true days of this one."
    )
}

/// A time within a year: `20 Mar-14 Apr`, `till 20 Mar` when it began before, `from 15 Nov` when it goes on after.
pub fn window(window: DateRange, year: i32) -> String {
    let short = |day: NaiveDate| day.format("%-d %b").to_string();
    let first = NaiveDate::from_ymd_opt(year, 1, 1);
    let last = NaiveDate::from_ymd_opt(year, 12, 31);
    let began = first.is_some_and(|first| window.from <= first);
    let goes_on = last.is_some_and(|last| window.to >= last);
    match (began, goes_on) {
        (true, true) => "all year".to_owned(),
        (true, false) => format!("till {}", short(window.to)),
        (false, true) => format!("from {}", short(window.from)),
        (false, false) if window.from == window.to => short(window.to),
        (false, false) => format!("{}-{}", short(window.from), short(window.to)),
    }
}

/// What was done of a task, or how far it has come, in a word or two.
pub fn mark(task: &Task) -> String {
    if let Some(last) = task.done.last() {
        return format!("done {}", last.format("%-d %b"));
    }
    if !task.dangers.is_empty() {
        return "arborist".to_owned();
    }
    let part = task.stage.and_then(pacing::part);
    part.unwrap_or_else(|| match task.frost {
        Frost::Never { .. } => "frost risk".to_owned(),
        Frost::NoMatter | Frost::Within { .. } | Frost::NotKnown => String::new(),
    })
}

/// What to look after.
pub fn check(check: &Check, units: UnitSystem) -> String {
    match check {
        Check::DeadTrunk {
            planting,
            check,
            last,
        } => {
            let last = last.map_or_else(
                || "nothing is noted yet".to_owned(),
                |last| format!("last on {}", last.format("%-d %B %Y")),
            );
            format!(
                "Once a year: {planting}. A licensed arborist looks whether the standing dead trunk is sound; {last}. \
                 Note it: budward done {check}."
            )
        }
        Check::AfterStorm(storm) => format!(
            "After the storm of {} (gusts to {}): look from the ground for hanging, torn and leaning wood, keep \
             everybody out from under it, and leave it to a licensed arborist. Small broken wood within reach may be \
             cut clean on any day.",
            storm.on.format("%-d %B"),
            units.speed(storm.gust)
        ),
    }
}

/// Why a task is then, a sentence each.
pub fn why(task: &Task, year: i32, units: UnitSystem) -> Vec<String> {
    let today = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
    let season = capital(&season(task.season));
    let mut sentences = vec![match task.frost {
        Frost::NoMatter => format!("{season}."),
        Frost::Within { tolerance } => format!(
            "{season}; of that the days on which the chance of frost on what it leaves tender is within {:.0} of 100.",
            tolerance.in_hundred()
        ),
        Frost::Never { day, chance } => format!(
            "{season}. No day of that is within your limit for frost; the least risky is {} with {}.",
            date(day, today),
            in_hundred(chance)
        ),
        Frost::NotKnown => {
            format!(
                "{season}. Frost can hurt it, and there is no record of past years to say when."
            )
        }
    }];
    let outside = task.outside.as_ref();
    sentences.extend(outside.map(|why| format!("{}.", capital(why.trim_end_matches('.')))));
    let stage = task.stage.map(|stage| pacing::renewal(stage, today));
    sentences.extend(stage.map(|stage| format!("{}.", capital(&stage))));
    if !task.dangers.is_empty() {
        let deferral = professional::deferral(&task.dangers, units);
        sentences.push(format!("{}.", capital(&deferral)));
    }
    sentences
}

/// When in the year the plant bears a cut.
fn season(season: Season) -> String {
    match season {
        Season::AnyTime => "the plant bears it at any time".to_owned(),
        Season::Between(from, to) => format!("from {} to {}", anchor(from), anchor(to)),
    }
}

fn anchor(anchor: Anchor) -> String {
    let event = event(anchor.event);
    let days = anchor.days.unsigned_abs();
    let long = match days {
        1 => "a day".to_owned(),
        days if days >= 14 && days % 7 == 0 => format!("{} weeks", days / 7),
        days => format!("{days} days"),
    };
    match anchor.days {
        0 => event.to_owned(),
        days if days < 0 => format!("{long} before {event}"),
        _ => format!("{long} after {event}"),
    }
}

const fn event(event: Event) -> &'static str {
    match event {
        Event::BudBreak => "bud break",
        Event::BloomBegin => "the first flowers",
        Event::BloomEnd => "the end of bloom",
        Event::FullLeaf => "full leaf",
        Event::FlushEnd => "the end of the first flush",
        Event::BudSet => "bud set",
        Event::LeafFall => "leaf fall",
        Event::LastFreeze => "the last freeze",
        Event::FirstFreeze => "the first freeze",
        Event::WarmSpell => "the first warm spell",
        Event::HardFrost => "the first hard frost",
        Event::MidWinter => "mid-winter",
        Event::MidSummer => "mid-summer",
    }
}
