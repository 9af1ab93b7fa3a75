//! One kind of plant, whole: on a page of 80 columns, or as JSON.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use serde::Serialize;

use crate::almanac::{
    Cut, CutKind, Habit, HardCut, HeatSum, Kind, MonthDay, Pace, Season, Sourced, Wood, ZoneDates,
};
use crate::cli::board::print_wrapped;
use crate::cli::logging::Form;
use crate::message::words;

/// A kind with what is computed from it.
#[derive(Debug, Serialize)]
struct Entry<'a> {
    #[serde(flatten)]
    kind: &'a Kind,
    /// First and last day of each cut's season in the middle of zone 7; null when it is all year.
    zone_7_windows: BTreeMap<&'a str, Option<(MonthDay, MonthDay)>>,
    /// Other kinds that may have been meant.
    see_also: &'a [&'a str],
}

/// Shows a kind.
pub(super) fn show(
    out: &mut impl Write,
    kind: &Kind,
    see_also: &[&str],
    form: Form,
) -> anyhow::Result<()> {
    if form == Form::Json {
        let windows = kind.cuts.iter();
        let entry = Entry {
            kind,
            zone_7_windows: windows
                .map(|cut| (cut.cut.name(), kind.zone_7_window(cut.season)))
                .collect(),
            see_also,
        };
        serde_json::to_writer_pretty(&mut *out, &entry)?;
        writeln!(out)?;
        return Ok(());
    }
    head(out, kind)?;
    year(out, kind)?;
    cuts(out, kind)?;
    tender(out, kind)?;
    bears(out, kind)?;
    said(out, "Hygiene", kind.hygiene.iter())?;
    said(out, "Mind", kind.cautions.iter())?;
    if !see_also.is_empty() {
        writeln!(out)?;
        print_wrapped(out, &format!("See also: {}.", see_also.join(", ")), 0)?;
    }
    Ok(())
}

fn head(out: &mut impl Write, kind: &Kind) -> std::io::Result<()> {
    print_wrapped(out, &format!("{} ({})", kind.common, kind.botanical), 0)?;
    if !kind.also.is_empty() {
        print_wrapped(out, &format!("Also called {}.", kind.also.join(", ")), 0)?;
    }
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
    let text = format!(
        "{}; winters in zones {} to {}; {flowers}; {pace}.",
        habit(kind.habit),
        kind.zones.coldest,
        kind.zones.warmest
    );
    print_wrapped(out, &text, 0)?;
    sources(out, kind, &["hardiness zones", "wood", "pace"])?;
    kind.needs_no_cut.as_ref().map_or(Ok(()), |why| {
        print_wrapped(
            out,
            &format!("Needs no cut: {} Source: {}.", why.text, why.source),
            0,
        )
    })
}

/// The events of its year.
fn year(out: &mut impl Write, kind: &Kind) -> std::io::Result<()> {
    let rows: [(&str, Option<ZoneDates>); 6] = [
        ("bud break", kind.bud_break),
        ("bloom", kind.bloom),
        ("full leaf", kind.full_leaf),
        ("end of the flush", kind.flush_end),
        ("bud set", kind.bud_set),
        ("leaf fall", kind.leaf_fall),
    ];
    let rows: Vec<_> = rows
        .into_iter()
        .filter_map(|(name, dates)| Some((name, dates?)))
        .collect();
    if rows.is_empty() && kind.heat.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "\nIts year in zone 7, and days later for each zone colder"
    )?;
    for (name, dates) in &rows {
        let span = format!(
            "{} to {}",
            words::month_day(dates.from),
            words::month_day(dates.to)
        );
        writeln!(out, "  {name:<18} {span:<32} {:+}", dates.days_per_zone)?;
    }
    let names: Vec<&str> = rows.iter().map(|(name, _)| *name).collect();
    sources(out, kind, &names)?;
    kind.heat.iter().try_for_each(|sum| heat(out, sum))
}

fn heat(out: &mut impl Write, sum: &HeatSum) -> std::io::Result<()> {
    let text = format!(
        "{} at {:.0} °C·d above {:.0} °C ({:.0} °F·d above {:.0} °F) from 1 January, in the south from 1 July; a \
         day counts its mean of maximum and minimum less the base, not below zero. Source: {}.",
        words::capital(&sum.event.name().replace('-', " ")),
        sum.sum.sum(),
        sum.base.degrees(),
        sum.sum.sum() * 1.8,
        sum.base.fahrenheit(),
        sum.source
    );
    print_wrapped(out, &text, 2)
}

