//! Words for a kind of plant as the almanac has it: how it grows, its year, its cuts, what it bears.

use serde::Serialize;

use super::{capital, cited, month_day};
use crate::almanac::{
    Anchor, Cut, GermanNames, Habit, HardCut, HeatSum, Kind, Pace, Season, Wood, ZoneDates,
    german_text, german_word,
};
use crate::locale::{Language, Locale, say};

/// The head of the events of its year.
pub fn year_head(locale: Locale) -> String {
    say!(locale, "kind-year")
}

/// The head of what it bears.
pub fn bears_head(locale: Locale) -> String {
    say!(locale, "kind-bears")
}

/// Groups of values whose sources stand under the first sentence on a kind.
pub const GROWS_OF: [&str; 3] = ["hardiness zones", "wood", "pace"];

/// How it grows, where it winters, on which wood it flowers, in one sentence.
pub fn grows(kind: &Kind, locale: Locale) -> String {
    let flowers = match kind.wood {
        Wood::Old => say!(locale, "kind-wood-old"),
        Wood::New => say!(locale, "kind-wood-new"),
        Wood::Both => say!(locale, "kind-wood-both"),
        Wood::Indifferent => say!(locale, "kind-wood-indifferent"),
    };
    let pace = match kind.pace {
        Pace::Slow => say!(locale, "pace-slow"),
        Pace::Medium => say!(locale, "pace-medium"),
        Pace::Fast => say!(locale, "pace-fast"),
    };
    say!(
        locale,
        "kind-grows",
        habit = habit(kind.habit, locale),
        coldest = kind.zones.coldest,
        warmest = kind.zones.warmest,
        flowers = flowers,
        pace = pace
    )
}

