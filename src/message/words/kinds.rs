//! Words for a kind of plant as the almanac has it: how it grows, its year, its cuts, what it bears.

use serde::Serialize;

use super::{capital, month_day};
use crate::almanac::{Anchor, Cut, Habit, HardCut, HeatSum, Kind, Pace, Season, Wood, ZoneDates};
use crate::locale::Locale;

/// The head of the events of its year.
pub const YEAR_HEAD: &str = "Its year in zone 7, and days later for each zone colder";

/// The head of what it bears.
pub const BEARS_HEAD: &str = "What it bears, and who is about";

/// Groups of values whose sources stand under the first sentence on a kind.
pub const GROWS_OF: [&str; 3] = ["hardiness zones", "wood", "pace"];

/// How it grows, where it winters, on which wood it flowers, in one sentence.
pub fn grows(kind: &Kind) -> String {
    let flowers = match kind.wood {
        Wood::Old => "flowers on last season's wood",
        Wood::New => "flowers on this season's shoots",
        Wood::Both => "flowers on last season's wood and on this season's shoots",
        Wood::Indifferent => "its flowers do not matter to cutting",
    };
    let pace = match kind.pace {
        Pace::Slow => "grows slowly",
        Pace::Medium => "grows at a middling pace",
        Pace::Fast => "grows fast",
    };
    format!(
        "{}; winters in zones {} to {}; {flowers}; {pace}.",
        habit(kind.habit),
        kind.zones.coldest,
        kind.zones.warmest
    )
}

/// The events of its year in zone 7: name, from when to when, days later for each zone colder.
pub fn year(kind: &Kind, locale: Locale) -> Vec<(&'static str, String, i32)> {
    let rows: [(&str, Option<ZoneDates>); 6] = [
        ("bud break", kind.bud_break),
        ("bloom", kind.bloom),
        ("full leaf", kind.full_leaf),
        ("end of the flush", kind.flush_end),
        ("bud set", kind.bud_set),
        ("leaf fall", kind.leaf_fall),
    ];
    let row = |(name, dates): (&'static str, Option<ZoneDates>)| {
        let dates = dates?;
        let span = format!(
            "{} to {}",
            month_day(dates.from, locale),
            month_day(dates.to, locale)
        );
        Some((name, span, dates.days_per_zone))
    };
    rows.into_iter().filter_map(row).collect()
}

/// A published heat sum.
pub fn heat(sum: &HeatSum) -> String {
    format!(
        "{} at {:.0} °C·d above {:.0} °C ({:.0} °F·d above {:.0} °F) from 1 January, in the south from 1 July; a \
         day counts its mean of maximum and minimum less the base, not below zero. Source: {}.",
        capital(&sum.event.name().replace('-', " ")),
        sum.sum.sum(),
        sum.base.degrees(),
        sum.sum.sum() * 1.8,
        sum.base.fahrenheit(),
        sum.source
    )
}

/// When in the year a cut is made, in zone 7.
pub fn window(kind: &Kind, cut: &Cut, locale: Locale) -> String {
    match (cut.season, kind.zone_7_window(cut.season)) {
        (Season::AnyTime, _) => "at any time of the year".to_owned(),
        (Season::Between(..), Some((from, to))) => {
            format!(
                "{} to {} in zone 7",
                month_day(from, locale),
                month_day(to, locale)
            )
        }
        (Season::Between(..), None) => "in its season".to_owned(),
    }
}

/// From which events a cut's season is counted; none for one that is made at any time.
pub fn counted(cut: &Cut) -> Option<String> {
    let Season::Between(from, to) = cut.season else {
        return None;
    };
    let anchor = |anchor: Anchor| {
        let event = anchor.event.name().replace('-', " ");
        match anchor.days {
            0 => event,
            days if days < 0 => format!("{} days before {event}", -days),
            days => format!("{days} days after {event}"),
        }
    };
    Some(format!("Counted: {} to {}.", anchor(from), anchor(to)))
}

/// What frost is to a cut.
pub fn frost(cut: &Cut) -> String {
    cut.tender.as_ref().map_or_else(
        || "Frost: no reason to wait.".to_owned(),
        |tender| format!("Frost: tender class {}, see below.", tender.class),
    )
}

/// What it bears and what is about it: name, the group of its source, what there is; what there is none of is left out.
pub fn bears(kind: &Kind) -> Vec<(&'static str, &'static str, String)> {
    let hard = match kind.hard_cut {
        HardCut::Whole => "whole, in one go",
        HardCut::Staged => "a third a year for three years",
        HardCut::NotIntoBareWood => "none into bare wood",
        HardCut::No => "none",
        HardCut::DiesBack => "its top dies back each year",
    };
    let share = format!("{} of 100 of the live growth", kind.share_max);
    let rows = [
        ("Hard cut", "hard cut", hard.to_owned()),
        ("Most in a season otherwise", "largest share", share),
        ("Not cut in", "weather holds", list(&kind.holds)),
        ("Diseases and pests", "diseases", list(&kind.diseases)),
        ("Wildlife", "wildlife", list(&kind.wildlife)),
        ("Sap", "sap", list(&kind.sap)),
    ];
    let is_there = |row: &(&str, &str, String)| !row.2.is_empty();
    rows.into_iter().filter(is_there).collect()
}

/// The sources of some groups of values, a sentence each; groups with the same one together.
pub fn sources(kind: &Kind, groups: &[&str]) -> Vec<String> {
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    for group in groups {
        let Some(note) = kind.sources.iter().find(|note| note.of == *group) else {
            continue;
        };
        match told.iter_mut().find(|(source, _)| *source == note.source) {
            Some((_, of)) => of.push(group),
            None => told.push((&note.source, vec![group])),
        }
    }
    let sentence =
        |(source, of): (&str, Vec<&str>)| format!("Source of {}: {source}.", of.join(", "));
    told.into_iter().map(sentence).collect()
}

/// Names of the data files in words.
fn list<T: Serialize>(all: &[T]) -> String {
    let name = |one: &T| {
        let value = serde_json::to_value(one).unwrap_or_default();
        value.as_str().unwrap_or_default().replace('-', " ")
    };
    all.iter().map(name).collect::<Vec<_>>().join(", ")
}

/// A habit as the head of a list.
pub const fn habits(habit: Habit) -> &'static str {
    match habit {
        Habit::SmallLeavedEvergreen => "Evergreens with small leaves",
        Habit::LargeLeavedEvergreen => "Evergreens with large leaves",
        Habit::Conifer => "Conifers",
        Habit::DeciduousShrub => "Shrubs that drop their leaves",
        Habit::Climber => "Climbers",
        Habit::Tree => "Trees",
        Habit::Perennial => "Perennials",
        Habit::Grass => "Grasses",
    }
}

const fn habit(habit: Habit) -> &'static str {
    match habit {
        Habit::SmallLeavedEvergreen => "Evergreen with small leaves",
        Habit::LargeLeavedEvergreen => "Evergreen with large leaves",
        Habit::Conifer => "Conifer",
        Habit::DeciduousShrub => "Shrub that drops its leaves",
        Habit::Climber => "Climber",
        Habit::Tree => "Tree",
        Habit::Perennial => "Perennial",
        Habit::Grass => "Grass",
    }
}