fn cuts(out: &mut impl Write, kind: &Kind) -> std::io::Result<()> {
    let repair = kind.takes(CutKind::StormRepair);
    for cut in kind.cuts.iter().chain(&repair) {
        let window = match (cut.season, kind.zone_7_window(cut.season)) {
            (Season::AnyTime, _) => "at any time of the year".to_owned(),
            (Season::Between(..), Some((from, to))) => {
                format!(
                    "{} to {} in zone 7",
                    words::month_day(from),
                    words::month_day(to)
                )
            }
            (Season::Between(..), None) => "in its season".to_owned(),
        };
        writeln!(out, "\n{}: {window}", words::capital(words::to_do(cut.cut)))?;
        if let Season::Between(from, to) = cut.season {
            let anchor = |anchor: crate::almanac::Anchor| {
                let event = anchor.event.name().replace('-', " ");
                match anchor.days {
                    0 => event,
                    days if days < 0 => format!("{} days before {event}", -days),
                    days => format!("{days} days after {event}"),
                }
            };
            let text = format!("Counted: {} to {}.", anchor(from), anchor(to));
            print_wrapped(out, &text, 2)?;
        }
        one_cut(out, cut)?;
    }
    Ok(())
}

fn one_cut(out: &mut impl Write, cut: &Cut) -> std::io::Result<()> {
    print_wrapped(out, &cut.how, 2)?;
    if let Some(outside) = &cut.outside {
        print_wrapped(out, &format!("At other times: {outside}."), 2)?;
    }
    let frost = cut.tender.as_ref().map_or_else(
        || "Frost: no reason to wait.".to_owned(),
        |tender| format!("Frost: tender class {}, see below.", tender.class),
    );
    print_wrapped(out, &frost, 2)?;
    print_wrapped(out, &format!("Source: {}.", cut.source), 2)
}

/// Each tender class of its cuts once, with its why.
fn tender(out: &mut impl Write, kind: &Kind) -> std::io::Result<()> {
    let mut shown = BTreeSet::new();
    for tender in kind.cuts.iter().filter_map(|cut| cut.tender.as_ref()) {
        if shown.insert(&tender.class) {
            writeln!(out, "\nTender class {}", tender.class)?;
            print_wrapped(out, &tender.why, 2)?;
            print_wrapped(out, &format!("Source: {}.", tender.source), 2)?;
        }
    }
    Ok(())
}

/// What it bears, what is about it, each with its source.
fn bears(out: &mut impl Write, kind: &Kind) -> std::io::Result<()> {
    let hard = match kind.hard_cut {
        HardCut::Whole => "whole, in one go",
        HardCut::Staged => "a third a year for three years",
        HardCut::NotIntoBareWood => "none into bare wood",
        HardCut::No => "none",
        HardCut::DiesBack => "its top dies back each year",
    };
    let share = format!("{} of 100 of the live growth", kind.share_max);
    let rows: [(&str, &str, String); 6] = [
        ("Hard cut", "hard cut", hard.to_owned()),
        ("Most in a season otherwise", "largest share", share),
        ("Not cut in", "weather holds", list(&kind.holds)),
        ("Diseases and pests", "diseases", list(&kind.diseases)),
        ("Wildlife", "wildlife", list(&kind.wildlife)),
        ("Sap", "sap", list(&kind.sap)),
    ];
    writeln!(out, "\nWhat it bears, and who is about")?;
    for (name, of, text) in rows {
        if !text.is_empty() {
            print_wrapped(out, &format!("{name}: {text}."), 2)?;
            sources(out, kind, &[of])?;
        }
    }
    Ok(())
}

fn said<'a>(
    out: &mut impl Write,
    name: &str,
    sentences: impl Iterator<Item = &'a Sourced>,
) -> std::io::Result<()> {
    for (position, one) in sentences.enumerate() {
        if position == 0 {
            writeln!(out, "\n{name}")?;
        }
        print_wrapped(out, &one.text, 2)?;
        print_wrapped(out, &format!("Source: {}.", one.source), 4)?;
    }
    Ok(())
}

/// The sources of some groups, those with the same ones together.
fn sources(out: &mut impl Write, kind: &Kind, groups: &[&str]) -> std::io::Result<()> {
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
    for (source, of) in told {
        let text = format!("Source of {}: {source}.", of.join(", "));
        print_wrapped(out, &text, 4)?;
    }
    Ok(())
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
pub(super) const fn habits(habit: Habit) -> &'static str {
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
