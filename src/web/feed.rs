//! What other programs read: the windows of a garden as a calendar, and figures for a monitor.
//!
//! In: the snapshot. Out: an iCalendar file (RFC 5545) that changes or cancels its own events, and figures in the text
//! format of Prometheus, version 0.0.4. Computes nothing.

use chrono::{DateTime, Utc};

use super::{GardenSnapshot, Snapshot};
use crate::message::calendar::{self, Entry};
use crate::verdict::{State, Verdict};

/// The windows of a garden: those that are open, and those that the keeper was told of and that are withdrawn.
pub(super) fn windows(garden: &GardenSnapshot) -> String {
    let entry = |verdict: &Verdict| {
        let told = garden.told.get(&verdict.cut).copied();
        let entry = Entry::of(verdict, garden.locale);
        let is_shown = verdict.state.allows() || told.is_some();
        is_shown.then(|| Entry {
            // An open window starts on the day on which it was told, not anew every day.
            from: told
                .filter(|_| verdict.state.allows())
                .unwrap_or(entry.from),
            ..entry
        })
    };
    let entries: Vec<Entry> = garden.verdicts.iter().filter_map(entry).collect();
    calendar::file(&entries)
}

/// A moment of a garden.
type When = fn(&GardenSnapshot) -> Option<DateTime<Utc>>;

/// The figures of the program: when each garden was looked at and is looked at next, how its cuts stand.
pub(super) fn metrics(snapshot: &Snapshot, now: DateTime<Utc>) -> String {
    let mut text = Vec::new();
    let version = env!("CARGO_PKG_VERSION");
    head(&mut text, "budward_build_info", "The program's version.");
    line(&mut text, "budward_build_info", &[("version", version)], 1);
    let late = snapshot.next_by.is_some_and(|by| now > by);
    head(&mut text, "budward_overdue", "Whether a look is overdue.");
    line(&mut text, "budward_overdue", &[], i64::from(late));
    let looks: [(&str, &str, When); 2] = [
        (
            "budward_last_look_timestamp_seconds",
            "When the garden was looked at.",
            |garden| garden.last_round,
        ),
        (
            "budward_next_look_timestamp_seconds",
            "When the garden is to be looked at.",
            |garden| garden.next_round,
        ),
    ];
    for (name, help, of) in looks {
        head(&mut text, name, help);
        for garden in &snapshot.gardens {
            if let Some(at) = of(garden) {
                line(&mut text, name, &[("garden", &garden.name)], at.timestamp());
            }
        }
    }
    let name = "budward_cuts";
    head(&mut text, name, "How many cuts of the garden stand so.");
    for garden in &snapshot.gardens {
        for state in State::ALL {
            let count = garden
                .verdicts
                .iter()
                .filter(|one| one.state == state)
                .count();
            let labels = [("garden", garden.name.as_str()), ("state", state.name())];
            line(
                &mut text,
                name,
                &labels,
                i64::try_from(count).unwrap_or(i64::MAX),
            );
        }
    }
    let name = "budward_watched";
    head(
        &mut text,
        name,
        "How many cuts of the garden are under watch.",
    );
    for garden in &snapshot.gardens {
        let count = i64::try_from(garden.watches.len()).unwrap_or(i64::MAX);
        line(&mut text, name, &[("garden", &garden.name)], count);
    }
    text.push(String::new());
    text.join("\n")
}

fn head(text: &mut Vec<String>, name: &str, help: &str) {
    text.push(format!("# HELP {name} {help}"));
    text.push(format!("# TYPE {name} gauge"));
}

fn line(text: &mut Vec<String>, name: &str, labels: &[(&str, &str)], value: i64) {
    let label = |(key, value): &(&str, &str)| {
        let value = value
            .replace('\\', "\\\\")
            .replace('"', "\\\"")
            .replace('\n', "\\n");
        format!("{key}=\"{value}\"")
    };
    let labels: Vec<String> = labels.iter().map(label).collect();
    let labels = if labels.is_empty() {
        String::new()
    } else {
        format!("{{{}}}", labels.join(","))
    };
    text.push(format!("{name}{labels} {value}"));
}
