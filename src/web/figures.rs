//! Figures for a monitor: whether each promise is kept.
//!
//! In: the snapshot. Out: the text format of Prometheus, version 0.0.4; each figure is of now, none is a sum. Computes
//! nothing.

use chrono::{DateTime, Utc};

use super::{GardenSnapshot, Snapshot, Standing, Trouble, Weight};
use crate::verdict::State;

/// All of one name: what it says, and the value under each set of labels.
struct Figure<'a> {
    name: &'static str,
    help: &'static str,
    samples: Vec<Sample<'a>>,
}

/// Labels and a value.
type Sample<'a> = (Vec<(&'static str, &'a str)>, i64);

/// The figures of the program, each with its help and its type before it.
pub(super) fn metrics(snapshot: &Snapshot, now: DateTime<Utc>) -> String {
    let mut lines = Vec::new();
    for figure in figures(snapshot, now) {
        lines.push(format!("# HELP {} {}", figure.name, figure.help));
        lines.push(format!("# TYPE {} gauge", figure.name));
        let line =
            |(labels, value): &Sample<'_>| format!("{}{} {value}", figure.name, written(labels));
        lines.extend(figure.samples.iter().map(line));
    }
    lines.push(String::new());
    lines.join("\n")
}

fn figures(snapshot: &Snapshot, now: DateTime<Utc>) -> Vec<Figure<'_>> {
    let mut figures = of_the_program(snapshot, now);
    figures.extend(of_the_gardens(snapshot));
    figures
}

const fn figure<'a>(
    name: &'static str,
    help: &'static str,
    samples: Vec<Sample<'a>>,
) -> Figure<'a> {
    Figure {
        name,
        help,
        samples,
    }
}

fn of_the_program(snapshot: &Snapshot, now: DateTime<Utc>) -> Vec<Figure<'_>> {
    let overdue = snapshot.next_by.is_some_and(|by| now > by);
    let weighed = |trouble: &Trouble| i64::from(trouble.weight == Weight::Grave);
    let troubles = snapshot.troubles.iter();
    vec![
        figure(
            "budward_build_info",
            "The program's version.",
            vec![(vec![("version", env!("CARGO_PKG_VERSION"))], 1)],
        ),
        figure(
            "budward_overdue",
            "Whether a look is overdue.",
            vec![(vec![], i64::from(overdue))],
        ),
        figure(
            "budward_trouble",
            "What is amiss with the program itself: 1 when it keeps it from its work, 0 when the rest goes on.",
            troubles
                .map(|one| (vec![("about", one.about.as_str())], weighed(one)))
                .collect(),
        ),
        figure(
            "budward_gardens_held",
            "How many of the gardens are this daemon's, where several share a database.",
            snapshot
                .held
                .map(|held| (vec![], counted(held)))
                .into_iter()
                .collect(),
        ),
    ]
}

fn of_the_gardens(snapshot: &Snapshot) -> Vec<Figure<'_>> {
    vec![
        figure(
            "budward_last_look_timestamp_seconds",
            "When the garden was looked at.",
            of_gardens(snapshot, |garden| garden.last_round.map(seconds)),
        ),
        figure(
            "budward_next_look_timestamp_seconds",
            "When the garden is to be looked at.",
            of_gardens(snapshot, |garden| garden.next_round.map(seconds)),
        ),
        figure(
            "budward_data_timestamp_seconds",
            "When the data of the source's last forecast were made.",
            of_sources(snapshot, |one| {
                one.state.heard.as_ref().map(|heard| seconds(heard.data_at))
            }),
        ),
        figure(
            "budward_source_silent",
            "Whether the source does not answer.",
            of_sources(snapshot, |one| {
                Some(i64::from(one.state.silent_since.is_some()))
            }),
        ),
        figure(
            "budward_mails",
            "How many mails of the garden of the last ninety days stand so; unknown ones may have arrived or not.",
            mails(snapshot),
        ),
        figure(
            "budward_cuts",
            "How many cuts of the garden stand so.",
            cuts(snapshot),
        ),
        figure(
            "budward_watched",
            "How many cuts of the garden are under watch.",
            of_gardens(snapshot, |garden| Some(counted(garden.watches.len()))),
        ),
    ]
}

/// The mails of each garden by their state.
fn mails(snapshot: &Snapshot) -> Vec<Sample<'_>> {
    let mut samples = Vec::new();
    for garden in &snapshot.gardens {
        for (state, count) in &garden.mails {
            let labels = vec![("garden", garden.name.as_str()), ("state", *state)];
            samples.push((labels, i64::try_from(*count).unwrap_or(i64::MAX)));
        }
    }
    samples
}

fn seconds(at: DateTime<Utc>) -> i64 {
    at.timestamp()
}

/// A value of each garden that has one.
fn of_gardens(snapshot: &Snapshot, value: fn(&GardenSnapshot) -> Option<i64>) -> Vec<Sample<'_>> {
    let mut samples = Vec::new();
    for garden in &snapshot.gardens {
        let labels = vec![("garden", garden.name.as_str())];
        samples.extend(value(garden).map(|value| (labels, value)));
    }
    samples
}

/// A value of each source of each garden that has one.
fn of_sources(snapshot: &Snapshot, value: fn(&Standing) -> Option<i64>) -> Vec<Sample<'_>> {
    let mut samples = Vec::new();
    for garden in &snapshot.gardens {
        for source in &garden.sources {
            let labels = vec![
                ("garden", garden.name.as_str()),
                ("source", source.state.source.as_str()),
            ];
            samples.extend(value(source).map(|value| (labels, value)));
        }
    }
    samples
}

fn cuts(snapshot: &Snapshot) -> Vec<Sample<'_>> {
    let mut samples = Vec::new();
    for garden in &snapshot.gardens {
        for state in State::ALL {
            let count = garden
                .verdicts
                .iter()
                .filter(|one| one.state == state)
                .count();
            samples.push((
                vec![("garden", garden.name.as_str()), ("state", state.name())],
                counted(count),
            ));
        }
    }
    samples
}

fn counted(count: usize) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn written(labels: &[(&str, &str)]) -> String {
    let label = |(key, value): &(&str, &str)| {
        let value = value
            .replace('\\', "\\\\")
            .replace('"', "\\\"")
            .replace('\n', "\\n");
        format!("{key}=\"{value}\"")
    };
    let labels: Vec<String> = labels.iter().map(label).collect();
    if labels.is_empty() {
        String::new()
    } else {
        format!("{{{}}}", labels.join(","))
    }
}
