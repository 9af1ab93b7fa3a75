//! The windows of a garden as a calendar.
//!
//! In: the snapshot. Out: an iCalendar file (RFC 5545) that changes or cancels its own events. Computes nothing.

use super::GardenSnapshot;
use crate::message::calendar::{self, Entry};
use crate::verdict::Verdict;

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
