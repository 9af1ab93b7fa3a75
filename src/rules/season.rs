//! The time of the year between two events in which a cut may be made.
//!
//! It opens on the middle date of its first event: half of the futures have it by then, and to wait for the late date
//! would cost the plant the weeks in which it sets its buds. It closes by the early date of its last event: a cut some
//! days too late takes next year's flowers or breaks dormancy, one made in time loses nothing by it.

use chrono::{NaiveDate, TimeDelta};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Case;
use crate::almanac::{Anchor, Event, SEASON_DAYS_MAX};
use crate::events::Predicted;
use crate::risk::DateRange;

/// A season for a cut with the events that bound it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Window {
    pub(super) season: DateRange,
    pub(super) opens_by: Anchored,
    pub(super) closes_by: Anchored,
}

/// An event that bounds a season.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Anchored {
    /// The event.
    pub event: Event,
    /// Days from the event to the bound; below zero before it.
    pub days: i32,
    /// When the event comes.
    pub date: Predicted,
}

/// The season from one anchor to another that holds today, or the next one to come.
///
/// None when the kind has no such event, or when at this place the season would end before it starts, as it can far
/// outside of the zones in which the kind winters. A window that the look before had open stays open until it closes,
/// and one that it had closed stays closed until the next season, however the forecast shifts a date to come.
pub(super) fn window(case: &Case<'_>, from: Anchor, to: Anchor) -> Option<Window> {
    let windows = case
        .events
        .years()
        .filter_map(|year| window_of(case, from, to, year));
    let mut to_come = windows.filter(|window| case.today <= window.season.to);
    let first = to_come.next()?;
    let Some((before, on)) = case.season_before else {
        return Some(first);
    };
    let same = (before.from - first.season.from).num_days().abs() <= i64::from(SEASON_DAYS_MAX) / 2;
    let was_open = before.from <= on && on <= before.to;
    if same && was_open {
        let from = first.season.from.min(before.from);
        return Some(Window {
            season: DateRange {
                from,
                ..first.season
            },
            ..first
        });
    }
    let had_passed = !same && before.from > on && first.season.from <= on;
    if had_passed {
        return to_come.next().or(Some(first));
    }
    Some(first)
}

/// The span from one anchor to another that holds today, or the next one to come, without regard to the look before.
pub(super) fn span(case: &Case<'_>, from: Anchor, to: Anchor) -> Option<DateRange> {
    let spans = case.events.years();
    let mut spans = spans.filter_map(|year| window_of(case, from, to, year));
    let found = spans.find(|window| case.today <= window.season.to)?;
    Some(found.season)
}

fn window_of(case: &Case<'_>, from: Anchor, to: Anchor, year: i32) -> Option<Window> {
    let bound = |anchor: Anchor, year: i32| {
        let date = case.events.in_season(anchor.event, year)?.clone();
        let Anchor { event, days } = anchor;
        Some(Anchored { event, days, date })
    };
    let opens_by = bound(from, year)?;
    let start = opens_by.counted_from(opens_by.date.middle);
    let (end, closes_by) = [year, year + 1].into_iter().find_map(|year| {
        let closes_by = bound(to, year)?;
        let latest = closes_by.counted_from(closes_by.date.middle);
        let end = closes_by.counted_from(closes_by.date.early).max(start);
        (latest >= start).then_some((end, closes_by))
    })?;
    let is_season = (end - start).num_days() <= i64::from(SEASON_DAYS_MAX);
    is_season.then_some(Window {
        season: DateRange {
            from: start,
            to: end,
        },
        opens_by,
        closes_by,
    })
}

impl Window {
    /// The day by which it has opened in nine of ten futures.
    pub(super) fn opens_late(&self) -> NaiveDate {
        self.opens_by.counted_from(self.opens_by.date.late)
    }
}

impl Anchored {
    fn counted_from(&self, event: NaiveDate) -> NaiveDate {
        event + TimeDelta::days(i64::from(self.days))
    }
}
