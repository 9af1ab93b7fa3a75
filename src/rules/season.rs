//! The dates of a plant's year at a place: those of zone 7, moved by zone and hemisphere.

use chrono::{Datelike, Days, NaiveDate};

use super::Case;
use crate::almanac::{Anchor, Event, Kind, MonthDay, ZoneDates};
use crate::garden::Hemisphere;
use crate::risk::DateRange;

/// The middle of zone 7, for which the almanac's dates are given.
const ZONE_7: f64 = 7.5;

/// Days from a season in the north to the same season in the south.
const HALF_YEAR_DAYS: u64 = 184;

const MIDWINTER: MonthDay = MonthDay { month: 1, day: 15 };
const MIDSUMMER: MonthDay = MonthDay { month: 7, day: 1 };

/// The span from one anchor to another that holds today, or the next one to come.
///
/// None when the kind has no such event.
pub(super) fn span(case: &Case<'_>, from: Anchor, to: Anchor) -> Option<DateRange> {
    let year = case.today.year();
    (year - 2..=year + 2)
        .filter_map(|year| span_of(case, from, to, year))
        .find(|span| case.today <= span.to)
}

fn span_of(case: &Case<'_>, from: Anchor, to: Anchor, year: i32) -> Option<DateRange> {
    let start = date_of(case, from, year)?;
    let end = [year, year + 1]
        .into_iter()
        .filter_map(|year| date_of(case, to, year))
        .find(|end| *end >= start)?;
    Some(DateRange {
        from: start,
        to: end,
    })
}

fn date_of(case: &Case<'_>, anchor: Anchor, year: i32) -> Option<NaiveDate> {
    let event = event_on(case, anchor.event, year)?;
    shifted(event, i64::from(anchor.days))
}

/// The date of an event in the season that belongs to a year of the north.
fn event_on(case: &Case<'_>, event: Event, year: i32) -> Option<NaiveDate> {
    let kind: &Kind = &case.cut.kind;
    let (day, days_per_zone) = match event {
        Event::BudBreak => first(kind.bud_break?),
        Event::BloomBegin => first(kind.bloom?),
        Event::BloomEnd => (kind.bloom?.to, kind.bloom?.days_per_zone),
        Event::BudSet => first(kind.bud_set?),
        Event::MidWinter => (MIDWINTER, 0),
        Event::MidSummer => (MIDSUMMER, 0),
    };
    let north = shifted(on(day, year)?, zone_shift(case, days_per_zone))?;
    match case.hemisphere {
        Hemisphere::North => Some(north),
        Hemisphere::South => north.checked_add_days(Days::new(HALF_YEAR_DAYS)),
    }
}

fn first(dates: ZoneDates) -> (MonthDay, i32) {
    (dates.from, dates.days_per_zone)
}

/// Days by which the place is later than the middle of zone 7; none where its zone is not known.
fn zone_shift(case: &Case<'_>, days_per_zone: i32) -> i64 {
    let zones_colder = case
        .climate
        .map_or(0.0, |climate| ZONE_7 - climate.hardiness_zone());
    whole(zones_colder * f64::from(days_per_zone))
}

/// The nearest whole number of days.
#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    reason = "a shift of some days fits; `as` saturates"
)]
fn whole(days: f64) -> i64 {
    days.round() as i64
}

fn on(day: MonthDay, year: i32) -> Option<NaiveDate> {
    // 29 February only exists in some years; the day before it stands for it.
    NaiveDate::from_ymd_opt(year, day.month, day.day)
        .or_else(|| NaiveDate::from_ymd_opt(year, day.month, day.day - 1))
}

fn shifted(date: NaiveDate, days: i64) -> Option<NaiveDate> {
    date.checked_add_signed(chrono::TimeDelta::days(days))
}