/// The group of values of an event, as sources name it, and the event's dates.
type YearRow = (&'static str, String, String, i32);

/// The events of its year in zone 7: group of its source, name, from when to when, days later for each zone colder.
pub fn year(kind: &Kind, locale: Locale) -> Vec<YearRow> {
    let rows: [(&str, String, Option<ZoneDates>); 6] = [
        ("bud break", say!(locale, "year-bud-break"), kind.bud_break),
        ("bloom", say!(locale, "year-bloom"), kind.bloom),
        ("full leaf", say!(locale, "year-full-leaf"), kind.full_leaf),
        (
            "end of the flush",
            say!(locale, "year-flush-end"),
            kind.flush_end,
        ),
        ("bud set", say!(locale, "year-bud-set"), kind.bud_set),
        ("leaf fall", say!(locale, "year-leaf-fall"), kind.leaf_fall),
    ];
    let row = |(group, name, dates): (&'static str, String, Option<ZoneDates>)| {
        let dates = dates?;
        let (from, to) = (month_day(dates.from, locale), month_day(dates.to, locale));
        Some((group, name, locale.between(&from, &to), dates.days_per_zone))
    };
    rows.into_iter().filter_map(row).collect()
}

/// A published heat sum.
pub fn heat(sum: &HeatSum, locale: Locale) -> String {
    say!(
        locale,
        "kind-heat",
        event = capital(&data_word(sum.event.name(), locale)),
        sum = locale.number(sum.sum.sum(), 0),
        base = locale.number(sum.base.degrees(), 0),
        sum_f = locale.number(sum.sum.sum() * 1.8, 0),
        base_f = locale.number(sum.base.fahrenheit(), 0),
        source = cited(&sum.source, locale)
    )
}

/// When in the year a cut is made, in zone 7.
pub fn window(kind: &Kind, cut: &Cut, locale: Locale) -> String {
    match (cut.season, kind.zone_7_window(cut.season)) {
        (Season::AnyTime, _) => say!(locale, "cut-any-time"),
        (Season::Between(..), Some((from, to))) => say!(
            locale,
            "cut-in-zone-7",
            from = month_day(from, locale),
            to = month_day(to, locale)
        ),
        (Season::Between(..), None) => say!(locale, "cut-in-season"),
    }
}

/// From which events a cut's season is counted; none for one that is made at any time.
pub fn counted(cut: &Cut, locale: Locale) -> Option<String> {
    let Season::Between(from, to) = cut.season else {
        return None;
    };
    let anchor = |anchor: Anchor| {
        let event = data_word(anchor.event.name(), locale);
        match anchor.days {
            0 => event,
            before if before < 0 => {
                say!(locale, "counted-before", days = -before, event = event)
            }
            after => say!(locale, "counted-after", days = after, event = event),
        }
    };
    let (from, to) = (anchor(from), anchor(to));
    Some(say!(locale, "cut-counted", from = from, to = to))
}

/// What frost is to a cut.
pub fn frost(cut: &Cut, locale: Locale) -> String {
    cut.tender.as_ref().map_or_else(
        || say!(locale, "cut-no-frost"),
        |tender| {
            say!(
                locale,
                "cut-tender",
                class = data_name(&tender.class, locale)
            )
        },
    )
}

/// What it bears and what is about it: name, the group of its source, what there is; what there is none of is left out.
pub fn bears(kind: &Kind, locale: Locale) -> Vec<(String, &'static str, String)> {
    let hard = match kind.hard_cut {
        HardCut::Whole => say!(locale, "hard-cut-whole"),
        HardCut::Staged => say!(locale, "hard-cut-staged"),
        HardCut::NotIntoBareWood => say!(locale, "hard-cut-not-into-bare-wood"),
        HardCut::No => say!(locale, "hard-cut-none"),
        HardCut::DiesBack => say!(locale, "hard-cut-dies-back"),
    };
    let share = say!(locale, "share-of-live-growth", share = kind.share_max);
    let rows = [
        (say!(locale, "bears-hard-cut"), "hard cut", hard),
        (say!(locale, "bears-share"), "largest share", share),
        (
            say!(locale, "bears-holds"),
            "weather holds",
            list(&kind.holds, locale),
        ),
        (
            say!(locale, "bears-diseases"),
            "diseases",
            list(&kind.diseases, locale),
        ),
        (
            say!(locale, "bears-wildlife"),
            "wildlife",
            list(&kind.wildlife, locale),
        ),
        (say!(locale, "bears-sap"), "sap", list(&kind.sap, locale)),
    ];
    let is_there = |row: &(String, &str, String)| !row.2.is_empty();
    rows.into_iter().filter(is_there).collect()
}

/// The sources of some groups of values, a sentence each; groups with the same one together.
pub fn sources(kind: &Kind, groups: &[&str], locale: Locale) -> Vec<String> {
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
    let sentence = |(source, of): (&str, Vec<&str>)| {
        let of: Vec<String> = of.iter().map(|group| data_word(group, locale)).collect();
        say!(
            locale,
            "sources-of",
            groups = of.join(", "),
            source = cited(source, locale)
        )
    };
    told.into_iter().map(sentence).collect()
}

/// Names of the data files in words.
fn list<T: Serialize>(all: &[T], locale: Locale) -> String {
    let name = |one: &T| {
        let value = serde_json::to_value(one).unwrap_or_default();
        data_word(value.as_str().unwrap_or_default(), locale)
    };
    all.iter().map(name).collect::<Vec<_>>().join(", ")
}

/// A name of the data files in words.
pub fn data_word(name: &str, locale: Locale) -> String {
    word(name, locale).unwrap_or_else(|| name.replace('-', " "))
}

/// The name of an event or of a tender class; in English as the data files have it.
pub fn data_name(name: &str, locale: Locale) -> String {
    word(name, locale).unwrap_or_else(|| name.to_owned())
}

fn word(name: &str, locale: Locale) -> Option<String> {
    match locale.language {
        Language::English => None,
        Language::German => german_word(name).map(str::to_owned),
    }
}

/// A sentence of the almanac; a keeper's own stands as it is written.
pub fn text(english: &str, locale: Locale) -> &str {
    match locale.language {
        Language::English => english,
        Language::German => german_text(english).unwrap_or(english),
    }
}

/// What a kind is called.
pub fn name(kind: &Kind, locale: Locale) -> &str {
    german_names(kind, locale).map_or(&kind.common, |names| &names.common)
}

/// What else it is called.
pub fn also(kind: &Kind, locale: Locale) -> &[String] {
    german_names(kind, locale).map_or(&kind.also, |names| &names.also)
}

fn german_names(kind: &Kind, locale: Locale) -> Option<&'static GermanNames> {
    match locale.language {
        Language::English => None,
        Language::German => kind.german(),
    }
}

/// A habit as the head of a list.
pub fn habits(habit: Habit, locale: Locale) -> String {
    match habit {
        Habit::SmallLeavedEvergreen => say!(locale, "habits-small-leaved-evergreen"),
        Habit::LargeLeavedEvergreen => say!(locale, "habits-large-leaved-evergreen"),
        Habit::Conifer => say!(locale, "habits-conifer"),
        Habit::DeciduousShrub => say!(locale, "habits-deciduous-shrub"),
        Habit::Climber => say!(locale, "habits-climber"),
        Habit::Tree => say!(locale, "habits-tree"),
        Habit::Perennial => say!(locale, "habits-perennial"),
        Habit::Grass => say!(locale, "habits-grass"),
    }
}

fn habit(habit: Habit, locale: Locale) -> String {
    match habit {
        Habit::SmallLeavedEvergreen => say!(locale, "habit-small-leaved-evergreen"),
        Habit::LargeLeavedEvergreen => say!(locale, "habit-large-leaved-evergreen"),
        Habit::Conifer => say!(locale, "habit-conifer"),
        Habit::DeciduousShrub => say!(locale, "habit-deciduous-shrub"),
        Habit::Climber => say!(locale, "habit-climber"),
        Habit::Tree => say!(locale, "habit-tree"),
        Habit::Perennial => say!(locale, "habit-perennial"),
        Habit::Grass => say!(locale, "habit-grass"),
    }
}
